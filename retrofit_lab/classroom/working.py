"""Works an answer out the way a pencil does: from the rounded numbers on the page, line by line."""

import ast
import operator
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

OPERATIONS: Mapping[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
SIGNS = (("*", "\N{MULTIPLICATION SIGN}"), ("/", "\N{DIVISION SIGN}"), ("-", "\N{MINUS SIGN}"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a hand calculation: what it finds, the sum with names in braces, and how it is written."""

    finds: str
    name: str
    work: str
    form: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedLine:
    """One line with its numbers; ``value`` is the result as it is written, so that it can be worked on."""

    text: str
    value: float


def worked(lines: Sequence[Line], facts: Mapping[str, Any]) -> tuple[WorkedLine, ...]:
    """Every line with its numbers; later lines use the rounded results of earlier ones.

    ``facts`` are the numbers that it starts from and, by their names, how units are written.
    """
    known = dict(facts)
    done = []
    for line in lines:
        work = line.work.format(**known)
        said = format(arithmetic(work), line.form)
        known[line.name] = float(said.replace(",", ""))
        result = said.replace("-", "\N{MINUS SIGN}")
        unit = line.unit.format(**known)
        apart = "" if unit == "%" else " "
        text = f"{line.finds}: {_written(work)} = {result}{apart}{unit}".strip()
        done.append(WorkedLine(text=text, value=known[line.name]))
    return tuple(done)


def arithmetic(work: str, names: Mapping[str, float] | None = None) -> float:
    """Value of a sum of numbers and names with + - * / ** and brackets; commas part thousands.

    Raises
    ------
    ValueError
        When anything else is in it.
    """
    return _value(ast.parse(work.replace(",", ""), mode="eval").body, names or {})


def _value(node: ast.expr, names: Mapping[str, float]) -> float:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.Name) and node.id in names:
        return float(names[node.id])
    if isinstance(node, ast.BinOp) and type(node.op) in OPERATIONS:
        return OPERATIONS[type(node.op)](_value(node.left, names), _value(node.right, names))
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_value(node.operand, names)
    raise ValueError(f"'{ast.unparse(node)}' is not plain arithmetic")


def _written(work: str) -> str:
    text = work.replace("**", "^")
    for sign, said in SIGNS:
        text = text.replace(sign, said)
    return text
