"""How each number of a house came about: formula, inputs with unit and source, steps and result.

Nothing is worked out here that the model does not work out; the steps call its own functions.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from html import escape
from types import MappingProxyType

import numpy as np

from retrofit_lab.base.presenting import Shown
from retrofit_lab.base.units import SPELLING
from retrofit_lab.base.values import InputError, Value
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import numbers, parameter_at
from retrofit_lab.house.readings import leakage_fit
from retrofit_lab.model.air import reading_at_50, site_shares_left
from retrofit_lab.model.balance import place_temperatures
from retrofit_lab.model.envelope import (
    as_it_lies,
    ground_covered,
    surface_u,
    underground_conductance,
)
from retrofit_lab.model.hot_water import drawn_hot, jacket_coefficient, mains
from retrofit_lab.model.year import YearEnergy, deviation_of_need, heat_leaving
from retrofit_lab.physics.heat_pump import ratings_from_hspf
from retrofit_lab.physics.thermostat import time_constant

TYPICAL_WEATHER_FACTOR = 0.6
"""Weather factor of the published annual method for the cross-check; sites lie near 0.4 to 0.8. [1] (memory)"""
MONTH = 0
"""Explained steps that change over the year are shown for January."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InputUsed:
    """One number that goes in: where it stands in the house, its unit and source, and whether it was given."""

    path: str
    label: str
    value: float
    unit: str
    source: str
    assumed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One number on the way."""

    text: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Explanation(Shown):
    """One mechanism of one house, to be printed or shown: its formula, its steps as a table, and what goes in."""

    topic: str
    formula: str
    inputs: tuple[InputUsed, ...]
    steps: tuple[Step, ...]

    def __str__(self) -> str:
        lines = [self.topic.upper(), f"  {self.formula}", "  what goes in:"]
        for item in self.inputs:
            known = "default" if item.assumed else "given"
            said = f"{item.value:g} {item.unit}".strip()
            lines.append(f"    {item.path}: {item.label} {said} ({known}; {item.source})")
        if self.steps:
            lines.append("  what comes out:")
        lines += [f"    {s.text}: {s.value:,.4g} {s.unit}".rstrip() for s in self.steps]
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        """What a notebook shows: the formula, the steps, and the inputs with their sources folded away."""
        # a base without slots of its own: its method is named, not found by super() in a class made anew
        shown = Shown._repr_html_(self)
        cells = "".join(
            f"<tr><td>{escape(item.path)}</td><td>{escape(item.label)}</td>"
            f"<td>{item.value:,.4g} {escape(item.unit)}</td>"
            f"<td>{'assumed' if item.assumed else 'given'}</td><td>{escape(item.source)}</td></tr>"
            for item in self.inputs
        )
        heads = "".join(
            f"<th>{head}</th>" for head in ("number", "what it is", "value", "", "source")
        )
        table = f"<table><thead><tr>{heads}</tr></thead><tbody>{cells}</tbody></table>"
        return (
            f"{shown}<details><summary>What goes in ({len(self.inputs)})</summary>{table}</details>"
        )


def explain(house: House, year: YearEnergy, topic: str) -> Explanation:
    """Explain a topic of `topics`, or every number below a path such as ``surfaces.walls``.

    Raises
    ------
    InputError
        When there is neither such a topic nor such a path.
    """
    if topic in TOPICS:
        formula, paths, steps = TOPICS[topic]
        return Explanation(
            topic=topic,
            formula=formula,
            inputs=_inputs(house, paths),
            steps=tuple(steps(house, year)),
        )
    found = _inputs(house, (topic,))
    if not found:
        raise InputError(
            f"nothing is called '{topic}'; topics are {', '.join(TOPICS)}; or give a path of the house"
        )
    return Explanation(topic=topic, formula="numbers of the house", inputs=found, steps=())


def _inputs(house: House, prefixes: Sequence[str]) -> tuple[InputUsed, ...]:
    found = []
    for path, value in numbers(house):
        if any(path == p or path.startswith(f"{p}.") for p in prefixes):
            rule = parameter_at(house, path)
            found.append(
                InputUsed(
                    path=path,
                    label=rule.label,
                    value=float(value),
                    unit=SPELLING[rule.unit],
                    source=f"{rule.source}, {rule.mark}",
                    assumed=path in house.assumed,
                )
            )
    return tuple(found)


def _month(value: Value) -> float:
    return float(np.broadcast_to(value, (12,))[MONTH])


def _conduction(house: House, year: YearEnergy) -> Iterator[Step]:
    films = year.parts.shell.films
    yield Step(
        text="film outdoors in the mean wind at the walls: R",
        value=float(films.outdoor),
        unit="h ft2 F/Btu",
    )
    for surface in house.surfaces:
        fill, u = float(as_it_lies(surface)), float(surface_u(surface, films))
        if float(surface.r_label) > 0:
            yield Step(
                text=f"{surface.label}: label R-{surface.r_label:g}, as it lies R",
                value=fill,
                unit="h ft2 F/Btu",
            )
        yield Step(text=f"{surface.label}: U", value=u, unit="Btu/(h ft2 F)")
        yield Step(
            text=f"{surface.label}: U x area", value=u * float(surface.area), unit="Btu/(h F)"
        )


def _ground(house: House, year: YearEnergy) -> Iterator[Step]:
    for part in house.underground:
        loss = float(underground_conductance(part, ground_covered(house)))
        yield Step(text=f"{part.label}: loss per degree", value=loss, unit="Btu/(h F)")
    for place, soil in year.parts.shell.ground_temperature.items():
        where = place.replace("_", " ")
        yield Step(text=f"soil round the {where} in January", value=_month(soil), unit="F")


def _leakage(house: House, _year: YearEnergy) -> Iterator[Step]:
    fit = leakage_fit(house)
    if fit is not None:
        low, high = fit.exponent_range
        yield Step(
            text="exponent of the fit", value=fit.exponent, unit=f"({low:.2f} to {high:.2f})"
        )
    yield Step(text="flow at 50 Pa", value=float(reading_at_50(house)), unit="cfm")
    for key, share in site_shares_left(house).items():
        yield Step(text=f"share of {key.replace('_', ' ')}", value=100.0 * float(share), unit="%")


def _air(house: House, year: YearEnergy) -> Iterator[Step]:
    flow = _month(year.parts.flows.natural)
    yield Step(text="natural flow in January", value=flow, unit="cfm")
    changes = flow * 60.0 / float(house.size.volume)
    yield Step(text="air changes in January", value=changes, unit="per hour")
    published = _published_annual_flow(house)
    text = f"by the published annual method, weather factor {TYPICAL_WEATHER_FACTOR}"
    yield Step(text=text, value=float(published), unit="cfm")
    yearly = float(np.mean(year.parts.flows.natural))
    yield Step(text="mean of the year by wind and warm air", value=yearly, unit="cfm")
    heat = year.parts.flows.heat_coefficient
    yield Step(text="heat per flow and degree", value=heat, unit="Btu/(h F cfm)")


def _published_annual_flow(house: House) -> Value:
    """Yearly infiltration that ASHRAE 62.2-2013 counts, 0.052 x weather factor x stories^0.4 x CFM50. [cfm]

    Credit page of a national laboratory (read); it stands beside ours and nothing is worked out from it.
    """
    height: Value = house.size.stories**0.4
    return 0.052 * TYPICAL_WEATHER_FACTOR * height * reading_at_50(house)


def _buffers(_house: House, year: YearEnergy) -> Iterator[Step]:
    room = year.heating.rooms.temperature
    outdoor = year.parts.climate.temperature
    for place, value in place_temperatures(year.heating.state, room, outdoor).items():
        yield Step(text=f"{place.replace('_', ' ')} in January", value=_month(value), unit="F")


def _balance(_house: House, year: YearEnergy) -> Iterator[Step]:
    season, parts = year.heating, year.parts
    line, room = season.state.line, season.rooms.temperature
    base = line.base_temperature(room, 0.0)
    degree_days = parts.climate.degree_days.heating(base)
    yield Step(text="loss per degree outdoors", value=_month(line.outside), unit="Btu/(h F)")
    yield Step(text="base of the degree days", value=_month(base), unit="F")
    yield Step(text="degree days in January", value=_month(degree_days), unit="F day")
    leaving = _month(heat_leaving(parts, season.state, room))
    yield Step(text="heat that leaves in January", value=leaving, unit="Btu")
    gains = _month(season.state.gains)
    yield Step(text="heat from people, sun and plugs", value=gains, unit="Btu/h")
    deviation = _month(deviation_of_need(parts, season.state))
    yield Step(text="deviation of loss less gains in January", value=deviation, unit="Btu/h")
    used = 100.0 * _month(season.useful) / gains if gains else 0.0
    yield Step(text="of it in use in January", value=used, unit="%")
    yield Step(text="heat for the rooms in January", value=_month(season.demand), unit="Btu")
    total = float(np.sum(season.demand))
    yield Step(text="heat for the rooms in the year", value=total, unit="Btu")


def _setback(house: House, year: YearEnergy) -> Iterator[Step]:
    capacity = house.size.heat_capacity * house.size.floor_area
    hours = time_constant(capacity, year.heating.state.line.inside)
    yield Step(text="time constant in January", value=_month(hours), unit="h")
    rooms = _month(year.heating.rooms.temperature)
    yield Step(text="mean of the rooms in January", value=rooms, unit="F")


def _ducts(_house: House, year: YearEnergy) -> Iterator[Step]:
    ducts = year.heating.ducts
    for place, value in ducts.around.items():
        text = f"{place.replace('_', ' ')} in January, warmed by the ducts"
        yield Step(text=text, value=_month(value), unit="F")
    yield Step(text="warming in the equipment, January", value=_month(ducts.rise), unit="F")
    outdoor = _month(year.heating.outdoor)
    yield Step(text="outdoors while it is heated, January", value=outdoor, unit="F")
    yield Step(text="delivered in January", value=100 * _month(ducts.delivered), unit="%")
    yield Step(text="with what comes back", value=100 * _month(ducts.useful), unit="%")
    drawn = _month(year.heating.imbalance)
    yield Step(text="air drawn in (out, where below 0) by unequal leaks", value=drawn, unit="cfm")


def _equipment(house: House, year: YearEnergy) -> Iterator[Step]:
    for pump in house.heat_pumps:
        cop = float(ratings_from_hspf(pump.hspf, pump.capacity).cop_47)
        yield Step(text=f"{pump.label}: COP at 47 F behind the label", value=cop, unit="")
    yield Step(text="backup heat in the year", value=float(np.sum(year.backup)), unit="kWh")
    unmet = float(np.sum(year.heating.unmet))
    yield Step(text="heat that the heaters are too small for in the year", value=unmet, unit="Btu")
    yield from _use(year, "heating")


def _cooling(_house: House, year: YearEnergy) -> Iterator[Step]:
    total = float(np.sum(year.cooling.demand))
    yield Step(text="sensible cold for the rooms in the year", value=total, unit="Btu")
    yield from _use(year, "cooling")


def _hot_water(house: House, year: YearEnergy) -> Iterator[Step]:
    climate = year.parts.climate
    yield Step(text="mains in January", value=_month(mains(climate)), unit="F")
    yield Step(text="hot water drawn", value=_month(drawn_hot(house, climate)), unit="gal/day")
    for tank in house.water_heaters:
        loss = float(jacket_coefficient(tank))
        yield Step(text=f"{tank.label}: jacket", value=loss, unit="Btu/(h F)")
    yield from _use(year, "hot_water")


def _plugs(_house: House, year: YearEnergy) -> Iterator[Step]:
    for end_use in ("lighting", "standby", "appliances", "ventilation"):
        yield from _use(year, end_use)


def _sun(_house: House, year: YearEnergy) -> Iterator[Step]:
    for place, value in year.parts.shell.sun.items():
        yield Step(text=f"sun into {place.replace('_', ' ')}", value=_month(value), unit="Btu/h")


def _use(year: YearEnergy, end_use: str) -> Iterator[Step]:
    for fuel, name in sorted(year.monthly):
        if name == end_use:
            total = float(year.annual(fuel, name))
            text = f"{fuel.replace('_', ' ')} for {name.replace('_', ' ')}"
            yield Step(text=f"{text} in the year", value=total, unit="Btu")


_Steps = Callable[[House, YearEnergy], Iterator[Step]]
TOPICS: MappingProxyType[str, tuple[str, tuple[str, ...], _Steps]] = MappingProxyType(
    {
        "conduction": (
            "U = framing/(R_framing + R) + fill/(R_fill + R) + gaps/(R_gap + R) + empty/(R_air + R), "
            "R_air = 0.91 in closed bays, 0 in an attic floor's; R = boards + films, outdoors by the wind; "
            "deep fill lies over the framing; loss = U x area",
            ("surfaces", "windows"),
            _conduction,
        ),
        "ground": (
            "U of a wall = 2k/(pi z) ln((z + a)/a), a = 2kR/pi; U of a floor = 2k/(pi B + t) ln(pi B/t + 1), "
            "B = area over half the perimeter, t = wall + kR + z/2; a slab by its edge; "
            "soil = yearly wave, as much of it as they pass, a month late",
            ("underground",),
            _ground,
        ),
        "air leakage": (
            "flow = C x pressure^n from the blower door; sites share it by their typical areas",
            ("leakage",),
            _leakage,
        ),
        "natural air flow": (
            "enhanced = C sqrt((f_s dT^n)^2 + (f_w (s U)^2n)^2); basic = A sqrt(c_s dT + c_w U^2); flow = "
            "enhanced + weight x (basic - enhanced); heat = 1.08 x density x flow",
            (
                "site.air_model",
                "site.shelter_class",
                "size.stories",
                "size.volume",
                "leakage.exponent",
                "fans",
            ),
            _air,
        ),
        "buffer zones": (
            "temperature = sum of conductance x temperature of all neighbors plus heat, over the sum of "
            "conductances",
            ("buffers",),
            _buffers,
        ),
        "sun": (
            "windows: area x SHGC x curtains x shade x sun on the wall; roofs: absorptance x film x U",
            ("windows", "buffers"),
            _sun,
        ),
        "heat balance": (
            "base = (inside x T_in - fixed)/outside; loss = 24 x outside x degree days; m = mean of loss less "
            "gains, s = 0.58 x its deviation over hours and days; heat = hours x s x ln(1 + e^(m/s))",
            ("size", "zones"),
            _balance,
        ),
        "setback": (
            "the air falls by loss/(loss + 4 x floor area) of the way to where the house floats in those hours, "
            "drifts on with the time constant C/loss and is held at the setting; mean over the week",
            ("zones", "size.heat_capacity"),
            _setback,
        ),
        "ducts": (
            "delivered = a_s B_s - a_s B_s (1 - a_r B_r) dT_r/dT_e - a_s (1 - B_s) dT_s/dT_e, plus what "
            "comes back",
            ("ducts",),
            _ducts,
        ),
        "heating equipment": (
            "fuel = heat/AFUE; heat pump by groups of hours: min(load, output)/COP, backup the rest",
            ("fuel_heaters", "heat_pumps"),
            _equipment,
        ),
        "cooling": (
            "cold = 24 x outside x cooling degree days on days too warm for open windows; /SEER",
            ("air_conditioners", "site.open_window_below"),
            _cooling,
        ),
        "hot water": (
            "hot = mixed x (T_tap - T_mains)/(T_tank - T_mains); heat = 8.25 x gallons x rise + standby + "
            "pipes",
            ("hot_water", "water_heaters"),
            _hot_water,
        ),
        "lamps and plugs": (
            "energy = watts x count x hours; lamps follow the dark hours of the latitude",
            ("lamps", "standby", "appliances"),
            _plugs,
        ),
    }
)
