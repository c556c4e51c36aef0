"""Plausible slips in the product, made from its source: where they can be, and the source with one of them.

A site is one number, operator, sign, comparison or term of a function or constant that a study reaches.
A whole number slips to another whole number, a small one in a list (an hour of the clock, the size of a group) to
the next one: half an hour of the clock or of a group would stop the product at once, and nobody writes it.
Left out are texts, annotations, places in arrays (indexes, axes, shapes), what only leads to a refusal,
and names. A change of a measure is a site of its own: its value or its operation.
"""

import ast
import copy
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

ROOMS = ("physics", "model", "climate", "money")
OPERATORS = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult,
}  # fmt: skip
COMPARISONS = {
    ast.Lt: ast.GtE, ast.GtE: ast.Lt, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
}  # fmt: skip
GUARDS = (1e-5, 1e8)
DAY = 24
"""Whole numbers up to here stand for an hour or a place where they are listed."""
PLACES = {"axis", "keepdims", "dtype", "maxsize", "minlength", "ndim", "shape"}
SHAPING = {"reshape", "range", "zeros", "ones"}
"""Calls whose arguments are sizes of arrays."""
SWAPPED = {
    "at_least": "at_most",
    "at_most": "at_least",
    "times": "plus",
    "plus": "times",
    "to": "times",
    "seal": "times",
}


@dataclass(frozen=True)
class Mutant:
    """One slip: the file, the line, the definition it stands in, what was changed, and the whole new text."""

    path: str
    line: int
    place: tuple[str, str]
    kind: str
    what: str
    text: str

    @property
    def name(self) -> str:
        """What the lists of equivalent slips and of survivors call it."""
        return f"{self.path}:{self.line} {self.kind}: {self.what}"


@dataclass(frozen=True)
class Site:
    """A node of the source with the slips that can be made there."""

    path: Path
    place: tuple[str, str]
    node: ast.AST
    slips: tuple[tuple[str, Callable[[ast.AST], ast.AST]], ...]


def sites(module: str, path: Path, reached: set[tuple[str, str]]) -> Iterator[Site]:
    """All sites of a module in the order of its lines."""
    for name, node in _definitions(ast.parse(path.read_text(encoding="utf-8"))):
        if (module, name) in reached:
            for inner in _numbers(node):
                slips = tuple(_slips(inner))
                if slips:
                    yield Site(path, (module, name), inner, slips)


def _definitions(tree: ast.Module) -> Iterator[tuple[str, ast.AST]]:
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node
        elif isinstance(node, ast.ClassDef):
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef):
                    yield f"{node.name}.{inner.name}", inner
        elif isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names = [n.id for t in targets for n in ast.walk(t) if isinstance(n, ast.Name)]
            if names:
                yield names[0], node.value


def _numbers(node: ast.AST) -> Iterator[ast.AST]:
    """The node and what is in it, without what is no number of the model."""
    yield node
    for child in ast.iter_child_nodes(node):
        child.listed = _is_list(node)  # type: ignore[attr-defined]
        if not _left_out(node, child):
            yield from _numbers(child)


def _is_shape(node: ast.AST, child: ast.AST) -> bool:
    """Whether a part is about axes and sizes, as ``(1,) * ndim`` or ``reshape(12, 24)``: no number of the model."""
    if isinstance(node, ast.Call):
        name = getattr(node.func, "attr", getattr(node.func, "id", ""))
        return name in SHAPING and child in node.args
    return isinstance(child, ast.BinOp) and isinstance(child.left, ast.Tuple)


def _is_list(node: ast.AST) -> bool:
    ranges = isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    return isinstance(node, ast.Tuple | ast.List) or (ranges and node.func.id in ("slice", "range"))


def _left_out(node: ast.AST, child: ast.AST) -> bool:
    if isinstance(child, ast.Raise | ast.Assert | ast.JoinedStr) or _is_shape(node, child):
        return True
    if isinstance(node, ast.FunctionDef):
        return child is node.returns or child in node.decorator_list or child is node.args
    if isinstance(node, ast.If):
        refuses = all(isinstance(statement, ast.Raise) for statement in node.body)
        return refuses and child is node.test
    if isinstance(node, ast.AnnAssign | ast.Subscript):
        return child is getattr(node, "annotation", None) or child is getattr(node, "slice", None)
    if isinstance(node, ast.keyword):
        return node.arg in PLACES
    return isinstance(node, ast.Expr) and isinstance(child, ast.Constant)


def _slips(node: ast.AST) -> Iterator[tuple[str, Callable[[ast.AST], ast.AST]]]:
    if isinstance(node, ast.Constant) and _is_number(node.value):
        yield "constant x 1.2", lambda n: ast.Constant(_scaled_number(n, 1.2))
        yield "constant x 0.8", lambda n: ast.Constant(_scaled_number(n, 0.8))
    elif isinstance(node, ast.BinOp):
        yield from _of_operator(node)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        yield "sign", lambda n: n.operand
    elif isinstance(node, ast.Compare) and type(node.ops[0]) in COMPARISONS:
        yield "comparison", _compared
    elif (
        isinstance(node, ast.Return)
        and isinstance(node.value, ast.BinOp)
        and not _is_shape(node, node.value)
    ):
        yield "sign", lambda n: ast.Return(ast.UnaryOp(ast.USub(), n.value))


def _is_number(value: object) -> bool:
    """Whether a constant is a number of the model, and none that only keeps a division from failing."""
    return type(value) in (int, float) and GUARDS[0] < abs(value) < GUARDS[1]


def _scaled_number(node: ast.AST, factor: float) -> float:
    """A number times a factor; a whole number stays whole, and a small one in a list or a range goes one step."""
    assert isinstance(node, ast.Constant)
    value = node.value
    if not isinstance(value, int):
        return value * factor
    least = 1 if factor > 1.0 else -1
    near = getattr(node, "listed", False) and abs(value) <= DAY
    step = least if near else round(value * (factor - 1.0))
    return value + (step or least)


def _of_operator(node: ast.BinOp) -> Iterator[tuple[str, Callable[[ast.AST], ast.AST]]]:
    if type(node.op) in OPERATORS:
        yield "operator", _operated
    if isinstance(node.op, ast.Add | ast.Sub | ast.Mult | ast.Div):
        yield "dropped right", lambda n: n.left
    if isinstance(node.op, ast.Add | ast.Mult):
        yield "dropped left", lambda n: n.right


def _operated(node: ast.AST) -> ast.AST:
    assert isinstance(node, ast.BinOp)
    return ast.BinOp(node.left, OPERATORS[type(node.op)](), node.right)


def _compared(node: ast.AST) -> ast.AST:
    assert isinstance(node, ast.Compare)
    first = COMPARISONS[type(node.ops[0])]()
    return ast.Compare(node.left, [first, *node.ops[1:]], node.comparators)


def mutant_of(site: Site, slip: int, root: Path) -> Mutant:
    """The module's source with one slip at a site."""
    kind, change = site.slips[slip]
    tree = ast.parse(site.path.read_text(encoding="utf-8"))
    new = change(copy.deepcopy(site.node))
    told = f"{ast.unparse(site.node)[:70]} -> {ast.unparse(new)[:70]}"
    changed = ast.fix_missing_locations(_Swap(site.node, new).visit(tree))
    line = getattr(site.node, "lineno", 0)
    return Mutant(
        str(site.path.relative_to(root)), line, site.place, kind, told, ast.unparse(changed)
    )


class _Swap(ast.NodeTransformer):
    """Puts a new node where the old one stands, found by its place in the text and its sort."""

    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def generic_visit(self, node: ast.AST) -> ast.AST:
        if type(node) is type(self.old) and _where(node) == _where(self.old):
            return ast.copy_location(self.new, node)
        return super().generic_visit(node)

    def visit(self, node: ast.AST) -> ast.AST:
        return self.generic_visit(node)


def _where(node: ast.AST) -> tuple[int, ...]:
    return tuple(
        getattr(node, name, -1) for name in ("lineno", "col_offset", "end_lineno", "end_col_offset")
    )


@dataclass(frozen=True)
class ChangeSite:
    """One change of a measure in a catalog file: its number in the file and the slips that fit it."""

    path: Path
    measure: int
    change: int
    slips: tuple[str, ...]


def change_sites(path: Path) -> Iterator[ChangeSite]:
    """All changes of the measures of a catalog file."""
    for number, measure in enumerate(_table(path)["measure"]):
        for place, change in enumerate(measure.get("changes", ())):
            value = str(change["value"])
            numeric = any(letter in "123456789" for letter in value)
            yield ChangeSite(
                path,
                number,
                place,
                ("constant x 1.2", "constant x 0.8", "operation") if numeric else ("operation",),
            )


def changed_measure(site: ChangeSite, slip: int, root: Path) -> Mutant:
    """A catalog with one change of one measure slipped; ``text`` names the measure, the change and the new one."""
    measure = _table(site.path)["measure"][site.measure]
    change = dict(measure["changes"][site.change])
    kind = site.slips[slip]
    key = "op" if kind == "operation" else "value"
    before = change[key]
    change[key] = SWAPPED[before] if key == "op" else _scaled(before, float(kind[-3:]))
    text = repr((site.measure, site.change, change))
    line = _line(site.path, measure["key"]) + site.change
    what = f"{change['where']}.{change['field']}: {before} -> {change[key]}"
    return Mutant(str(site.path.relative_to(root)), line, ("", measure["key"]), kind, what, text)


def _scaled(value: str | float, factor: float) -> str | float:
    if isinstance(value, int | float):
        return value * factor
    start = next(i for i, letter in enumerate(value) if letter.isdigit())
    end = start
    while end < len(value) and (value[end].isdigit() or value[end] == "."):
        end += 1
    return f"{value[:start]}{float(value[start:end]) * factor:g}{value[end:]}"


def _table(path: Path) -> dict:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _line(path: Path, key: str) -> int:
    lines = path.read_text(encoding="utf-8").splitlines()
    start = next(i for i, line in enumerate(lines) if line == f'key = "{key}"')
    return start + next(i for i, line in enumerate(lines[start:]) if line.startswith("changes")) + 2
