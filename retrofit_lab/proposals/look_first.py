"""Measures that rest on numbers that no one gave: what to look at, what it could bring, how much that matters."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import parameter_at
from retrofit_lab.proposals.known import missing_in
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.outcomes import MEASURE_DRAWS, Span, bill_parts, span
from retrofit_lab.uncertainty.sampling import SAME_CAUSE, Draws


@dataclass(frozen=True, slots=True, kw_only=True)
class LookFirst:
    """One measure that is a guess in this house, and what would make a step of it.

    ``paths`` are the open numbers, ``words`` the findings, any of which would do; ``questions`` names the
    numbers as they are declared, each once. ``could_bring`` is what it could save beside the plan, with its
    80 % range [dollars/year]; ``change`` is how much better the decision on it comes out on average once
    these numbers are known: without them it is not proposed, and not done. [dollars] Both are None where
    they were not asked for. ``in_plan`` says that someone chose it all the same.
    """

    key: str
    paths: tuple[str, ...]
    words: tuple[str, ...]
    questions: tuple[str, ...]
    in_plan: bool
    could_bring: Span | None = None
    change: float | None = None


def look_first(
    advice: Advice, house: House, keys: Sequence[str], ticked: Sequence[str], *, sure: bool
) -> tuple[LookFirst, ...]:
    """What to look at before some measures, what would change the decision most first.

    Parameters
    ----------
    advice : Advice
        The study and its draws.
    house : House
        The house as someone described it.
    keys : sequence of str
        Measures without evidence.
    ticked : sequence of str
        The plan.
    sure : bool
        Whether ranges are worked out; else the order is that of the catalog.
    """
    study = advice.study
    found = [_to_look_at(study, house, key, ticked) for key in keys]
    if not sure or not found:
        return tuple(found)
    measured = _with_ranges(advice, found, ticked)
    return tuple(sorted(measured, key=_matters))


def _matters(item: LookFirst) -> tuple[float, float]:
    """What would change the decision most goes first; where nothing would, what could bring most."""
    return -(item.change or 0.0), -(item.could_bring.middle if item.could_bring else 0.0)


def _to_look_at(study: Study, house: House, key: str, ticked: Sequence[str]) -> LookFirst:
    paths, words = missing_in(house, study.offer(key).measure)
    questions = tuple(dict.fromkeys(_declared(house, path) for path in paths))
    return LookFirst(key=key, paths=paths, words=words, questions=questions, in_plan=key in ticked)


def _declared(house: House, path: str) -> str:
    """Declared name of a number; a year of make is no number and goes by its own name."""
    return path.rpartition(".")[2] if path.endswith(".made") else parameter_at(house, path).name


def _with_ranges(
    advice: Advice, found: Sequence[LookFirst], ticked: Sequence[str]
) -> list[LookFirst]:
    study, draws = advice.study, advice.draws.part(0, MEASURE_DRAWS)
    saved = _added(advice, [item.key for item in found], ticked, draws)
    per_dollar = study.money.present_worth(np.eye(len(study.fuels))).mean()
    made = []
    for item, drawn in zip(found, saved, strict=True):
        net = drawn * per_dollar - _bought(study, item.key, draws)
        known = draws.places[:, _columns(draws, item.questions)]
        loss = expected_loss(known, net, done=item.in_plan)
        made.append(replace(item, could_bring=span(drawn), change=loss))
    return made


def _bought(study: Study, key: str, draws: Draws) -> FloatArray:
    """Present worth of the cost of one measure by itself. shape (draws,) [dollars]"""
    prices, place = np.zeros((draws.count, len(study.keys))), study.keys.index(key)
    prices[:, place] = draws.costs[:, place]
    return study.money.purchases.present_cost(prices)


def _added(advice: Advice, keys: Sequence[str], ticked: Sequence[str], draws: Draws) -> FloatArray:
    """What measures save beside the others of the plan in real houses. shape (keys, draws) [dollars/year]"""
    study = advice.study
    mask = study.mask(ticked)
    places = [study.keys.index(key) for key in keys]
    one = np.eye(len(mask), dtype=np.bool_)[places]
    masks = np.vstack([mask & ~one.any(axis=0), (mask & ~one.any(axis=0)) | one])
    moving, fixed = (part[0] - part[1:] for part in bill_parts(advice.setting, masks, draws))
    share = draws.realized[:, places].T
    return np.asarray(moving - np.maximum(moving, 0.0) * (1.0 - share) + fixed)


def _columns(draws: Draws, questions: Sequence[str]) -> list[int]:
    causes = dict.fromkeys(SAME_CAUSE.get(name, name) for name in questions)
    return [draws.causes.index(cause) for cause in causes if cause in draws.causes]


def expected_loss(known: FloatArray, net: FloatArray, *, done: bool) -> float:
    """What deciding without some numbers loses on average against deciding with them. [dollars]

    What the net savings would be expected to be once the numbers are known is fitted to the draws by a
    curve of the second degree in each; without any number of the draws, all that is uncertain counts.

    Parameters
    ----------
    known : ndarray, shape (draws, numbers)
        Where each number is in its own distribution. [1]
    net : ndarray, shape (draws,)
        Net savings of the measure. [dollars]
    done : bool
        Whether it is done without knowing them; else it is left out.

    References
    ----------
    Expected value of partial perfect information, by regression (Strong, Oakley and Brennan 2014, memory).
    """
    expected = net
    if known.shape[1]:
        columns = np.column_stack([np.ones(len(net)), known - 0.5, (known - 0.5) ** 2])
        expected = columns @ np.linalg.lstsq(columns, net, rcond=None)[0]
    without = float(net.mean()) if done else 0.0
    return max(0.0, float(np.maximum(expected, 0.0).mean()) - without)
