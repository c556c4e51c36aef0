"""Which definitions of the package a given one can reach, read from the source alone; nothing is imported.

A definition is reached when reached code calls it, hands it to a call, returns it, decorates with it or
derives from it. A name that only is in a list, a table, a docstring or an annotation does not count.
An attribute that is read (``line.base_temperature``) reaches every method of that name of a reached class.
"""

import ast
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@dataclass
class Module:
    """One source file: what it defines, what its names mean, and the values of its constants."""

    name: str
    definitions: dict[str, Definition] = field(default_factory=dict)
    constants: dict[str, ast.expr] = field(default_factory=dict)
    imported: dict[str, tuple[str, str]] = field(default_factory=dict)


def modules(root: Path) -> dict[str, Module]:
    """All modules of a package by dotted name."""
    found = {}
    for path in sorted(root.rglob("*.py")):
        parts = path.relative_to(root.parent).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name] = _module(name, ast.parse(path.read_text(encoding="utf-8")))
    return found


def _module(name: str, tree: ast.Module) -> Module:
    module = Module(name, imported=dict(_imports(tree)), constants=dict(_constants(tree)))
    for node in tree.body:
        if isinstance(node, Definition):
            module.definitions[node.name] = node
        if isinstance(node, ast.ClassDef):
            inner = (inner for inner in node.body if isinstance(inner, Definition))
            module.definitions |= {f"{node.name}.{method.name}": method for method in inner}
    return module


def _imports(tree: ast.Module) -> Iterator[tuple[str, tuple[str, str]]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            yield from ((a.asname or a.name, (node.module or "", a.name)) for a in node.names)
        elif isinstance(node, ast.Import):
            yield from ((a.asname or a.name, (a.name, "")) for a in node.names)


def _constants(tree: ast.Module) -> Iterator[tuple[str, ast.expr]]:
    for node in tree.body:
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            for target in node.targets if isinstance(node, ast.Assign) else [node.target]:
                names = target.elts if isinstance(target, ast.Tuple) else [target]
                yield from ((name.id, node.value) for name in names if isinstance(name, ast.Name))


STUDY = {"study": "Study", "case": "Case", "money": "Money", "energies": "Energies"}
"""The class that is a study, and those that it is made of, by module of their room."""


def study_starts(package: dict[str, Module]) -> list[tuple[str, str]]:
    """A study and its parts, with all their methods: what everything outside calls."""
    return [
        (f"retrofit_lab.study.{module}", name)
        for module, owner in STUDY.items()
        for name in package[f"retrofit_lab.study.{module}"].definitions
        if name.split(".")[0] == owner
    ]


def used(node: ast.AST) -> Iterator[ast.expr]:
    """Names and attributes that a piece of code calls, hands on, returns, decorates with or computes with."""
    if isinstance(node, ast.Name | ast.Attribute):
        yield node
    for child in _looked_into(node):
        yield from used(child)


def _looked_into(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        yield from (*node.decorator_list, *node.args.defaults, *node.body)
        yield from (default for default in node.args.kw_defaults if default is not None)
    elif isinstance(node, ast.ClassDef):
        yield from (*node.bases, *node.decorator_list)
        yield from (inner for inner in node.body if not isinstance(inner, Definition))
    elif isinstance(node, ast.AnnAssign):
        yield from [node.value] if node.value is not None else []
    else:
        listed = isinstance(node, ast.List | ast.Tuple | ast.Set | ast.Dict)
        for child in ast.iter_child_nodes(node):
            if not (listed and isinstance(child, ast.Name) and not child.id.isupper()):
                yield child


class Reach:
    """Everything that can be reached from one definition, as ``module:name``."""

    def __init__(self, package: dict[str, Module], starts: list[tuple[str, str]]) -> None:
        self.package = package
        self.found: set[tuple[str, str]] = set()
        self.attributes: set[str] = set()
        self.waiting = list(starts)
        while self.waiting:
            self._visit(self.waiting.pop())
            if not self.waiting:
                self.waiting = list(self._methods())

    def _visit(self, place: tuple[str, str]) -> None:
        module = self.package.get(place[0])
        if module is None or place in self.found:
            return
        node = module.definitions.get(place[1]) or module.constants.get(place[1])
        if node is None:
            if place[1] in module.imported:
                self.waiting.append(self._imported(module, place[1]))
            return
        self.found.add(place)
        if isinstance(node, ast.ClassDef):
            special = (n for n in module.definitions if n.startswith(f"{place[1]}.__"))
            self.waiting += [(place[0], name) for name in special]
        for expression in used(node):
            self._use(module, expression)

    def _use(self, module: Module, expression: ast.expr) -> None:
        if isinstance(expression, ast.Attribute):
            self.attributes.add(expression.attr)
            base = expression.value
            if isinstance(base, ast.Name) and base.id in module.imported:
                where, name = module.imported[base.id]
                inner = f"{where}.{name}".strip(".")
                if inner in self.package:
                    self.waiting.append((inner, expression.attr))
        elif isinstance(expression, ast.Name):
            if expression.id in module.definitions or expression.id in module.constants:
                self.waiting.append((module.name, expression.id))
            elif expression.id in module.imported:
                self.waiting.append(self._imported(module, expression.id))

    def _imported(self, module: Module, name: str) -> tuple[str, str]:
        return module.imported[name]

    def _methods(self) -> Iterator[tuple[str, str]]:
        for where, module in self.package.items():
            for name in module.definitions:
                owner, _, method = name.rpartition(".")
                known = owner and method in self.attributes and (where, owner) in self.found
                if known and (where, name) not in self.found:
                    yield where, name
