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
    """Air flows of one house. [cfm]

    Parameters
    ----------
    flow_50 : Value
        Blower-door flow at 50 Pa, less what was sealed. [cfm]
    natural : Value, shape (..., 12)
        Air that wind and warmth drive, by month. [cfm]
    by_stack : Value
        By how many percent the natural air falls when the rooms are 1 % nearer to the temperature outdoors, a
        plain zero where no setting falls. [1]
    heat_coefficient : float
        Heat that a cfm carries for each degree at the elevation of the house. [Btu/(h F cfm)]
    entering, leaving : mapping of str to Value
        Shares of the natural flow by the buffer zone that it passes on its way in and out. [1]
    exhaust, supply, balanced : Value
        Mean flows of fans by their kind. [cfm]
    recovered : Value
        Part of what fans bring that heat recovery warms for nothing. [cfm]
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
    """Natural and fan-driven flows of a house by month.

    Parameters
    ----------
    house : House
        Its blower-door reading, leak sites, fans, stories and shelter are used.
    climate : MonthlyClimate
        Wind and temperature of the months, and the elevation.
    indoor_heating, indoor_cooling : Value
        Mean settings of the thermostats, from `day_setpoint`. [F]

    Returns
    -------
    Air
        Flows; ``natural`` has the months on its last axis. [cfm]

    See Also
    --------
    retrofit_lab.physics.natural_airflow : the two handbook models behind it.

    Examples
    --------
    Sealing takes the same share of the natural flow as of the reading:

    >>> whole = air(house, climate, 70.0, 75.0)
    >>> halved = replace(house, leakage=replace(house.leakage, flow=house.leakage.flow / 2.0))
    >>> less = air(halved, climate, 70.0, 75.0)
    >>> bool((abs(less.natural / whole.natural - 0.5) < 1e-9).all())
    True
    """
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
    """All outdoor air that comes in, natural and by fans and by unequal duct leaks. [cfm]

    Parameters
    ----------
    flows : Air
        From `air`.
    imbalance : Value
        What unequal duct leaks draw in while the furnace fan runs, below 0 where they push out. [cfm]

    Returns
    -------
    Value
        Flow, by month where wind and warmth drive it. [cfm]

    Examples
    --------
    Balanced duct leaks add nothing, and what is drawn in adds at most itself:

    >>> flows = air(house, climate, 70.0, 75.0)
    >>> more = outdoor_air(flows, 40.0) - outdoor_air(flows, 0.0)
    >>> bool((more >= 20.0 - 1e-9).all() and (more <= 40.0).all())
    True
    """
    return combine_with_fans(
        flows.natural, flows.exhaust + imbalance, flows.supply, balanced=flows.balanced
    )


def reading_at_50(house: House) -> Value:
    """Blower-door flow at 50 Pa, from whatever pressure it was read at. [cfm]

    Parameters
    ----------
    house : House
        Its ``leakage`` holds flow, pressure and exponent.

    Returns
    -------
    Value
        Flow. [cfm]

    References
    ----------
    Power law of leakage, ASTM E779 (memory).

    Examples
    --------
    A house that leaks 1,000 cfm at 25 Pa, with the usual exponent:

    >>> leakage = replace(house.leakage, flow=1000.0, pressure=25.0, exponent=0.65)
    >>> round(reading_at_50(replace(house, leakage=leakage)))
    1569
    """
    leak = house.leakage
    if isinstance(leak.pressure, float) and leak.pressure == 50.0:
        return leak.flow
    coefficient = flow_coefficient(leak.flow, leak.pressure, leak.exponent)
    return flow_at(coefficient, leak.exponent, 50.0)


def site_shares(house: House) -> dict[str, Value]:
    """Share of the measured leakage at each site, before any sealing. [1]

    Parameters
    ----------
    house : House
        Its leak sites, each with a count and how leaky it looks.

    Returns
    -------
    dict of str to Value
        Shares by site and of what no one found; they add to one. [1]

    Examples
    --------
    >>> round(sum(site_shares(house).values()), 9)
    1.0
    """
    return shares_of({site.key: _typical_area(site) for site in house.leakage.sites})


def site_shares_left(house: House) -> dict[str, Value]:
    """Share of the measured leakage that is left at each site after sealing. [1]

    Parameters
    ----------
    house : House
        Its leak sites; ``sealed`` of each is the part that was closed.

    Returns
    -------
    dict of str to Value
        Shares; their sum is what is left of the whole. [1]

    Examples
    --------
    A house whose sites are all closed keeps what no one found:

    >>> sites = tuple(replace(site, sealed=1.0) for site in house.leakage.sites)
    >>> tight = replace(house, leakage=replace(house.leakage, sites=sites))
    >>> round(sum(site_shares_left(tight).values()), 9)
    0.2
    """
    return shares_left(site_shares(house), {s.key: s.sealed for s in house.leakage.sites})


@cache
def leak_rows() -> dict[str, dict[str, str]]:
    """Kinds of leak sites with their typical areas, as ``data/leak_sites.csv`` has them.

    Returns
    -------
    dict of str to dict
        Rows by kind; ``likely_in2`` is the area of one. [in2]

    Examples
    --------
    >>> float(leak_rows()["band_joist"]["likely_in2"]) > 0.0
    True
    """
    return {row["key"]: row for row in read_rows("leak_sites.csv")}


def _typical_area(site: LeakSite) -> Value:
    """Leakage area of a site, by its kind, count and looks. [in2]

    Parameters
    ----------
    site : LeakSite
        ``condition`` is 1 for a usual one, more for one that looks leakier.

    References
    ----------
    ``data/leak_sites.csv``, its column ``likely_in2``.
    """
    return float(leak_rows()[site.kind]["likely_in2"]) * site.count * site.condition


def _paths(house: House, shares: Mapping[str, Value]) -> tuple[dict[str, Value], dict[str, Value]]:
    """Air comes in low and goes out high; the middle serves both by halves (judgment).

    Parameters
    ----------
    house : House
        Kinds of its buffer zones and places of its leak sites.
    shares : mapping of str to Value
        Leakage left at each site. [1]

    Returns
    -------
    tuple of dict
        Shares of the natural flow by buffer zone that enter and that leave through it. [1]
    """
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
    """Shares of the flow that pass each place on one side of the middle. [1]

    Parameters
    ----------
    by_place : mapping of str to Value
        Leakage of the low or of the high places. [1]
    middle : Value
        Leakage in between. [1]
    """
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
    """Flow of the enhanced model for a house of 1 cfm at 1 Pa.

    Parameters
    ----------
    house : House
        Stories, flue, foundation, shelter and exponent.
    climate : MonthlyClimate
        Wind.
    difference : Value
        Between rooms and outdoors. [F]

    Returns
    -------
    Value, shape (..., 12)
        Flow. [cfm]
    """
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
    """Flow of the basic model for a house of 1 cfm at 1 Pa.

    Parameters
    ----------
    house : House
        Stories, shelter and exponent.
    climate : MonthlyClimate
        Wind.
    difference : Value
        Between rooms and outdoors. [F]

    Returns
    -------
    Value, shape (..., 12)
        Flow. [cfm]
    """
    stories = house.size.stories
    return basic_flow(
        effective_leakage_area(1.0, house.leakage.exponent),
        difference,
        climate.wind,
        stack_factor=basic_stack_factor(stories),
        wind_factor=basic_wind_factor(stories, house.site.shelter_class),
    )


def _fan_flow(house: House, kind: str) -> Value:
    """Mean flow of the fans of one kind over day and night. [cfm]

    Parameters
    ----------
    house : House
        Its fans with their hours.
    kind : str
        ``"exhaust"``, ``"supply"`` or ``"balanced"``.
    """
    flows = [fan.flow * fan.hours / 24.0 for fan in house.fans if fan.kind == kind]
    return total(flows)


def _recovered_flow(house: House) -> Value:
    """Flow of fans as far as heat recovery warms it, mean of day and night. [cfm]

    Parameters
    ----------
    house : House
        Its fans with what they give back. [1]
    """
    flows = [fan.recovery * fan.flow * fan.hours / 24.0 for fan in house.fans]
    return total(flows)
