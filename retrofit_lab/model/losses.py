"""Heat that leaves a house over its heating season, by part; what fuel makes up for it is in year.py.

The season is made of the days that are colder than the rooms would be without any gain. On those days what
leaves is what the heating brings in and what sun, people and machines usefully give:

    sum over parts = demand + gains + lost by ducts
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.sums import over_year, total
from retrofit_lab.base.values import Value
from retrofit_lab.house.description import INSIDE, OUTDOORS
from retrofit_lab.house.parts import LOSING, part_of_surface
from retrofit_lab.model.balance import Balance, Parts, place_temperatures, with_sun
from retrofit_lab.model.envelope import (
    UPRIGHT,
    sky_radiation,
    sky_seen,
    surface_conductance,
    window_conductance,
)
from retrofit_lab.model.heating import ducted_share
from retrofit_lab.model.year import YearEnergy, heat_leaving
from retrofit_lab.physics.annual_balance import HOURS_PER_DAY


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonLosses:
    """Heat of one heating season, shape (...) without the months. [Btu/season]

    Parameters
    ----------
    by_part : mapping of str to Value
        Every key of `retrofit_lab.house.parts.LOSING`; a part that warms the rooms, such as a floor over warm
        ducts, is negative.
    demand : Value
        What the heating brings to the rooms.
    gains : Value
        What of the heat of sun, people, machines and hot water in the rooms is of use on the same days.
    hot_water : Value
        What leaves tanks and pipes, wherever they stand; not in ``by_part``.
    days : Value
        Length of the season. [day]
    """

    by_part: Mapping[str, Value]
    demand: Value
    gains: Value
    hot_water: Value
    days: Value

    @property
    def total(self) -> Value:
        """All that leaves, ducts included. [Btu/season]

        Examples
        --------
        >>> losses = season_losses(year_energy(house, climate))
        >>> bool(np.isclose(losses.total, sum(losses.by_part.values())))
        True
        """
        return total(self.by_part.values())

    def row(self, number: int) -> "SeasonLosses":
        """One of many houses that were worked out at once in one row each.

        Parameters
        ----------
        number : int
            Place of the house on the leading axis.

        Returns
        -------
        SeasonLosses
            Its numbers as floats.
        """
        return SeasonLosses(
            by_part={part: _row(amount, number) for part, amount in self.by_part.items()},
            demand=_row(self.demand, number),
            gains=_row(self.gains, number),
            hot_water=_row(self.hot_water, number),
            days=_row(self.days, number),
        )

    def of_hundred(self, whole: Value) -> dict[str, Value]:
        """Each part against a whole, as a rule the `total` of the house as it is. [of 100]

        Parameters
        ----------
        whole : Value
            What stands for a hundred. [Btu/season]

        Returns
        -------
        dict of str to Value
            By part.

        Examples
        --------
        >>> losses = season_losses(year_energy(house, climate))
        >>> round(sum(losses.of_hundred(losses.total).values()), 6)
        100.0
        """
        return {part: 100.0 * amount / whole for part, amount in self.by_part.items()}


def season_losses(year: YearEnergy) -> SeasonLosses:
    """Heat that leaves by each part while the house is heated.

    Parameters
    ----------
    year : YearEnergy
        Year of one house or of many at once.

    Returns
    -------
    SeasonLosses
        Sums over the months. [Btu/season]

    Notes
    -----
    The season is made of the days that are colder than the rooms would be without any gain. Sun that warms an
    attic counts as a gain, not as a smaller loss of the ceiling.

    Examples
    --------
    What leaves is what the heating brings, the gains of use and the loss of the ducts:

    >>> losses = season_losses(year_energy(house, climate))
    >>> brought = losses.demand + losses.gains + losses.by_part["ducts"]
    >>> bool(np.isclose(losses.total, brought, rtol=0.02))
    True
    """
    parts, season = year.parts, year.heating
    state, room = season.state, season.rooms.temperature
    base = state.line.base_temperature(room, 0.0)
    table = parts.climate.degree_days
    days = table.days_below(base)
    outdoor = base - table.heating(base) / np.maximum(days, 1e-9)
    leaving = heat_leaving(parts, state, room)
    # sun in attics is among the gains, as in the balance
    places = place_temperatures(with_sun(state, 0.0), room, outdoor)
    hours = HOURS_PER_DAY * days
    rates = _rates(parts, state, places)
    by_part = {part: _season(rates.get(part, 0.0) * hours) for part in LOSING}
    by_part["ducts"] = _season(_duct_loss(year))
    return SeasonLosses(
        by_part=by_part,
        demand=_season(season.demand),
        gains=_season(leaving - season.demand + _tank_rate(parts, places, INSIDE) * hours),
        hot_water=_season(total(_tank_rate(parts, places, place) for place in places) * hours),
        days=_season(days),
    )


def _rates(parts: Parts, state: Balance, places: Mapping[str, Value]) -> dict[str, Value]:
    """Heat that leaves the rooms by part, mean of the heating days.

    Parameters
    ----------
    parts : Parts
        The house in numbers.
    state : Balance
        Its air and zones.
    places : mapping of str to Value
        Temperatures of the heating days. [F]

    Returns
    -------
    dict of str to Value
        By part. [Btu/h]
    """
    room = places[INSIDE]
    rates: defaultdict[str, Value] = defaultdict(float)
    films = parts.shell.films
    cold = films.outdoor * sky_radiation(parts.climate)
    for surface in parts.house.surfaces:
        if surface.inside == INSIDE:
            part = part_of_surface(parts.house, surface)
            colder = room - places[surface.outside] + sky_seen(surface) * cold
            rates[part] = rates[part] + surface_conductance(surface, films) * colder
    for window in parts.house.windows:
        if window.inside == INSIDE:
            colder = room - places[OUTDOORS] + UPRIGHT * cold
            rates["windows"] = rates["windows"] + window_conductance(window, films) * colder
    ground = parts.shell.ground.get(INSIDE, 0.0)
    soil = parts.shell.ground_temperature.get(INSIDE, 0.0)
    rates["floor"] = rates["floor"] + ground * (room - soil)
    rates["air"] = rates["air"] + _air_rate(parts, state, places)
    return dict(rates)


def _air_rate(parts: Parts, state: Balance, places: Mapping[str, Value]) -> Value:
    """Heat that warms the air which comes in, straight or through a neighbor.

    Parameters
    ----------
    parts : Parts
        Which share passes which zone.
    state : Balance
        Heat per degree of what comes in straight.
    places : mapping of str to Value
        Temperatures. [F]

    Returns
    -------
    Value, shape (..., 12)
        Heat. [Btu/h]
    """
    flows, room = parts.flows, places[INSIDE]
    rate = state.air * (room - places[OUTDOORS])
    for place in state.nodes:
        coefficient = flows.heat_coefficient * flows.natural * flows.entering.get(place, 0.0)
        rate = rate + coefficient * (room - places[place])
    return rate


def _duct_loss(year: YearEnergy) -> Value:
    """Heat that the equipment makes beyond what counts in the rooms.

    Parameters
    ----------
    year : YearEnergy
        Its heating season.

    Returns
    -------
    Value, shape (..., 12)
        Heat. [Btu/month]
    """
    season = year.heating
    return ducted_share(year.parts.house) * season.demand * (1.0 / season.ducts.useful - 1.0)


def _tank_rate(parts: Parts, places: Mapping[str, Value], place: str) -> Value:
    """Heat that tanks and pipes give to one place. [Btu/h]

    Parameters
    ----------
    parts : Parts
        Tanks and pipes by place.
    places : mapping of str to Value
        Temperatures. [F]
    place : str
        ``"house"`` or the key of a zone.
    """
    return parts.water.conductance(place) * (parts.water.setpoint - places[place])


def _season(monthly: Value) -> Value:
    summed = over_year(monthly)
    return float(summed) if np.ndim(summed) == 0 else summed


def _row(value: Value, number: int) -> Value:
    return float(value[number]) if isinstance(value, np.ndarray) and value.ndim else value
