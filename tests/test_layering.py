"""The package imports strictly downward, and only presentation may import UI libraries."""

import ast
from pathlib import Path

import pytest

import retrofit_lab

PACKAGE = Path(retrofit_lab.__file__).parent
LAYERS = [
    ("values",),
    ("sums",),
    ("reference_data",),
    ("parameters", "units"),
    ("physics",),
    ("climate",),
    ("house",),
    ("model",),
    ("measures",),
    ("bills", "stacks", "money", "ranges", "cautions"),
    ("results", "explanation", "billed"),
    ("study",),
    ("opening", "measure_sets", "who_saves"),
    ("advice",),
    ("classroom", "portfolio"),
    ("presentation",),
]
RANK = {name: rank for rank, names in enumerate(LAYERS) for name in names}
UI_LIBRARIES = {"ipywidgets", "plotly", "IPython", "traitlets", "matplotlib", "voila", "anywidget"}
SLOW_LIBRARIES = {"pandas", "scipy", "pint", "distributed"}
MODULES = sorted(p for p in PACKAGE.rglob("*.py") if p.parent != PACKAGE or p.stem != "__init__")


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


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
    room = room_of(path)
    assert room in RANK, f"{room} has no place in LAYERS; add it where it belongs"
    for name in imports_of(path):
        root, _, rest = name.partition(".")
        target = rest.split(".")[0]
        if root == PACKAGE.name and target not in (room, "__version__"):
            assert target in RANK, f"{path.name} imports {name}: name the module, not the root"
            assert RANK[target] < RANK[room], f"{room} imports {name}, which is not below it"
        if room != "presentation":
            assert root not in UI_LIBRARIES, f"{room} imports {name}: that belongs in presentation"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_slow_library_at_import(path: Path) -> None:
    if room_of(path) == "presentation":
        return
    for node in ast.parse(path.read_text()).body:
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        assert not {name.split(".")[0] for name in names} & SLOW_LIBRARIES


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_functions_are_small_and_modules_say_what_they_hold(path: Path) -> None:
    tree = ast.parse(path.read_text())
    assert ast.get_docstring(tree), f"{path.name} must say in one sentence what is inside"
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            lines = (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0
            assert lines <= 40, f"{path.name}: {node.name} has {lines} lines; at most 40"
