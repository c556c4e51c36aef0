"""Draws of everything that is not known exactly: numbers of the house, prices, costs, people; no results.

The draws are a scrambled Sobol sequence, one column for each cause. Numbers that share a cause move
together: all surfaces have the same column for their gaps, day and night settings that for the
thermostat. The same draws serve every plan, so that differences between plans are sharp.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from retrofit_lab.base.parameters import Parameter, parameters
from retrofit_lab.base.values import FloatArray
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import numbers, parameter_at
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.uncertainty.doubt import (
    EIGHTY_PERCENT,
    Doubt,
    doubts,
    settled_already,
    with_common,
)
from retrofit_lab.uncertainty.even_points import MOST, even_points, normal_at, place_of
from retrofit_lab.uncertainty.realizing import realized_kinds, shares_drawn
from retrofit_lab.uncertainty.triangle import Triangle

DRAWS = MOST
ASSUMED_FACTOR = 2.0
"""How much wider a number is spread that no one gave, so that a default stands for it. [1] (judgment)"""
SHARED_PRICE_LEVEL = 0.5
"""Share of a cost's spread that all costs have in common: the trades of one place. [1] (judgment)"""
WHOLE = ("window.facing", "underground.depth")
"""Numbers that the model takes as one for all draws: they shape its sun and soil tables."""
SAME_CAUSE = {
    "period.heating_setpoint": "zone.heating_setpoint",
    "period.cooling_setpoint": "zone.cooling_setpoint",
    "ducts.return_leakage": "ducts.supply_leakage",
    "ducts.return_r": "ducts.supply_r",
}
"""Numbers that move with another one: the same thermostat, the same hands on the same ducts."""
PRICE = "price.price"
COST = "cost"
PEOPLE = "people"
SHARED = "shared"
REALIZED = "realized"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Draws:
    """Draws of all that is uncertain about one house.

    ``causes`` name the columns of ``places`` [1], shape (draws, causes): where in its own distribution,
    from 0 to 1, each cause stands. ``numbers`` hold the house's numbers by path, shape (draws, 1);
    ``price_factors`` what fuel prices are multiplied by, shape (draws,); ``costs`` the price of each
    measure, shape (draws, offers) [dollars]; ``realized`` the share of its saving that comes about, shape
    (draws, offers) [1].
    """

    causes: tuple[str, ...]
    places: FloatArray
    numbers: Mapping[str, FloatArray]
    price_factors: Mapping[str, FloatArray]
    costs: FloatArray
    realized: FloatArray

    @property
    def count(self) -> int:
        """Number of draws."""
        return len(self.places)

    def part(self, start: int, stop: int) -> "Draws":
        """Some of the draws; the first power of two of them fill the space evenly too."""
        rows = slice(start, stop)
        return Draws(
            causes=self.causes,
            places=self.places[rows],
            numbers={path: values[rows] for path, values in self.numbers.items()},
            price_factors={fuel: values[rows] for fuel, values in self.price_factors.items()},
            costs=self.costs[rows],
            realized=self.realized[rows],
        )


def as_worked_out(draws: Draws) -> Draws:
    """The same draws in which every saving comes about as worked out."""
    return replace(draws, realized=np.ones_like(draws.realized))


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One number of a house with its spread: its path, value, cause and half of its 80 % range."""

    path: str
    value: float
    cause: str
    half_range: float
    rule: Parameter


WEATHER = "site.warmer_by"
"""The number that stands for other years' weather: no one gives it, and its spread is that of the years."""

AIR_MODEL = "site.air_model"
"""The weight of one published model of natural air against the other: no visit finds it out."""
NOBODY_GIVES = (WEATHER, AIR_MODEL)
"""Numbers that stand for their default in every house: their spread is already that of not knowing."""


def spreads(house: House) -> Iterator[Spread]:
    """Every number of a house that is not known exactly, in the order of its paths."""
    for path, value in numbers(house):
        rule = parameter_at(house, path)
        if rule.name in WHOLE or path.startswith("prices."):
            continue
        wider = path in house.assumed and rule.name not in NOBODY_GIVES
        half = rule.half_range(float(value)) * (ASSUMED_FACTOR if wider else 1.0)
        if half > 0.0:
            cause = SAME_CAUSE.get(rule.name, rule.name)
            yield Spread(path=path, value=float(value), cause=cause, half_range=half, rule=rule)


def doubt_of(house: House, spread: Spread) -> Doubt | None:
    """Spread over the stock of a number that a starting house estimates; None where the declared one stands."""
    if not house.basics.kind or spread.path not in house.assumed:
        return None
    doubt = doubts().get(spread.rule.name)
    at_its_end = spread.value >= spread.rule.legal_high
    return None if doubt is None or at_its_end or settled_already(doubt, spread.value) else doubt


def draw(
    house: House,
    offers: Sequence[Offer],
    fuels: Sequence[str],
    *,
    count: int = DRAWS,
    billed: bool = False,
) -> Draws:
    """Draws for one house and its measures.

    Parameters
    ----------
    house : House
        House with the additions of its offers, at rest.
    offers : sequence of Offer
        Measures in catalog order.
    fuels : sequence of str
        Fuels that have a price.
    count : int
        Number of draws, a power of two. The same question gets the same draws.
    billed : bool
        Whether the house is fitted to its bills, so that more of a worked-out saving comes about.

    Returns
    -------
    Draws
        In which savings come about as in real houses; see `as_worked_out`.

    Raises
    ------
    InputError
        When the number of draws is no power of two.
    """
    found = list(spreads(house))
    fuels = tuple(dict.fromkeys(fuels))
    names = tuple(dict.fromkeys(spread.cause for spread in found))
    stock = {spread.path: doubt for spread in found if (doubt := doubt_of(house, spread))}
    shared = tuple(dict.fromkeys(f"{SHARED}.{d.shared}" for d in stock.values() if d.shared))
    costs = tuple(f"{COST}.{offer.key}" for offer in offers)
    kinds = tuple(f"{REALIZED}.{kind.kind}" for kind in realized_kinds())
    causes = (PEOPLE, *(f"{PRICE}.{fuel}" for fuel in fuels), *names, COST, *costs, *shared, *kinds)
    places = even_points(len(causes), count)
    normal = dict(zip(causes, normal_at(places).T, strict=True))
    return Draws(
        causes=causes,
        places=places,
        numbers={
            spread.path: drawn_at(spread, stock.get(spread.path), normal)[:, None]
            for spread in found
        },
        price_factors={fuel: _price(house, fuel, normal[f"{PRICE}.{fuel}"]) for fuel in fuels},
        costs=_costs(offers, normal),
        realized=shares_drawn(offers, normal[PEOPLE], _own(normal), billed=billed),
    )


def _own(normal: Mapping[str, FloatArray]) -> Mapping[str, FloatArray]:
    return {kind.kind: normal[f"{REALIZED}.{kind.kind}"] for kind in realized_kinds()}


def drawn_at(spread: Spread, doubt: Doubt | None, normal: Mapping[str, FloatArray]) -> FloatArray:
    """Values of a number where its cause, and what it shares with others, stand so. shape (draws,) [its unit]"""
    own = normal[spread.cause]
    if doubt is None:
        return _around(spread, own)
    place = with_common(doubt, own, normal[f"{SHARED}.{doubt.shared}"]) if doubt.shared else own
    return np.clip(doubt.drawn(spread.value, place), spread.rule.legal_low, spread.rule.legal_high)


def _around(spread: Spread, normal: FloatArray) -> FloatArray:
    """Normal around the value; where it would pass a legal bound, only its part inside."""
    deviation = spread.half_range / EIGHTY_PERCENT
    low = (spread.rule.legal_low - spread.value) / deviation
    high = (spread.rule.legal_high - spread.value) / deviation
    reach = np.abs(normal).max()
    inside = normal if low <= -reach and reach <= high else _between(normal, low, high)
    return spread.value + deviation * inside


def _between(normal: FloatArray, low: float, high: float) -> FloatArray:
    below, above = NormalDist().cdf(low), NormalDist().cdf(high)
    inside = normal_at(below + place_of(normal) * (above - below))
    return np.asarray(np.clip(inside, low, high))


def _price(house: House, fuel: str, normal: FloatArray) -> FloatArray:
    """A fuel without a price of its own counts as assumed."""
    rule = parameters()[PRICE]
    given = fuel in {price.key for price in house.prices}
    path = f"prices.{fuel}.price"
    assumed = not given or path in house.assumed
    deviation = rule.half_range(1.0) * (ASSUMED_FACTOR if assumed else 1.0) / EIGHTY_PERCENT
    return np.maximum(1.0 + deviation * normal, 0.0)


def _costs(offers: Sequence[Offer], normal: Mapping[str, FloatArray]) -> FloatArray:
    """Costs between low and high; a part of their spread is the price level that they share."""
    level = np.sqrt(SHARED_PRICE_LEVEL) * normal[COST]
    columns = []
    for offer in offers:
        own = np.sqrt(1.0 - SHARED_PRICE_LEVEL) * normal[f"{COST}.{offer.key}"]
        triangle = Triangle(low=offer.cost_low, likely=offer.cost_likely, high=offer.cost_high)
        columns.append(triangle.at(place_of(level + own)))
    return np.column_stack(columns) if columns else np.zeros((len(level), 0))
