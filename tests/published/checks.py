"""One row of a check against the world outside, the assertion that all topics share, and what a row runs."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

import retrofit_lab

MARKS = ("read", "memory", "common practice, no source")
PACKAGE = str(Path(retrofit_lab.__file__).parent)


@dataclass(frozen=True)
class Check:
    """A published number, where it stands, and how to get ours.

    ``mechanism`` names what a row about a whole house is about; a row about one function is named after
    the functions that it calls.
    """

    topic: str
    name: str
    source: str
    mark: str
    expected: float
    ours: Callable[[], float]
    tolerance: float
    why: str
    relative: bool = False
    mechanism: str = ""

    def __post_init__(self) -> None:
        if self.mark not in MARKS:
            raise ValueError(f"check '{self.name}': mark is {self.mark!r}; use one of {MARKS}")

    def __str__(self) -> str:
        return f"{self.topic}: {self.name}"

    @property
    def allowed(self) -> float:
        """Greatest difference that passes, in the unit of the number."""
        return self.tolerance * (abs(self.expected) if self.relative else 1.0)


def outside(source: str) -> Callable[[Callable], Callable]:
    """Names what a test that is no row compares the product with; only such tests count as outside numbers."""

    def named(test: Callable) -> Callable:
        test.against = source  # type: ignore[attr-defined]
        return test

    return named


def assert_check(check: Check) -> None:
    """Our number lies within the stated tolerance of the published one."""
    ours = float(check.ours())
    assert abs(ours - check.expected) <= check.allowed, (
        f"{check}: published {check.expected}, ours {ours}, allowed difference {check.allowed} "
        f"({check.source})"
    )


def entered(run: Callable[[], object]) -> tuple[str, ...]:
    """Functions of the package that a piece of test code calls itself, as ``module:name``."""
    found: set[str] = set()

    def watch(frame: FrameType, event: str, _argument: object) -> None:
        if event != "call" or not frame.f_code.co_filename.startswith(PACKAGE):
            return
        caller = frame.f_back
        if caller is not None and not caller.f_code.co_filename.startswith(PACKAGE):
            where = Path(frame.f_code.co_filename).relative_to(PACKAGE).with_suffix("")
            name = ".".join(("retrofit_lab", *where.parts))
            found.add(f"{name}:{frame.f_code.co_qualname}")

    before = sys.getprofile()
    sys.setprofile(watch)
    try:
        run()
    finally:
        sys.setprofile(before)
    return tuple(sorted(found))


def mechanism(check: Check) -> str:
    """What a row checks: the mechanism that it names, or the functions that it calls."""
    if check.mechanism:
        return check.mechanism
    return " ".join(place.partition(":")[2] for place in entered(check.ours))
