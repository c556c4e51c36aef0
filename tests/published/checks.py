"""One row of a check against the world outside, and the assertion that all topics share."""

from collections.abc import Callable
from dataclasses import dataclass

MARKS = ("read", "memory", "common practice, no source")


@dataclass(frozen=True)
class Check:
    """A published number, where it stands, and how to get ours."""

    topic: str
    name: str
    source: str
    mark: str
    expected: float
    ours: Callable[[], float]
    tolerance: float
    why: str
    relative: bool = False

    def __post_init__(self) -> None:
        if self.mark not in MARKS:
            raise ValueError(f"check '{self.name}': mark is {self.mark!r}; use one of {MARKS}")

    def __str__(self) -> str:
        return f"{self.topic}: {self.name}"


def assert_check(check: Check) -> None:
    """Our number lies within the stated tolerance of the published one."""
    ours = float(check.ours())
    allowed = check.tolerance * (abs(check.expected) if check.relative else 1.0)
    assert abs(ours - check.expected) <= allowed, (
        f"{check}: published {check.expected}, ours {ours}, allowed difference {allowed} "
        f"({check.source})"
    )
