"""How each number of a house came about: formula, inputs with unit and source, steps and result.

Nothing is worked out here that the model does not work out; the steps call its own functions. Their words
stand in ``texts/*/explanation.toml``.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from types import MappingProxyType

import numpy as np

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.presenting import Shown
from retrofit_lab.base.units import SPELLING, for_people
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
from retrofit_lab.texts import LANGUAGES, Word, catalog

PAGE = "explanation"
TYPICAL_WEATHER_FACTOR = 0.6
"""Weather factor of the published annual method for the cross-check; sites lie near 0.4 to 0.8. [1] (memory)"""
MONTH = 0
"""Explained steps that change over the year are shown for January."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InputUsed:
    """One number that goes in: where it is in the house, its unit and source, and whether it was given."""

    path: str
    label: str
    value: float
    unit: str
    source: str
    assumed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One number on the way, with the key of its words and what fills their blanks."""

    key: str
    value: float
    unit: str
    blanks: Mapping[str, str | Word] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """What the number is, in the data's language."""
        return self.said(LANGUAGES[0])

    def said(self, language: str) -> str:
        """What the number is, in a language."""
        filled = {
            name: value.said(language) if isinstance(value, Word) else value
            for name, value in self.blanks.items()
        }
        return _say(f"step.{self.key}", language).format(**filled)


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Explanation(Shown):
    """One mechanism of one house, to be printed or shown: its formula, its steps as a table, and what goes in.

    ``key`` names the formula; ``topic`` is what was asked for, in the data's language.
    """

    topic: str
    key: str
    inputs: tuple[InputUsed, ...]
    steps: tuple[Step, ...]

    @property
    def formula(self) -> str:
        """The formula, in the data's language."""
        return self.formula_said(LANGUAGES[0])

    def formula_said(self, language: str) -> str:
        """The formula, in a language."""
        return _say(f"formula.{self.key}", language)

    def __str__(self) -> str:
        lines = [self.topic.upper(), f"  {self.formula}", f"  {_say('told.inputs')}"]
        for item in self.inputs:
            known = _say("told.default" if item.assumed else "told.given")
            value = f"{item.value:g} {for_people(item.unit)}".strip()
            said = _say("told.input").format(
                path=item.path, label=item.label, value=value, known=known, source=item.source
            )
            lines.append(f"    {said}")
        if self.steps:
            lines.append(f"  {_say('told.results')}")
        for step in self.steps:
            value = f"{step.value:,.4g}"
            said = _say("told.result").format(
                text=step.text, value=value, unit=for_people(step.unit)
            )
            lines.append(f"    {said.rstrip()}")
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        """What a notebook shows: the formula, the steps, and the inputs with their sources folded away."""
        # a base without slots of its own: its method is named, not found by super() in a class made anew
        shown = Shown._repr_html_(self)
        cells = "".join(
            f"<tr><td>{escape(item.path)}</td><td>{escape(item.label)}</td>"
            f"<td>{item.value:,.4g} {escape(for_people(item.unit))}</td>"
            f"<td>{_say('told.default' if item.assumed else 'told.given')}</td>"
            f"<td>{escape(item.source)}</td></tr>"
            for item in self.inputs
        )
        columns = catalog(LANGUAGES[0], PAGE)["told"]["columns"]
        heads = "".join(f"<th>{head}</th>" for head in columns)
        table = f"<table><thead><tr>{heads}</tr></thead><tbody>{cells}</tbody></table>"
        folded = _say("told.folded").format(count=len(self.inputs))
        return f"{shown}<details><summary>{folded}</summary>{table}</details>"


def topic_named(topic: str, language: str) -> str:
    """What a topic of `TOPICS` is called in a language."""
    return _say(f"topic.{_key(topic)}", language)


def _key(topic: str) -> str:
    return topic.replace(" ", "_")


def _say(key: str, language: str = LANGUAGES[0]) -> str:
    table, _, name = key.partition(".")
    return str(catalog(language, PAGE)[table][name])


def explain(house: House, year: YearEnergy, topic: str) -> Explanation:
    """Explain a topic of `topics`, or every number below a path such as ``surfaces.walls``.

    Raises
    ------
    InputError
        When there is neither such a topic nor such a path.
    """
    if topic in TOPICS:
        paths, steps = TOPICS[topic]
        return Explanation(
            topic=topic,
            key=_key(topic),
            inputs=_inputs(house, paths),
            steps=tuple(steps(house, year)),
        )
    found = _inputs(house, (topic,))
    if not found:
        raise InputError(_say("told.unknown").format(topic=topic, topics=", ".join(TOPICS)))
    return Explanation(topic=topic, key="numbers", inputs=found, steps=())


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


def _part(label: str) -> Word:
    """Name of a part: other languages know those that a house starts with."""
    return Word("part", label, label)


def _place(house: House, key: str) -> Word:
    """Name of a space of the house by its key; the heated rooms are none of its buffers."""
    labels = {buffer.key: buffer.label for buffer in house.buffers}
    return _part(labels[key]) if key in labels else Word("choices", key, _say(f"place.{key}"))


def _month(value: Value) -> float:
    return float(np.broadcast_to(value, (12,))[MONTH])


def _conduction(house: House, year: YearEnergy) -> Iterator[Step]:
    films = year.parts.shell.films
    yield Step(
        key="film",
        value=float(films.outdoor),
        unit="h ft2 F/Btu",
    )
    for surface in house.surfaces:
        fill, u = float(as_it_lies(surface)), float(surface_u(surface, films))
        if float(surface.r_label) > 0:
            yield Step(
                key="label_r",
                blanks={"part": _part(surface.label), "r": f"{surface.r_label:g}"},
                value=fill,
                unit="h ft2 F/Btu",
            )
        part = {"part": _part(surface.label)}
        yield Step(key="u_value", blanks=part, value=u, unit="Btu/(h ft2 F)")
        yield Step(key="u_area", blanks=part, value=u * float(surface.area), unit="Btu/(h F)")


def _ground(house: House, year: YearEnergy) -> Iterator[Step]:
    for part in house.underground:
        loss = float(underground_conductance(part, ground_covered(house)))
        named = {"part": _part(part.label)}
        yield Step(key="ground_loss", blanks=named, value=loss, unit="Btu/(h F)")
    for place, soil in year.parts.shell.ground_temperature.items():
        named = {"part": _place(house, place)}
        yield Step(key="soil", blanks=named, value=_month(soil), unit="F")


def _leakage(house: House, _year: YearEnergy) -> Iterator[Step]:
    fit = leakage_fit(house)
    if fit is not None:
        low, high = fit.exponent_range
        yield Step(key="exponent", value=fit.exponent, unit=f"({low:.2f} to {high:.2f})")
    yield Step(key="flow_50", value=float(reading_at_50(house)), unit="cfm")
    labels = {site.key: _part(site.label) for site in house.leakage.sites}
    for key, share in site_shares_left(house).items():
        percent = 100.0 * float(share)
        if key in labels:
            yield Step(key="site_share", blanks={"part": labels[key]}, value=percent, unit="%")
        else:
            yield Step(key="other_share", value=percent, unit="%")


def _air(house: House, year: YearEnergy) -> Iterator[Step]:
    flow = _month(year.parts.flows.natural)
    yield Step(key="natural_flow", value=flow, unit="cfm")
    changes = flow * 60.0 / float(house.size.volume)
    yield Step(key="air_changes", value=changes, unit="per hour")
    published = _published_annual_flow(house)
    factor = {"factor": f"{TYPICAL_WEATHER_FACTOR:g}"}
    yield Step(key="published_flow", blanks=factor, value=float(published), unit="cfm")
    yearly = float(np.mean(year.parts.flows.natural))
    yield Step(key="mean_flow", value=yearly, unit="cfm")
    heat = year.parts.flows.heat_coefficient
    yield Step(key="heat_of_flow", value=heat, unit="Btu/(h F cfm)")


def _published_annual_flow(house: House) -> Value:
    """Yearly infiltration that ASHRAE 62.2-2013 counts, 0.052 x weather factor x stories^0.4 x CFM50. [cfm]

    Credit page of a national laboratory (read); it stands beside ours and nothing is worked out from it.
    """
    height: Value = house.size.stories**0.4
    return 0.052 * TYPICAL_WEATHER_FACTOR * height * reading_at_50(house)


def _buffers(house: House, year: YearEnergy) -> Iterator[Step]:
    room = year.heating.rooms.temperature
    outdoor = year.parts.climate.temperature
    for place, value in place_temperatures(year.heating.state, room, outdoor).items():
        named = {"part": _place(house, place)}
        yield Step(key="in_january", blanks=named, value=_month(value), unit="F")


def _balance(_house: House, year: YearEnergy) -> Iterator[Step]:
    season, parts = year.heating, year.parts
    line, room = season.state.line, season.rooms.temperature
    base = line.base_temperature(room, 0.0)
    degree_days = parts.climate.degree_days.heating(base)
    yield Step(key="loss_outdoors", value=_month(line.outside), unit="Btu/(h F)")
    yield Step(key="base", value=_month(base), unit="F")
    yield Step(key="degree_days", value=_month(degree_days), unit="F day")
    leaving = _month(heat_leaving(parts, season.state, room))
    yield Step(key="heat_leaving", value=leaving, unit="Btu")
    gains = _month(season.state.gains)
    yield Step(key="gains", value=gains, unit="Btu/h")
    deviation = _month(deviation_of_need(parts, season.state))
    yield Step(key="deviation", value=deviation, unit="Btu/h")
    used = 100.0 * _month(season.useful) / gains if gains else 0.0
    yield Step(key="in_use", value=used, unit="%")
    yield Step(key="room_heat", value=_month(season.demand), unit="Btu")
    total = float(np.sum(season.demand))
    yield Step(key="room_heat_year", value=total, unit="Btu")


def _setback(house: House, year: YearEnergy) -> Iterator[Step]:
    capacity = house.size.heat_capacity * house.size.floor_area
    hours = time_constant(capacity, year.heating.state.line.inside)
    yield Step(key="time_constant", value=_month(hours), unit="h")
    rooms = _month(year.heating.rooms.temperature)
    yield Step(key="rooms_mean", value=rooms, unit="F")


def _ducts(house: House, year: YearEnergy) -> Iterator[Step]:
    ducts = year.heating.ducts
    for place, value in ducts.around.items():
        named = {"part": _place(house, place)}
        yield Step(key="around_ducts", blanks=named, value=_month(value), unit="F")
    yield Step(key="rise", value=_month(ducts.rise), unit="F")
    outdoor = _month(year.heating.outdoor)
    yield Step(key="outdoors_heated", value=outdoor, unit="F")
    yield Step(key="delivered", value=100 * _month(ducts.delivered), unit="%")
    yield Step(key="useful", value=100 * _month(ducts.useful), unit="%")
    drawn = _month(year.heating.imbalance)
    yield Step(key="drawn_in", value=drawn, unit="cfm")


def _equipment(house: House, year: YearEnergy) -> Iterator[Step]:
    for pump in house.heat_pumps:
        cop = float(ratings_from_hspf(pump.hspf, pump.capacity).cop_47)
        named = {"part": _part(pump.label)}
        yield Step(key="cop_47", blanks=named, value=cop, unit="")
    yield Step(key="backup", value=float(np.sum(year.backup)), unit="kWh")
    unmet = float(np.sum(year.heating.unmet))
    yield Step(key="unmet", value=unmet, unit="Btu")
    yield from _use(year, "heating")


def _cooling(_house: House, year: YearEnergy) -> Iterator[Step]:
    total = float(np.sum(year.cooling.demand))
    yield Step(key="cooling_year", value=total, unit="Btu")
    yield from _use(year, "cooling")


def _hot_water(house: House, year: YearEnergy) -> Iterator[Step]:
    climate = year.parts.climate
    yield Step(key="mains", value=_month(mains(climate)), unit="F")
    yield Step(key="drawn", value=_month(drawn_hot(house, climate)), unit="gal/day")
    for tank in house.water_heaters:
        loss = float(jacket_coefficient(tank))
        named = {"part": _part(tank.label)}
        yield Step(key="jacket", blanks=named, value=loss, unit="Btu/(h F)")
    yield from _use(year, "hot_water")


def _plugs(_house: House, year: YearEnergy) -> Iterator[Step]:
    for end_use in ("lighting", "standby", "appliances", "ventilation"):
        yield from _use(year, end_use)


def _sun(house: House, year: YearEnergy) -> Iterator[Step]:
    for place, value in year.parts.shell.sun.items():
        named = {"part": _place(house, place)}
        yield Step(key="sun_into", blanks=named, value=_month(value), unit="Btu/h")


def _use(year: YearEnergy, end_use: str) -> Iterator[Step]:
    for fuel, name in sorted(year.monthly):
        if name == end_use:
            total = float(year.annual(fuel, name))
            said = {"fuel": Word("fuels", fuel, fuels()[fuel].name)}
            yield Step(key=f"year_{name}", blanks=said, value=total, unit="Btu")


_Steps = Callable[[House, YearEnergy], Iterator[Step]]
TOPICS: MappingProxyType[str, tuple[tuple[str, ...], _Steps]] = MappingProxyType(
    {
        "conduction": (
            ("surfaces", "windows"),
            _conduction,
        ),
        "ground": (
            ("underground",),
            _ground,
        ),
        "air leakage": (
            ("leakage",),
            _leakage,
        ),
        "natural air flow": (
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
            ("buffers",),
            _buffers,
        ),
        "sun": (
            ("windows", "buffers"),
            _sun,
        ),
        "heat balance": (
            ("size", "zones"),
            _balance,
        ),
        "setback": (
            ("zones", "size.heat_capacity"),
            _setback,
        ),
        "ducts": (
            ("ducts",),
            _ducts,
        ),
        "heating equipment": (
            ("fuel_heaters", "heat_pumps"),
            _equipment,
        ),
        "cooling": (
            ("air_conditioners", "site.open_window_below"),
            _cooling,
        ),
        "hot water": (
            ("hot_water", "water_heaters"),
            _hot_water,
        ),
        "lights and plugs": (
            ("lamps", "standby", "appliances"),
            _plugs,
        ),
    }
)
