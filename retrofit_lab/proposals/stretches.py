"""Where the parts of a plan's promised and real saving begin and end on one scale of dollars; no drawing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from retrofit_lab.proposals.in_real_houses import Expected

ROOM = 1.3
"""How far the scale goes beyond the longer bar, so that the range of the real saving fits on it. [1]"""
STEPS = (1, 2, 5)
MOST_MARKS = 4

Stretch = tuple[str, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretches:
    """Bars of one plan: key, start and end of each measure [dollars/year], the scale's end and its marks."""

    promised: tuple[Stretch, ...]
    real: tuple[Stretch, ...]
    end: float
    marks: tuple[float, ...]


def stretches(expected: Expected, ticked: Sequence[str]) -> Stretches:
    """Bars of a plan: what its measures promise one by one, and what they save together.

    What costs more than it saves has no stretch; the real bar ends at what the plan saves.
    """
    shares = {key: max(expected.lines[key], 0.0) for key in ticked}
    total = sum(shares.values())
    ratio = max(expected.saving, 0.0) / total if total > 0 else 0.0
    end = ROOM * max(expected.one_by_one, expected.saving, 1.0)
    return Stretches(
        promised=tuple(_ends((key, max(expected.alone[key], 0.0)) for key in ticked)),
        real=tuple(_ends((key, share * ratio) for key, share in shares.items())),
        end=end,
        marks=marks(end),
    )


def _ends(lengths: Iterator[tuple[str, float]]) -> Iterator[Stretch]:
    at = 0.0
    for key, length in lengths:
        yield key, at, at + length
        at += length


def marks(end: float) -> tuple[float, ...]:
    """Round numbers from 0 up to the end of a scale.

    >>> marks(130.0)
    (0.0, 50.0, 100.0)
    """
    step = 1.0
    while end / step > MOST_MARKS:
        step = _next_step(step)
    return tuple(step * place for place in range(int(end / step) + 1))


def _next_step(step: float) -> float:
    power = 1.0
    while power * 10.0 <= step:
        power *= 10.0
    return next((s * power for s in STEPS if s * power > step), 10.0 * power)
