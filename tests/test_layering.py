"""The package imports strictly downward, and only app may import UI libraries."""

import ast
from collections.abc import Sequence
from pathlib import Path

import pytest

import retrofit_lab

PACKAGE = Path(retrofit_lab.__file__).parent
LAYERS = [
    ("texts",),
    ("base",),
    ("physics",),
    ("climate",),
    ("house",),
    ("model",),
    ("measures",),
    ("bills.reading",),
    ("bills.fitting", "savings", "money", "uncertainty", "safety"),
    ("study.results", "study.explanation", "study.billed"),
    ("study.case",),
    ("study.buying",),
    ("study.money",),
    ("study.energies",),
    ("study.plan_work",),
    ("study.study",),
    ("study.opening", "study.plan_tables", "study.energy_attribution", "study.working_order"),
    ("study.over_years",),
    ("study.advice",),
    ("study.answers",),
    ("study.lab",),
    ("proposals",),
    ("classroom", "portfolio"),
    ("app.shared",),
    ("app.page", "app.report", "app.lesson", "app.lab"),
    ("app.home",),
    ("app.serve",),
    ("app.walk",),
    ("app.commands",),
    ("command",),
]
RANK = {name: rank for rank, names in enumerate(LAYERS) for name in names}
SPLIT = {name.split(".")[0] for name in RANK if "." in name}
UI_LIBRARIES = {"ipywidgets", "plotly", "IPython", "traitlets", "matplotlib", "voila", "anywidget"}
SLOW_LIBRARIES = {"pandas", "scipy", "pint", "distributed"}
MOST_METHODS = 20
METHOD = ast.FunctionDef | ast.AsyncFunctionDef
MODULES = sorted(p for p in PACKAGE.rglob("*.py") if p.stem != "__init__")


def room_of(path: Path) -> str:
    return room(path.relative_to(PACKAGE).with_suffix("").parts)


def room(parts: Sequence[str]) -> str:
    """Name in LAYERS of a module; rooms that are split are named with their part."""
    return ".".join(parts[:2]) if parts[0] in SPLIT else parts[0]


def imports_of(path: Path):
    here = (PACKAGE.name, *path.relative_to(PACKAGE).with_suffix("").parts)
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(here[: len(here) - node.level]) if node.level else ""
            stem = ".".join(filter(None, [base, node.module]))
            yield from (f"{stem}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_downward(path: Path) -> None:
    here = room_of(path)
    assert here in RANK, f"{here} has no place in LAYERS; add it where it belongs"
    for name in imports_of(path):
        root, *rest = name.split(".")
        there = room(rest) if rest else ""
        if root == PACKAGE.name and there not in (here, "__version__"):
            assert there in RANK, f"{path.name} imports {name}: name the module, not the root"
            assert RANK[there] < RANK[here], f"{here} imports {name}, which is not below it"
        if not here.startswith("app.") and here != "command":
            assert root not in UI_LIBRARIES, f"{here} imports {name}: that belongs in app"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_slow_library_at_import(path: Path) -> None:
    if room_of(path).startswith("app.") or room_of(path) == "command":
        return
    for node in ast.parse(path.read_text()).body:
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        assert not {name.split(".")[0] for name in names} & SLOW_LIBRARIES


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_classes_are_small(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text())):
        if not isinstance(node, ast.ClassDef):
            continue
        methods = [part.name for part in node.body if isinstance(part, METHOD)]
        assert len(methods) <= MOST_METHODS, f"{node.name} has {len(methods)} methods"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_functions_are_small_and_modules_say_what_they_hold(path: Path) -> None:
    tree = ast.parse(path.read_text())
    assert ast.get_docstring(tree), f"{path.name} must say in one sentence what is inside"
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            lines = (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0
            assert lines <= 40, f"{path.name}: {node.name} has {lines} lines; at most 40"
