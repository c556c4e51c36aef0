"""What the program is made of: every package declared, locked with its hashes, every foreign file with its origin."""

import ast
import hashlib
import re
import subprocess
import sys
import tomllib
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import anywidget
import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from retrofit_lab.app.lesson.widget import LessonPage
from retrofit_lab.app.page.kitchen_table import KitchenTable
from retrofit_lab.app.walk.widget import Walkthrough

ROOT = Path(__file__).parents[1]
SHARE = ROOT / "retrofit_lab/app/serve/share"
LOCKS = (ROOT / "tests/lock/ci.txt", ROOT / "binder/requirements.txt")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
MINIFIED = 100_000
"""A script of ours is shorter; what is longer came from elsewhere. [byte]"""


distributions = cache(packages_distributions)


@cache
def imported(folder: Path) -> set[str]:
    """Top names of everything that the modules of a folder import."""
    found: set[str] = set()
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                found.add(node.module.partition(".")[0])
    return found - set(sys.stdlib_module_names) - {"retrofit_lab"}


def declared(*extras: str) -> dict[str, Requirement]:
    table = PROJECT["project"]
    lines = [
        *table["dependencies"],
        *(x for e in extras for x in table["optional-dependencies"][e]),
    ]
    found = {canonicalize_name(one.name): one for one in map(Requirement, lines)}
    return found | {extra: one for one in found.values() for extra in one.extras}


def test_every_imported_package_is_declared() -> None:
    known, wanted = distributions(), declared("cluster")
    missing = {
        name
        for name in imported(ROOT / "retrofit_lab")
        if not {canonicalize_name(one) for one in known.get(name, [])} & wanted.keys()
    }
    assert missing == set()


def test_every_declared_package_is_needed() -> None:
    known = distributions()
    used = {
        canonicalize_name(one) for name in imported(ROOT / "retrofit_lab") for one in known[name]
    }
    loaded_by_others = {"ipywidgets"}
    assert declared().keys() - used <= loaded_by_others


def locked(path: Path) -> dict[str, tuple[str, list[str]]]:
    """Version and hashes of each package of a lock."""
    text = path.read_text(encoding="utf-8").replace("\\\n", " ")
    found = {}
    for line in filter(None, (line.partition("#")[0].strip() for line in text.splitlines())):
        name, version = re.match(r"([\w.-]+)==([^\s;]+)", line).groups()
        found[canonicalize_name(name)] = (
            version,
            re.findall(r"--hash=sha256:([0-9a-f]{64})\b", line),
        )
    return found


@pytest.mark.parametrize("path", LOCKS, ids=lambda path: path.name)
def test_lock_holds_every_package_within_its_bounds_and_with_its_hashes(path: Path) -> None:
    pins = locked(path)
    for name, wanted in declared().items():
        assert wanted.specifier.contains(pins[name][0]), name
    assert all(hashes for _, hashes in pins.values())
    assert "hatchling" in pins


def test_lock_of_the_checks_holds_what_the_checks_use() -> None:
    groups = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))[
        "dependency-groups"
    ]
    pins = locked(LOCKS[0])
    for line in (*groups["test"], *groups["dev"]):
        if isinstance(line, str):
            wanted = Requirement(line)
            pin, _ = pins[canonicalize_name(wanted.name)]
            assert wanted.specifier.contains(pin), line


@pytest.mark.parametrize("path", LOCKS, ids=lambda path: path.name)
def test_lock_names_no_place_to_look_up(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"https?:|file:|--(?:extra-)?index-url|--find-links|@\s", text)


def test_both_locks_agree() -> None:
    checks, page = map(locked, LOCKS)
    assert page.items() <= checks.items()


def foreign_files() -> list[dict[str, str]]:
    return tomllib.loads((SHARE / "vendored.toml").read_text(encoding="utf-8"))["file"]


@pytest.mark.parametrize(
    "entry", foreign_files(), ids=lambda entry: entry["path"].rpartition("/")[2]
)
def test_foreign_file_is_what_its_origin_published(entry: dict[str, str]) -> None:
    content = (SHARE / entry["path"]).read_bytes()
    assert hashlib.sha256(content).hexdigest() == entry["sha256"]
    assert all(entry[name] for name in ("package", "version", "member", "license"))


def test_no_foreign_file_is_without_its_origin() -> None:
    known = {(SHARE / entry["path"]) for entry in foreign_files()}
    found = {
        path
        for ending in ("*.js", "*.css", "*.woff*", "*.wasm")
        for path in (ROOT / "retrofit_lab").rglob(ending)
        if path.stat().st_size > MINIFIED or path.name.endswith(".min.js")
    }
    assert found <= known


def test_files_have_everywhere_the_line_ends_that_they_are_kept_with() -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("no checkout")
    files = [".ci/elsewhere", "tests/run", "tests/lock/ci.txt", str(SHARE.relative_to(ROOT) / "vendored.toml")]  # fmt: skip
    told = subprocess.run(
        ["git", "check-attr", "text", "--", *files],
        cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=True,
    )  # fmt: skip
    assert [line.rpartition(" ")[2] for line in told.stdout.splitlines()] == ["unset"] * len(files)


OURS_INSTEAD = {"__init__", "set_state", "_handle_msg"}
"""What takes the place of the library's on purpose, and hands on to it or says why not."""


def test_no_widget_takes_the_place_of_a_part_of_its_library_by_chance() -> None:
    """A name of ours that a later or older library uses for itself breaks the page there."""
    base = set(dir(anywidget.AnyWidget))
    ours = {part for widget in (KitchenTable, LessonPage, Walkthrough) for part in widget.__mro__}
    for one in ours - set(anywidget.AnyWidget.__mro__):
        own = {name for name, part in vars(one).items() if callable(part) or isinstance(part, property)}  # fmt: skip
        assert own & base <= OURS_INSTEAD, one
