"""Air that a described house exchanges: from the blower door to monthly flows, shared by leak sites and fans."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.sums import total
from retrofit_lab.base.values import Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House, LeakSite
from retrofit_lab.model.indoor import differs
from retrofit_lab.physics.air_properties import air_density_ratio, air_heat_coefficient
from retrofit_lab.physics.blower_door import effective_leakage_area, flow_at, flow_coefficient
from retrofit_lab.physics.elementwise import larger, power, square_root
from retrofit_lab.physics.leak_sites import REST, neutral_level, shares_left, wall_part
from retrofit_lab.physics.leak_sites import site_shares as shares_of
from retrofit_lab.physics.natural_airflow import (
    NOBODY_LOOKED,
    Openings,
    basic_flow,
    basic_stack_factor,
    basic_wind_factor,
    between_models,
    eave_wind_share,
    natural_flow,
    shelter_factor,
    stack_factor,
    usual_ends,
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
    A tighter house with its leaks in the same places takes the same share of the natural flow as of the reading:

    >>> whole = air(house, climate, 70.0, 75.0)
    >>> halved = replace(house, leakage=replace(house.leakage, flow=house.leakage.flow / 2.0))
    >>> less = air(halved, climate, 70.0, 75.0)
    >>> bool((abs(less.natural / whole.natural - 0.5) < 1e-9).all())
    True
    """
    shares = site_shares_left(house)
    flow_50 = reading_at_50(house) * total(shares.values())
    density = air_density_ratio(climate.elevation_ft)
    exponent, difference = (
        house.leakage.exponent,
        _mean_difference(climate, indoor_heating, indoor_cooling),
    )
    openings = openings_left(house, shares)
    for_one = _for_one(house, climate, difference, openings)
    entering, leaving = _paths(house, shares, openings, _stack_share(house, climate, difference))
    fans = {kind: _fan_flow(house, kind) for kind in ("exhaust", "supply", "balanced")}
    return Air(
        flow_50=flow_50,
        natural=flow_coefficient(flow_50, 50.0, exponent) * for_one,
        by_stack=_by_stack(house, climate, difference, openings, for_one),
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


def openings_left(house: House, shares: Mapping[str, Value]) -> Openings:
    """Where what is left of the leakage lies: low, high, and what nobody found.

    Parameters
    ----------
    house : House
        Its leak sites; their kinds tell the height.
    shares : mapping of str to Value
        From `site_shares_left`. [1]

    Returns
    -------
    Openings
        Shares of what is left. [1]

    References
    ----------
    ``data/leak_sites.csv``, its column ``level``.

    Examples
    --------
    Sealing every leak that lets air out above leaves none there:

    >>> high = {key for key, row in leak_rows().items() if row["level"] == "high"}
    >>> sites = tuple(replace(s, sealed=1.0 if s.kind in high else 0.0) for s in house.leakage.sites)
    >>> tight = replace(house, leakage=replace(house.leakage, sites=sites))
    >>> openings_left(tight, site_shares_left(tight)).high
    0.0
    """
    ends = _ends(house)
    by_end: dict[str, Value] = {"low": 0.0, "middle": 0.0, "high": 0.0, REST: 0.0}
    for key, share in shares.items():
        end = ends.get(key, REST)
        by_end[end] = by_end[end] + share
    left = larger(total(by_end.values()), 1e-12)
    return Openings(
        low=by_end["low"] / left, high=by_end["high"] / left, unknown=by_end[REST] / left
    )


def _ends(house: House) -> dict[str, str]:
    """Where each leak site is: ``"low"``, ``"middle"`` or ``"high"``; the zone it leads to says more than its kind."""
    kinds = {buffer.key: buffer.kind for buffer in house.buffers}
    zones = dict.fromkeys(LOW_BUFFERS, "low") | dict.fromkeys(HIGH_BUFFERS, "high")
    return {
        site.key: zones.get(kinds.get(site.place, ""), leak_rows()[site.kind]["level"])
        for site in house.leakage.sites
    }


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


def _paths(
    house: House, shares: Mapping[str, Value], openings: Openings, stack: Value
) -> tuple[dict[str, Value], dict[str, Value]]:
    """Air comes in low and goes out high; walls serve both, up to the neutral level and above it.

    Parameters
    ----------
    house : House
        Kinds of its buffer zones, places of its leak sites, flow exponent.
    shares : mapping of str to Value
        Leakage left at each site. [1]
    openings : Openings
        Where it lies.
    stack : Value
        Share of the stack in what drives the air. [1]

    Returns
    -------
    tuple of dict
        Shares of the natural flow by buffer zone that enter and that leave through it. [1]
    """
    kinds = {buffer.key: buffer.kind for buffer in house.buffers}
    through: dict[str, Value] = {}
    for site in house.leakage.sites:
        if kinds.get(site.place) in LOW_BUFFERS + HIGH_BUFFERS:
            through[site.place] = through.get(site.place, 0.0) + shares[site.key]
    exponent, ends = house.leakage.exponent, usual_ends(house.size.stories)
    both, left = openings.both(ends), larger(total(shares.values()), 1e-12)
    level = neutral_level(both, openings.tilt, exponent)

    def of_flow(buffers: tuple[str, ...], end: Value, height: Value) -> dict[str, Value]:
        passing = end + wall_part(height, exponent, stack) * (1.0 - both)
        return {
            place: share / left / larger(passing, 1e-12)
            for place, share in through.items()
            if kinds[place] in buffers
        }

    unknown = 0.5 * ends * openings.unknown
    return (
        of_flow(LOW_BUFFERS, openings.low + unknown, level),
        of_flow(HIGH_BUFFERS, openings.high + unknown, 1.0 - level),
    )


def _stack_share(house: House, climate: MonthlyClimate, difference: Value) -> Value:
    """Share of the stack in what drives the air, as squares of both add in the enhanced model. [1]

    It is worked out by month alone, with the leaks where the tables have them.
    """
    by_stack = _enhanced(house, climate, difference, NOBODY_LOOKED, wind=0.0)
    both = larger(_enhanced(house, climate, difference, NOBODY_LOOKED), 1e-12)
    return by_stack * by_stack / (both * both)


def _mean_difference(climate: MonthlyClimate, heating: Value, cooling: Value) -> Value:
    """Difference between rooms and outdoors that draws air. [F]

    It is the mean of the days, not that of their mean: in a mild month some days are cold and some warm,
    and all of them draw.
    """
    table = climate.degree_days
    return (table.heating(heating) + table.cooling(cooling)) / climate.days


def _for_one(house: House, climate: MonthlyClimate, difference: Value, openings: Openings) -> Value:
    """Air by wind and stack of a house of 1 cfm at 1 Pa, between the two handbook models. [cfm]"""
    return between_models(
        _enhanced(house, climate, difference, openings),
        _basic(house, climate, difference, openings),
        house.site.air_model,
    )


def _by_stack(
    house: House,
    climate: MonthlyClimate,
    difference: Value,
    openings: Openings,
    for_one: Value,
) -> Value:
    """Part of the natural air that goes with the difference in temperature, for small changes of it. [1]"""
    if not any(differs(zone, period, "heating") for zone in house.zones for period in zone.periods):
        return 0.0
    less = _for_one(house, climate, (1.0 - LITTLE) * difference, openings)
    return (1.0 - less / for_one) / LITTLE


def _enhanced(
    house: House,
    climate: MonthlyClimate,
    difference: Value,
    openings: Openings,
    wind: float = 1.0,
) -> Value:
    """Flow of the enhanced model for a house of 1 cfm at 1 Pa.

    Parameters
    ----------
    house : House
        Stories, flue, foundation, shelter and exponent.
    climate : MonthlyClimate
        Wind.
    difference : Value
        Between rooms and outdoors. [F]
    openings : Openings
        Where it leaks.
    wind : float
        0 leaves the wind out. [1]

    Returns
    -------
    Value, shape (..., 12)
        Flow. [cfm]
    """
    stories, exponent = house.size.stories, house.leakage.exponent
    flue = house.leakage.flue == "open"
    crawl = any(buffer.kind == "crawlspace" for buffer in house.buffers)
    foundation = "crawlspace" if crawl else "basement"
    thin = power(air_density_ratio(climate.elevation_ft), exponent)
    return natural_flow(
        thin,
        exponent,
        difference,
        wind * climate.wind * eave_wind_share(stories),
        stack_factor=stack_factor(stories, flue, exponent=exponent, openings=openings),
        wind_factor=wind_factor(stories, foundation, flue, exponent=exponent, openings=openings),
        shelter_factor=shelter_factor(house.site.shelter_class, flue),
    )


def _basic(house: House, climate: MonthlyClimate, difference: Value, openings: Openings) -> Value:
    """Flow of the basic model for a house of 1 cfm at 1 Pa.

    Parameters
    ----------
    house : House
        Stories, shelter and exponent.
    climate : MonthlyClimate
        Wind.
    difference : Value
        Between rooms and outdoors. [F]
    openings : Openings
        Where it leaks.

    Returns
    -------
    Value, shape (..., 12)
        Flow. [cfm]
    """
    stories = house.size.stories
    area = effective_leakage_area(1.0, house.leakage.exponent)
    return basic_flow(
        area * square_root(air_density_ratio(climate.elevation_ft)),
        difference,
        climate.wind,
        stack_factor=basic_stack_factor(stories, openings),
        wind_factor=basic_wind_factor(stories, house.site.shelter_class, openings),
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
