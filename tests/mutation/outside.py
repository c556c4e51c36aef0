"""The checks with an outside number, to be run without pytest, and which of the product's functions each runs.

A file of `tests/published` gives its rows, but for limits and plain arithmetic, and the tests that name with
`checks.outside` what they compare with. The hourly house gives one check for each kind of number it judges.
"""

import importlib
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

TESTS = Path(__file__).parents[1]
PACKAGE = str(TESTS.parent / "retrofit_lab")
HOURLY = "hourly"
NOBODYS = ("limiting case", "limit of the formula", "arithmetic")
"""Sources of rows that hold by themselves: good tests, but no number from outside."""
Place = tuple[str, str]


@dataclass(frozen=True)
class Outside:
    """One check: its name, and what raises when the product no longer agrees."""

    name: str
    run: Callable[[], None]


def files() -> list[str]:
    """Everything that holds checks, the quick first."""
    names = sorted(path.stem for path in (TESTS / "published").glob("test_*.py"))
    hourly = [HOURLY] if (TESTS / "hourly" / "checks.py").exists() else []
    return [name for name in names if name != "test_table"] + hourly


def checks_of(name: str) -> Iterator[Outside]:
    """Checks of one file, which is imported now."""
    module = importlib.import_module("hourly.checks" if name == HOURLY else name)
    for check in getattr(module, "CHECKS", ()):
        if getattr(check, "source", "") not in NOBODYS:
            yield Outside(str(check), lambda check=check: _holds(check))
    for key, value in vars(module).items():
        if key.startswith("test_") and getattr(value, "against", ""):
            yield Outside(f"{name}: {key}", value)


def _holds(check) -> None:
    ours = float(check.ours())
    if not abs(ours - check.expected) <= check.allowed:
        raise AssertionError(f"{check}: published {check.expected}, ours {ours}")


class Watched:
    """Functions of the product that were called while it watched, as pairs of module and name."""

    def __init__(self) -> None:
        self.places: set[Place] = set()
        self._seen: set[object] = set()

    def __enter__(self) -> set[Place]:
        sys.setprofile(self._call)
        return self.places

    def __exit__(self, *_: object) -> None:
        sys.setprofile(None)

    def _call(self, frame: FrameType, event: str, _argument: object) -> None:
        code = frame.f_code
        if event != "call" or code in self._seen:
            return
        self._seen.add(code)
        if code.co_filename.startswith(PACKAGE):
            where = Path(code.co_filename).relative_to(Path(PACKAGE).parent).with_suffix("")
            name = code.co_qualname.split(".<locals>")[0]
            self.places.add((".".join(where.parts), name))
