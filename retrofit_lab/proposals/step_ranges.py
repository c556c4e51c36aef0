"""80 % ranges of the fair shares of a plan, from draws of two opposite orders; the shares come from elsewhere."""

from collections.abc import Mapping, Sequence

import numpy as np

from retrofit_lab.base.sums import over_last
from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.outcomes import MEASURE_DRAWS, Span, bill_parts, span

LEAST = 1.0
"""Saving from which middle cases are stretched to add up. [dollars/year]"""


def step_ranges(
    advice: Advice, order: Sequence[str], shares: Mapping[str, float], middle: float
) -> Mapping[str, Span]:
    """What comes of the fair share of each measure in real houses. [dollars/year]

    In every draw a measure is seen added in an order and in the opposite one, and the mean of both is
    moved by as much as the fair share is from the same mean as worked out. The middles add up; see `stretched`.

    Parameters
    ----------
    advice : Advice
        The study and its draws.
    order : sequence of str
        The plan.
    shares : mapping of str to float
        Fair share of each of its measures as worked out. [dollars/year]
    middle : float
        Middle case of what the whole plan saves. [dollars/year]
    """
    study, draws = advice.study, advice.draws.part(0, MEASURE_DRAWS)
    forward, backward = _chain(study, order), _chain(study, order[::-1])
    masks = np.vstack([forward, backward])
    moving, fixed = bill_parts(advice.setting, masks, draws)
    realized = draws.realized[:, [study.keys.index(key) for key in order]].T
    steps = _of_both(moving, len(order))
    came = steps - np.maximum(steps, 0.0) * (1.0 - realized) + _of_both(fixed, len(order))
    worked_out = _of_both(over_last(study.energy(masks).charges)[:, None], len(order))[:, 0]
    moved = (np.array([shares[key] for key in order]) - worked_out)[:, None] * realized
    return dict(zip(order, stretched(came + moved, middle), strict=True))


def stretched(parts: FloatArray, middle: float) -> list[Span]:
    """Spans of the parts of a saving, all stretched alike so that their middles add up to that of the whole.

    Middle cases do not add up by themselves. Where they cancel they are left alone.

    Parameters
    ----------
    parts : ndarray, shape (parts, draws)
        Draws of each part. [dollars/year]
    middle : float
        Middle case of the whole. [dollars/year]
    """
    spans = [span(drawn) for drawn in parts]
    total = float(over_last(np.array([one.middle for one in spans])))
    times = middle / total if min(total, middle) > LEAST else 1.0
    return [one.times(times) for one in spans]


def _chain(study: Study, keys: Sequence[str]) -> BoolArray:
    """Sets that grow by one measure at a time, from none. shape (keys + 1, measures)"""
    return np.array([study.mask(keys[:count]) for count in range(len(keys) + 1)])


def _of_both(bills: FloatArray, count: int) -> FloatArray:
    """Mean of what each measure takes off the bills in two opposite orders. (2 * (count + 1), ...) -> (count, ...)"""
    forward, backward = bills[: count + 1], bills[count + 1 :]
    return np.asarray(-(np.diff(forward, axis=0) + np.diff(backward, axis=0)[::-1]) / 2.0)
