"""Air that a described house exchanges: from the blower door to monthly flows, shared by leak sites and fans."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.sums import total
from retrofit_lab.base.values import Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import INSIDE, House, LeakSite
from retrofit_lab.model.indoor import differs
from retrofit_lab.physics.air_properties import air_density_ratio, air_heat_coefficient
from retrofit_lab.physics.blower_door import effective_leakage_area, flow_at, flow_coefficient
from retrofit_lab.physics.elementwise import larger
from retrofit_lab.physics.leak_sites import inflow_share, shares_left
from retrofit_lab.physics.leak_sites import site_shares as shares_of
from retrofit_lab.physics.natural_airflow import (
    basic_flow,
    basic_stack_factor,
    basic_wind_factor,
    between_models,
    eave_wind_share,
    natural_flow,
    shelter_factor,
    stack_factor,
    wind_factor,
)
from retrofit_lab.physics.ventilation import combine_with_fans

HIGH_BUFFERS = ("attic", "kneewall")
LOW_BUFFERS = ("basement", "crawlspace")
LITTLE = 0.05
"""Share by which a difference in temperature is changed to see what air does. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """Air flows of one house. [cfm], coefficient [Btu/(h F cfm)]

    ``by_stack`` is by how many percent the natural air falls when the rooms are 1 % nearer to the temperature
    outdoors, a plain nought where no setting falls. ``entering`` and ``leaving`` are shares of the natural flow
    by buffer zone that it passes.
    """

    flow_50: Value
    natural: Value
    by_stack: Value
    heat_coefficient: float
    entering: Mapping[str, Value]
    leaving: Mapping[str, Value]
    exhaust: Value
    supply: Value
    balanced: Value
    recovered: Value


def air(house: House, climate: MonthlyClimate, indoor_heating: Value, indoor_cooling: Value) -> Air:
    """Natural and fan-driven flows of a house by month."""
    shares = site_shares_left(house)
    flow_50 = reading_at_50(house) * total(shares.values())
    entering, leaving = _paths(house, shares)
    density = air_density_ratio(climate.elevation_ft)
    exponent, difference = (
        house.leakage.exponent,
        _mean_difference(climate, indoor_heating, indoor_cooling),
    )
    for_one = _for_one(house, climate, difference)
    fans = {kind: _fan_flow(house, kind) for kind in ("exhaust", "supply", "balanced")}
    return Air(
        flow_50=flow_50,
        natural=flow_coefficient(flow_50, 50.0, exponent) * for_one,
        by_stack=_by_stack(house, climate, difference, for_one),
        heat_coefficient=float(air_heat_coefficient(density)),
        entering=entering,
        leaving=leaving,
        recovered=_recovered_flow(house),
        **fans,
    )


def outdoor_air(flows: Air, imbalance: Value) -> Value:
    """All outdoor air that comes in, natural and by fans and by unequal duct leaks. [cfm]"""
    return combine_with_fans(
        flows.natural, flows.exhaust + imbalance, flows.supply, balanced=flows.balanced
    )


def reading_at_50(house: House) -> Value:
    """Blower-door flow at 50 Pa, from whatever pressure it was read at. [cfm]"""
    leak = house.leakage
    if isinstance(leak.pressure, float) and leak.pressure == 50.0:
        return leak.flow
    coefficient = flow_coefficient(leak.flow, leak.pressure, leak.exponent)
    return flow_at(coefficient, leak.exponent, 50.0)


def site_shares(house: House) -> dict[str, Value]:
    """Share of the measured leakage at each site, before any sealing; they add to one. [1]"""
    return shares_of({site.key: _typical_area(site) for site in house.leakage.sites})


def site_shares_left(house: House) -> dict[str, Value]:
    """Share of the measured leakage that is left at each site after sealing. [1]"""
    return shares_left(site_shares(house), {s.key: s.sealed for s in house.leakage.sites})


@cache
def leak_rows() -> dict[str, dict[str, str]]:
    """Kinds of leak sites with their typical areas."""
    return {row["key"]: row for row in read_rows("leak_sites.csv")}


def _typical_area(site: LeakSite) -> Value:
    return float(leak_rows()[site.kind]["likely_in2"]) * site.count * site.condition


def _paths(house: House, shares: Mapping[str, Value]) -> tuple[dict[str, Value], dict[str, Value]]:
    """Air comes in low and goes out high; the middle serves both by halves (judgement)."""
    kinds = {buffer.key: buffer.kind for buffer in house.buffers}
    places = {site.key: site.place for site in house.leakage.sites}
    low: dict[str, Value] = {}
    high: dict[str, Value] = {}
    middle: Value = 0.0
    for key, share in shares.items():
        place = places.get(key, INSIDE)
        if kinds.get(place) in LOW_BUFFERS:
            low[place] = low.get(place, 0.0) + share
        elif kinds.get(place) in HIGH_BUFFERS:
            high[place] = high.get(place, 0.0) + share
        else:
            middle = middle + share
    return _of_flow(low, middle), _of_flow(high, middle)


def _of_flow(by_place: Mapping[str, Value], middle: Value) -> dict[str, Value]:
    high_or_low = total(by_place.values())
    passed = inflow_share(high_or_low, middle)
    return {place: passed * share / larger(high_or_low, 1e-12) for place, share in by_place.items()}


def _mean_difference(climate: MonthlyClimate, heating: Value, cooling: Value) -> Value:
    """Difference between rooms and outdoors that draws air. [F]

    It is the mean of the days, not that of their mean: in a mild month some days are cold and some warm,
    and all of them draw.
    """
    table = climate.degree_days
    return (table.heating(heating) + table.cooling(cooling)) / climate.days


def _for_one(house: House, climate: MonthlyClimate, difference: Value) -> Value:
    """Air by wind and stack of a house of 1 cfm at 1 Pa, between the two handbook models. [cfm]

    It is worked out by month alone, before the plans come in.
    """
    return between_models(
        _enhanced(house, climate, difference),
        _basic(house, climate, difference),
        house.site.air_model,
    )


def _by_stack(house: House, climate: MonthlyClimate, difference: Value, for_one: Value) -> Value:
    """Part of the natural air that goes with the difference in temperature, for small changes of it. [1]"""
    if not any(differs(zone, period, "heating") for zone in house.zones for period in zone.periods):
        return 0.0
    less = _for_one(house, climate, (1.0 - LITTLE) * difference)
    return (1.0 - less / for_one) / LITTLE


def _enhanced(house: House, climate: MonthlyClimate, difference: Value) -> Value:
    """Flow of the enhanced model for a house of 1 cfm at 1 Pa. [cfm]"""
    stories, exponent = house.size.stories, house.leakage.exponent
    flue = house.leakage.flue == "open"
    crawl = any(buffer.kind == "crawlspace" for buffer in house.buffers)
    foundation = "crawlspace" if crawl else "basement"
    return natural_flow(
        1.0,
        exponent,
        difference,
        climate.wind * eave_wind_share(stories),
        stack_factor=stack_factor(stories, flue, exponent=exponent),
        wind_factor=wind_factor(stories, foundation, flue, exponent=exponent),
        shelter_factor=shelter_factor(house.site.shelter_class, flue),
    )


def _basic(house: House, climate: MonthlyClimate, difference: Value) -> Value:
    """Flow of the basic model for a house of 1 cfm at 1 Pa. [cfm]"""
    stories = house.size.stories
    return basic_flow(
        effective_leakage_area(1.0, house.leakage.exponent),
        difference,
        climate.wind,
        stack_factor=basic_stack_factor(stories),
        wind_factor=basic_wind_factor(stories, house.site.shelter_class),
    )


def _fan_flow(house: House, kind: str) -> Value:
    flows = [fan.flow * fan.hours / 24.0 for fan in house.fans if fan.kind == kind]
    return total(flows)


def _recovered_flow(house: House) -> Value:
    flows = [fan.recovery * fan.flow * fan.hours / 24.0 for fan in house.fans]
    return total(flows)
