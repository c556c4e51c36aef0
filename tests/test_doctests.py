"""The examples in the docstrings of the physics, the model and the public names run, and are many."""

import doctest
import importlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from examples import example

import retrofit_lab
from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.model.year import year_energy

ROOMS = ("physics", "model")
LEAST = 100
"""Lines of examples that there are at least."""
PACKAGE = Path(retrofit_lab.__file__).parent
MODULES = [
    f"retrofit_lab.{room}.{path.stem}"
    for room in ROOMS
    for path in sorted((PACKAGE / room).glob("*.py"))
] + [
    "retrofit_lab",
    "retrofit_lab.base.nearest",
    "retrofit_lab.study.lab",
    "retrofit_lab.classroom.lesson_physics",
    "retrofit_lab.classroom.typed_numbers",
]


def given() -> dict[str, object]:
    """What the examples find there, as the docstring of `retrofit_lab.model` says."""
    study = example("wren_cottage")
    return {
        "house": study.as_found, "climate": study.climate, "year_energy": year_energy, "replace": replace, "np": np,
    }  # fmt: skip


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    module = importlib.import_module(name)
    extra = given() if ".model." in name else {"np": np}
    result = doctest.testmod(module, extraglobs=extra, optionflags=doctest.ELLIPSIS)
    assert result.failed == 0


@pytest.mark.parametrize(("name", "least"), [("lab", 20), ("uncertainty", 15), ("bills", 20)])
def test_answers_of_the_lab_notebooks_hold(name: str, least: int) -> None:
    path = shipped_folder("notebooks") / "for_trainers" / f"{name}_answers.md"
    result = doctest.testfile(str(path), module_relative=False)
    assert result.attempted >= least
    assert result.failed == 0


def test_answers_lie_apart_from_what_students_open() -> None:
    """No notebook names their folder, and beside notebooks there are none."""
    notebooks = shipped_folder("notebooks")
    for path in notebooks.rglob("*.ipynb"):
        assert "for_trainers" not in path.read_text(encoding="utf-8"), path.name
        assert not list(path.parent.glob("*answers*"))


def test_there_are_many_examples() -> None:
    lines = (line.strip() for name in MODULES for line in _source(name).splitlines())
    assert sum(line.startswith((">>>", "...")) for line in lines) >= LEAST


def _source(name: str) -> str:
    path = importlib.import_module(name).__file__
    return Path(path).read_text(encoding="utf-8")
