"""What a measure of the catalog means for one house: which numbers it changes there, and what it costs."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, get_args, get_type_hints

import numpy as np

from retrofit_lab.base.units import read_quantity
from retrofit_lab.base.values import BoolArray, FloatArray, InputError, Value
from retrofit_lab.house.description import House
from retrofit_lab.house.file import record_from_table
from retrofit_lab.house.limits import recorded_words
from retrofit_lab.house.paths import number_at, parameter_at, with_numbers
from retrofit_lab.measures.catalog import Change, Cost, Measure, MeasureError
from retrofit_lab.measures.in_this_house import (
    Surroundings,
    belongs,
    empty_walls,
    part_of,
    settled_item,
)
from retrofit_lab.measures.selecting import select
from retrofit_lab.physics.ventilation import minimum_ventilation, ventilation_shortfall
from retrofit_lab.texts.english_only import sentence

MINIMUM_VENTILATION = "minimum ventilation"
"""Value of a catalog entry that stands for `missing_ventilation` of the house at hand."""


@dataclass(frozen=True, slots=True)
class NumberChange:
    """A change of one number of one house, in the number's declared unit."""

    path: str
    op: str
    value: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A measure fitted to one house: its changes, its quantity and its price, its ``setup`` included. [dollars]"""

    measure: Measure
    changes: tuple[NumberChange, ...]
    quantity: float
    cost_low: float
    cost_likely: float
    cost_high: float
    setup: float = 0.0
    part: str = ""

    @property
    def key(self) -> str:
        """Key of the measure."""
        return self.measure.key


def offers_for(
    house: House,
    measures: Sequence[Measure],
    cost_factor: float = 1.0,
    around: Surroundings | None = None,
) -> tuple[House, tuple[Offer, ...]]:
    """Measures that change something in a house or are called for there, and the house with their additions at rest.

    Parameters
    ----------
    house : House
        House as found.
    measures : sequence of Measure
        Measures to consider, in catalog order.
    cost_factor : float
        Regional price level against the catalog's. [1]
    around : Surroundings, optional
        Place and heat load; without them any place will do, and the load is guessed by the floor area.

    Returns
    -------
    House
        The same house with items that a measure would add, switched off.
    tuple of Offer
        The measures that apply.
    """
    wanted = [measure for measure in measures if belongs(house, measure, around)]
    for measure in wanted:
        house = _with_additions(house, measure, around)
    found = (offer_for(house, measure, cost_factor) for measure in wanted)
    return house, tuple(offer for offer in found if offer is not None)


def offer_for(house: House, measure: Measure, cost_factor: float = 1.0) -> Offer | None:
    """Offer of one measure, or None where it would change nothing and nothing that was seen calls for it."""
    changes = tuple(c for change in measure.changes for c in _on_house(house, measure, change))
    called = set(measure.called_by) & recorded_words(house)
    if not called and not any(_matters(house, change) for change in changes):
        return None
    quantity = _quantity(house, measure.cost)
    if measure.cost.of and quantity <= 0:
        return None
    low, likely, high = (
        cost_factor * price(measure.cost, quantity, each)
        for each in (measure.cost.low, measure.cost.likely, measure.cost.high)
    )
    return Offer(
        measure=measure,
        changes=changes,
        quantity=quantity,
        cost_low=low,
        cost_likely=likely,
        cost_high=high,
        setup=cost_factor * measure.cost.setup,
        part=part_of(house, measure),
    )


def price(cost: Cost, quantity: float, each: float) -> float:
    """Price of a quantity, never below the minimum of the trade. [dollars]"""
    return max(cost.setup + cost.fixed + each * quantity, cost.minimum)


def with_offers(
    house: House,
    offers: Sequence[Offer],
    chosen: Sequence[BoolArray | bool],
    drawn: Mapping[str, FloatArray] | None = None,
) -> House:
    """House with some offers carried out; with array choices, many variants of it at once.

    Parameters
    ----------
    house : House
        House with the additions of `offers_for`.
    offers : sequence of Offer
        Offers in catalog order; that order is what is worked out, whatever was ticked first.
    chosen : sequence of bool or array
        For each offer whether it is carried out; arrays broadcast against the months axis.
    drawn : mapping of str to ndarray, optional
        Numbers of the house by path that stand in place of its own before anything is carried out.
    """
    values: dict[str, Value] = dict(drawn or {})
    for offer, on in zip(offers, chosen, strict=True):
        if on is False:
            continue
        for change in offer.changes:
            old = values[change.path] if change.path in values else number_at(house, change.path)
            values[change.path] = changed(old, change, on)
    return with_numbers(house, values) if values else house


def fitted(offers: Sequence[Offer], key: str, field: str, value: Value) -> tuple[Offer, ...]:
    """Offers in which one measure sets or raises a number otherwise, such as a fan to the flow that is needed.

    Parameters
    ----------
    offers : sequence of Offer
        Offers of one house.
    key, field : str
        Measure, and the last part of the path that it sets.
    value : Value
        New value, or what is added where the measure adds;
        an array has one row for each set that is worked out. [declared unit of the field]

    Raises
    ------
    MeasureError
        When no offer of that key sets such a number.
    """
    if not any(_sets(change, field) for o in offers if o.key == key for change in o.changes):
        raise MeasureError(sentence("measures_fitted_measures.offer_sets", key=key, field=field))
    return tuple(_fitted(o, field, value) if o.key == key else o for o in offers)


def _sets(change: NumberChange, field: str) -> bool:
    return change.op in ("to", "plus") and change.path.endswith(f".{field}")


def _fitted(offer: Offer, field: str, value: Value) -> Offer:
    changes = (replace(c, value=value) if _sets(c, field) else c for c in offer.changes)
    return replace(offer, changes=tuple(changes))


def changed(old: Value, change: NumberChange, on: BoolArray | bool) -> Value:
    """Number after a change where it is carried out, and as it was elsewhere."""
    new = _operate(old, change.op, change.value)
    return new if on is True else np.where(on, new, old)


def _operate(old: Value, op: str, value: Value) -> Value:
    if op == "to":
        return value
    if op == "at_least":
        return np.maximum(old, value)
    if op == "at_most":
        return np.minimum(old, value)
    if op == "times":
        return old * value
    if op == "plus":
        return old + value
    return 1.0 - (1.0 - old) * (1.0 - value)


def _on_house(house: House, measure: Measure, change: Change) -> Iterator[NumberChange]:
    for record in select(house, change.where):
        path = f"{record}.{change.field}"
        try:
            unit = parameter_at(house, path).unit
            value = _amount(house, change, unit)
        except (KeyError, InputError, ValueError) as error:
            raise MeasureError(
                f"measure '{measure.key}': {change.field} of '{change.where}': {error}"
            ) from error
        yield NumberChange(path, change.op, value)


def _amount(house: House, change: Change, unit: str) -> float:
    if change.op in ("times", "seal"):
        return float(change.value) * (empty_walls(house) if change.scale else 1.0)
    if change.value == MINIMUM_VENTILATION:
        return missing_ventilation(house)
    return read_quantity(change.value, unit)


def missing_ventilation(house: House) -> float:
    """Flow that the standard asks of a house beyond what its fans bring, leaks not counted. [cfm]

    Leaks are left out because they get fewer with every measure that seals: a fan of this size is
    enough in every plan.
    """
    fans = sum(float(fan.flow) * float(fan.hours) / 24.0 for fan in house.fans)
    wanted = minimum_ventilation(house.size.floor_area, house.size.bedrooms)
    return float(ventilation_shortfall(wanted, 0.0, fans))


def _matters(house: House, change: NumberChange) -> bool:
    old = float(number_at(house, change.path))
    return abs(float(_operate(old, change.op, change.value)) - old) > 1e-9


def _with_additions(house: House, measure: Measure, around: Surroundings | None) -> House:
    for addition in measure.adds:
        kind = get_args(get_type_hints(House)[addition.to])[0]
        there: tuple[Any, ...] = getattr(house, addition.to)
        if all(item.key != addition.item["key"] for item in there):
            made = record_from_table(kind, settled_item(house, addition.item, around))
            house = with_numbers(house, {addition.to: (*there, made)})
    return house


def _quantity(house: House, cost: Cost) -> float:
    if not cost.of:
        return 1.0
    total = 0.0
    for record in select(house, cost.of):
        product = 1.0
        for name in cost.fields:
            product *= float(number_at(house, f"{record}.{name}"))
        total += product
    return total
