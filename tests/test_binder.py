"""The binder folder pins the dashboard's packages within the project's own bounds and installs the project."""

import os
import tomllib
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parents[1]


def test_pins_lie_within_the_projects_bounds_and_are_complete() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = {r.name: r.specifier for r in map(Requirement, project["dependencies"])}
    lines = (ROOT / "binder/requirements.txt").read_text(encoding="utf-8").split()
    pins = {r.name: str(r.specifier).removeprefix("==") for r in map(Requirement, lines)}
    assert pins.keys() == wanted.keys()
    for name, version in pins.items():
        assert wanted[name].contains(version), name


def test_project_itself_is_installed() -> None:
    script = ROOT / "binder/postBuild"
    assert os.access(script, os.X_OK)
    assert "pip install --no-deps ." in script.read_text(encoding="utf-8")


def test_top_level_holds_what_was_agreed() -> None:
    agreed = {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "retrofit_lab", "notebooks", "tests",
        "data", "binder", "build", "dist",
    }  # fmt: skip
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found <= agreed
