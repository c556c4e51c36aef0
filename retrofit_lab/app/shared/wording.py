"""Money and titles that several pages write alike, and how parts are rounded to add up; no sentence."""

from collections.abc import Sequence

STEPS = ((100.0, 1), (10_000.0, 10), (float("inf"), 100))
"""Below which size money is rounded to which step. [dollars]"""


def dollars(amount: float) -> str:
    """Money as people say it: whole dollars below 100, tens below 10,000, hundreds above."""
    return as_rounded(rounded(amount))


def as_rounded(amount: float) -> str:
    """Money that was rounded before."""
    return f"-${-amount:,.0f}" if amount < 0 else f"${amount:,.0f}"


def rounded(amount: float) -> int:
    """Money rounded as `dollars` writes it. [dollars]"""
    step = _step(amount)
    return round(amount / step) * step


def shown_after(before: float, after: float) -> int:
    """What is paid afterward: the difference of what was paid before and what is saved, both as shown. [dollars]"""
    return rounded(before) - rounded(before - after)


def adding_up(parts: Sequence[float], whole: int) -> list[int]:
    """Parts rounded as `dollars` writes them, and moved so that they add up to a whole that was rounded before.

    The coarsest move first, by a step of their own, and those before others that rounding took farthest the other
    way. What is still missing is in the largest. [dollars]
    """
    shown = [rounded(part) for part in parts]
    rest = whole - sum(shown)
    for step in (100, 10, 1):
        sign = 1 if rest > 0 else -1
        off = [sign * (part - one) for part, one in zip(parts, shown, strict=True)]
        places = [at for at, part in enumerate(parts) if shown[at] and _step(part) == step]
        for place in sorted(places, key=lambda at: -off[at]):
            if 2 * abs(rest) > step or abs(rest) == step:
                shown[place] += sign * step
                rest -= sign * step
    if rest and any(shown):
        shown[max(range(len(shown)), key=lambda at: abs(shown[at]))] += rest
    return shown


def _step(amount: float) -> int:
    return next(step for below, step in STEPS if abs(amount) < below)


def lowered(title: str) -> str:
    """Title inside a sentence: only its first letter becomes small."""
    return title[:1].lower() + title[1:]
