"""Which inputs make a range wide, and which two would narrow it most if they were measured."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.uncertainty.sampling import AIR_MODEL, PRICE, Draws, spreads

NAMED_ITEMS = 3
"""Items of a house that are named one by one; of more, none is."""
BEYOND_A_VISIT = frozenset(
    {
        "site.warmer_by",
        "site.air_model",
        "size.heat_capacity",
        "surface.r_gap",
        "buffer.air_changes",
        "waterheater.flue_loss",
        "hotwater.pipe_hours",
        "lamp.inside",
        "standby.inside",
        "appliance.inside",
    }
)
"""Numbers that no one finds out on a visit; what they add to a range stays. (judgment)"""
LEAST_TOLD = 0.05
"""Share of the variance from which a doubt that no visit settles is told. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowing:
    """One input to measure: its share of the variance [1] and how much narrower the range gets [1].

    ``places`` are the items of the house that it is about; none where these are more than `NAMED_ITEMS`.
    """

    cause: str
    share: float
    narrower: float
    places: tuple[str, ...]


def variance_shares(places: FloatArray, values: FloatArray) -> FloatArray:
    """Share of the variance of a result that each input explains by itself.

    The variance of the mean of the result inside equal bins of the input, less what such means vary
    by chance, over the variance of the result.

    Parameters
    ----------
    places : ndarray, shape (draws, inputs)
        Where each input is in its own distribution, from 0 to 1. [1]
    values : ndarray, shape (draws,)
        Result of each draw.

    Returns
    -------
    ndarray, shape (inputs,)
        Not below zero; what inputs do together is in none of them. [1]

    References
    ----------
    First-order index of variance-based sensitivity, Sobol 1993 (memory).
    """
    total = values.var()
    if total == 0.0:
        return np.zeros(places.shape[1])
    bins = 2 ** max(1, (len(values).bit_length() - 1) // 2 - 1)
    columns = np.arange(places.shape[1])
    where = (np.minimum(places * bins, bins - 1).astype(np.intp) + bins * columns).ravel()
    size = bins * len(columns)
    counts = np.bincount(where, minlength=size)
    sums = np.bincount(where, np.repeat(values - values.mean(), len(columns)), size)
    between = (sums**2 / np.maximum(counts, 1)).reshape(len(columns), bins).sum(axis=1)
    explained = between / (len(values) * total)
    chance = (bins - 1) / (len(values) - bins) * (1.0 - explained)
    return np.asarray(np.maximum(explained - chance, 0.0))


def what_to_measure(
    house: House, draws: Draws, savings: FloatArray, most: int = 2
) -> tuple[Narrowing, ...]:
    """Inputs that would narrow the range of a saving most if they were known, the best first.

    Costs, what people do with the saving, prices that the house's own bills give and what is
    `BEYOND_A_VISIT` are left out: no measurement on the house settles them.

    Parameters
    ----------
    house : House
        House that was drawn from.
    draws : Draws
        The draws.
    savings : ndarray, shape (draws,)
        Saving in each of them. [dollars/year]
    most : int
        How many to name.
    """
    shares = dict(zip(draws.causes, variance_shares(draws.places, savings).tolist(), strict=True))
    places = _places_of(house)
    known = {f"{PRICE}.{price.key}" for price in house.prices}
    open_questions = [c for c in _measurable(draws, places) if c not in known and shares[c] > 0.0]
    open_questions.sort(key=lambda cause: -shares[cause])
    return tuple(_narrowing(c, shares[c], places.get(c, ())) for c in open_questions[:most])


def air_model_share(draws: Draws, savings: FloatArray) -> float:
    """Share of the doubt in a saving that the choice between two published models of natural air makes. [1]

    Zero where it makes less than `LEAST_TOLD`.
    """
    if AIR_MODEL not in draws.causes:
        return 0.0
    column = draws.places[:, [draws.causes.index(AIR_MODEL)]]
    share = float(variance_shares(column, savings)[0])
    return share if share >= LEAST_TOLD else 0.0


def _measurable(draws: Draws, places: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    for cause in draws.causes:
        if cause.startswith(f"{PRICE}.") or (cause in places and cause not in BEYOND_A_VISIT):
            yield cause


def _places_of(house: House) -> dict[str, tuple[str, ...]]:
    """For each cause the names of the items of the house that it is about, while these are few."""
    labels: dict[str, list[str]] = {}
    for spread in spreads(house):
        if parameter_at(house, spread.path).name == spread.cause:
            owner = number_at(house, spread.path.rpartition(".")[0])
            labels.setdefault(spread.cause, []).append(getattr(owner, "label", ""))
    return {cause: _few(items) for cause, items in labels.items()}


def _few(labels: Sequence[str]) -> tuple[str, ...]:
    named = tuple(dict.fromkeys(label for label in labels if label))
    return named if len(named) <= NAMED_ITEMS else ()


def _narrowing(cause: str, share: float, places: tuple[str, ...]) -> Narrowing:
    narrower = 1.0 - max(0.0, 1.0 - share) ** 0.5
    return Narrowing(cause=cause, share=share, narrower=narrower, places=places)
