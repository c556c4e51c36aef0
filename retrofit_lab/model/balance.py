"""One season of a described house: loss line, indoor temperature, demand and ducts, in that order."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from retrofit_lab.base.sums import over_year, total
from retrofit_lab.base.values import Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import INSIDE, OUTDOORS, House
from retrofit_lab.model.air import Air, outdoor_air
from retrofit_lab.model.distribution import (
    Distribution,
    closed_places,
    distribution,
    imbalance,
    make_up_air,
)
from retrofit_lab.model.electricity import Plugs
from retrofit_lab.model.envelope import Envelope
from retrofit_lab.model.hot_water import Losses
from retrofit_lab.model.hour_groups import Blocks
from retrofit_lab.model.indoor import Indoor, Surroundings, day_setpoint, indoor
from retrofit_lab.physics.annual_balance import (
    BufferNode,
    LossLine,
    buffer_temperature,
    loss_line,
    regain,
    sun_through,
)
from retrofit_lab.physics.below_grade import LEAD
from retrofit_lab.physics.elementwise import is_nought, power
from retrofit_lab.physics.thermostat import SlowRecovery
from retrofit_lab.physics.ventilation import mean_over_run_time

MEAN_ROOM = 2.0 / 3.0
"""Part of the heating setting in the year's mean of the rooms; the rest is of the cooling setting. [1] (judgment)"""


QUARTER = 3
"""Months by which heat stored in soil is off. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """What does not depend on the season: the house's parts as numbers.

    Parameters
    ----------
    house, climate : House, MonthlyClimate
        What they were worked out from.
    shell : Envelope
        What conducts, and sun and sky.
    flows : Air
        Air by wind, warmth and fans.
    water : Losses
        Heat of tanks and pipes.
    plugs : Plugs
        Power of what is switched on.
    internal : Value
        Heat of people and machines. [Btu/h]
    blocks : Blocks
        Hours of the months a few at a time.
    taken : mapping of str to Value
        Heat that heat-pump tanks take from their place. [Btu/h]
    """

    house: House
    climate: MonthlyClimate
    shell: Envelope
    flows: Air
    water: Losses
    plugs: Plugs
    internal: Value
    blocks: Blocks
    taken: Mapping[str, Value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Heat balance of a house for one flow of outdoor air: the line, its zones and the gains.

    Parameters
    ----------
    line : LossLine
        Loss of the house over indoor and outdoor temperature.
    nodes : mapping of str to BufferNode
        Its buffer zones.
    inside : Value
        What people, machines and hot water give day and night. [Btu/h]
    sun : Value
        What comes by day, through buffer zones too. [Btu/h]
    airflow : Value
        All outdoor air that comes in. [cfm]
    air : Value
        Heat per degree of what of it comes in straight from outdoors. [Btu/(h F)]
    """

    line: LossLine
    nodes: Mapping[str, BufferNode]
    inside: Value
    sun: Value
    airflow: Value
    air: Value

    @property
    def gains(self) -> Value:
        """All that spares heat, day and night together. [Btu/h]

        Examples
        --------
        >>> state = year_energy(house, climate).heating.state
        >>> bool(np.allclose(state.gains, state.inside + state.sun))
        True
        """
        return self.inside + self.sun


def balance(parts: Parts) -> Balance:
    """Loss line and zones while the furnace fan rests.

    Parameters
    ----------
    parts : Parts
        The house in numbers.

    Returns
    -------
    Balance
        By month.

    Examples
    --------
    At the base temperature of no gains the house loses nothing:

    >>> line = balance(year_energy(house, climate).parts).line
    >>> base = line.base_temperature(70.0, 0.0)
    >>> bool(np.allclose(line.inside * 70.0 - line.outside * base - line.fixed, 0.0, atol=1e-6))
    True
    """
    nodes = {
        buffer.key: _node(parts, buffer.key, buffer.volume * buffer.air_changes / 60.0)
        for buffer in parts.house.buffers
    }
    airflow = outdoor_air(parts.flows, 0.0)
    air = direct_air(parts, airflow)
    return Balance(
        line=_line(parts, nodes, air),
        nodes=nodes,
        inside=parts.internal - parts.taken.get(INSIDE, 0.0),
        sun=_sun(parts, nodes),
        airflow=airflow,
        air=air,
    )


def _line(parts: Parts, nodes: Mapping[str, BufferNode], air: Value) -> LossLine:
    """Loss line of the rooms: conduction, ground, air, zones, tanks and the cold of the sky.

    Parameters
    ----------
    parts : Parts
        The house in numbers.
    nodes : mapping of str to BufferNode
        Its buffer zones.
    air : Value
        Heat per degree of what comes in straight from outdoors. [Btu/(h F)]
    """
    shell = parts.shell
    line = loss_line(
        shell.conductance.get((INSIDE, OUTDOORS), 0.0) + air,
        shell.ground.get(INSIDE, 0.0),
        shell.ground_temperature.get(INSIDE, 0.0),
        tuple(nodes.values()),
    )
    sky = shell.sky.get(INSIDE, 0.0)
    return _with_tank(line, parts.water.conductance(INSIDE), parts.water.setpoint, sky)


def _sun(parts: Parts, nodes: Mapping[str, BufferNode]) -> Value:
    """Sun that spares heat in the rooms, through windows, walls and buffer zones.

    Parameters
    ----------
    parts : Parts
        Sun by place.
    nodes : mapping of str to BufferNode
        What of their sun comes through to the rooms.

    Returns
    -------
    Value
        Heat. [Btu/h]
    """
    return parts.shell.sun.get(INSIDE, 0.0) + sun_through(tuple(nodes.values()))


def with_duct_leaks(parts: Parts, state: Balance, run_fraction: Value) -> Balance:
    """The same house with the air that leaky ducts move while the furnace fan runs.

    Unequal leaks draw air in through the envelope or push it out; what the return takes out of its place
    is made up there by outdoor air.

    Parameters
    ----------
    parts : Parts
        The house in numbers.
    state : Balance
        While the fan rests.
    run_fraction : Value
        Share of the time that the furnace fan runs. [1]

    Returns
    -------
    Balance
        Mean of running and resting.

    Examples
    --------
    A fan that never runs changes nothing:

    >>> parts = year_energy(house, climate).parts
    >>> state = balance(parts)
    >>> bool(np.allclose(with_duct_leaks(parts, state, 0.0).line.outside, state.line.outside))
    True
    """
    running = outdoor_air(parts.flows, imbalance(parts.house))
    airflow = mean_over_run_time(state.airflow, running, run_fraction)
    air = direct_air(parts, airflow)
    drawn, nodes = make_up_air(parts.house), dict(state.nodes)
    place = parts.house.ducts.return_place
    if place in nodes and not is_nought(drawn):
        more = parts.flows.heat_coefficient * drawn * run_fraction
        nodes[place] = replace(nodes[place], outdoor=nodes[place].outdoor + more)
    return replace(
        state,
        line=_line(parts, nodes, air),
        nodes=nodes,
        sun=_sun(parts, nodes),
        airflow=airflow,
        air=air,
    )


def direct_air(parts: Parts, airflow: Value) -> Value:
    """Heat per degree of the outdoor air that comes in straight from outdoors.

    Parameters
    ----------
    parts : Parts
        Which of the air passes a buffer zone, and what fans give back.
    airflow : Value
        All outdoor air that comes in. [cfm]

    Returns
    -------
    Value
        Heat. [Btu/(h F)]

    Examples
    --------
    >>> float(np.max(direct_air(year_energy(house, climate).parts, 0.0)))
    0.0
    """
    flows = parts.flows
    entering = total(flows.entering.values())
    direct = np.maximum(airflow - entering * flows.natural - flows.recovered, 0.0)
    return flows.heat_coefficient * direct


def _with_tank(line: LossLine, tank: Value, setpoint: Value, sky: Value) -> LossLine:
    """A tank in the rooms warms them less, the warmer they are: it belongs to the line, as does the cold sky.

    Parameters
    ----------
    line : LossLine
        Without both.
    tank, setpoint : Value
        Heat per degree of tanks and pipes [Btu/(h F)], and their temperature. [F]
    sky : Value
        What the sky takes of the rooms' own outer faces. [Btu/h]
    """
    return LossLine(
        inside=line.inside + tank,
        outside=line.outside,
        fixed=line.fixed + tank * setpoint - sky,
    )


def _node(parts: Parts, place: str, vent_cfm: Value) -> BufferNode:
    """What one buffer zone exchanges with rooms, outdoors, ground and tanks.

    Parameters
    ----------
    parts : Parts
        The house in numbers.
    place : str
        Key of the zone.
    vent_cfm : Value
        Outdoor air that blows through it by itself. [cfm]
    """
    shell, flows = parts.shell, parts.flows
    to_house = shell.conductance.get((INSIDE, place), 0.0)
    outdoor = shell.conductance.get((place, OUTDOORS), 0.0) + flows.heat_coefficient * vent_cfm
    tank = parts.water.conductance(place)
    ground = shell.ground.get(place, 0.0)
    entering = flows.heat_coefficient * flows.natural * flows.entering.get(place, 0.0)
    leaving = flows.heat_coefficient * flows.natural * flows.leaving.get(place, 0.0)
    soil = shell.ground_temperature.get(place, 0.0)
    lost = shell.sky.get(place, 0.0) + parts.taken.get(place, 0.0)
    node = BufferNode(
        from_house=to_house + leaving,
        to_zone=to_house + entering,
        outdoor=outdoor + entering,
        other=tank + ground,
        fixed=tank * parts.water.setpoint + ground * soil - lost,
        sun=shell.sun.get(place, 0.0),
    )
    return node if is_nought(ground) else _with_soil_as_store(parts, place, node)


def _with_soil_as_store(parts: Parts, place: str, node: BufferNode) -> BufferNode:
    """The zone with what its own swing over the year brings into the soil and out of it again.

    About its mean of the year the zone meets more soil than at rest, which is ahead of its swing, so a basement is
    warmer in winter.
    """
    shell = parts.shell
    room = MEAN_ROOM * day_setpoint(parts.house, "heating")
    room = room + (1.0 - MEAN_ROOM) * day_setpoint(parts.house, "cooling")
    comes = (
        node.from_house * room + node.outdoor * parts.climate.temperature + node.fixed + node.sun
    )
    mean = np.asarray(over_year(comes) / over_year(node.total))[..., None]
    more = shell.ground_swing[place] * np.cos(LEAD) - shell.ground[place]
    about = (comes + more * mean) / (node.total + more)
    ahead = shell.ground_swing[place] * np.sin(LEAD) * (np.roll(about, -QUARTER, axis=-1) - mean)
    return replace(node, other=node.other + more, fixed=node.fixed + more * mean - ahead)


def with_sun(state: Balance, against_mean: Value) -> Balance:
    """The same zones in hours of another sun than the mean of day and night; the line is left alone.

    Parameters
    ----------
    state : Balance
        In the mean of day and night.
    against_mean : Value
        Sun in those hours against that of day and night together. [1]

    Returns
    -------
    Balance
        With other sun in its buffer zones.

    Examples
    --------
    >>> dark = with_sun(year_energy(house, climate).heating.state, 0.0)
    >>> all(bool(np.all(node.sun == 0.0)) for node in dark.nodes.values())
    True
    """
    nodes = {
        place: replace(node, sun=node.sun * against_mean) for place, node in state.nodes.items()
    }
    return replace(state, nodes=nodes)


def place_temperatures(state: Balance, room: Value, outdoor: Value) -> dict[str, Value]:
    """Temperature of the rooms, of every buffer zone and outdoors.

    Parameters
    ----------
    state : Balance
        Its zones.
    room, outdoor : Value
        Temperatures of the rooms and outdoors. [F]

    Returns
    -------
    dict of str to Value
        By place. [F]

    Examples
    --------
    >>> places = place_temperatures(year_energy(house, climate).heating.state, 70.0, 30.0)
    >>> places["house"], places["outdoors"]
    (70.0, 30.0)
    """
    zones = {place: buffer_temperature(node, room, outdoor) for place, node in state.nodes.items()}
    return {INSIDE: room, **zones, OUTDOORS: outdoor}


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """Heating or cooling of one house by month.

    Parameters
    ----------
    state : Balance
        With the air that its ducts move.
    rooms : Indoor
        Temperature of the rooms.
    demand : Value
        Heat or sensible cold that the rooms ask for. [Btu/month]
    ducts : Distribution
        What becomes of it on the way.
    imbalance : Value
        Air that unequal duct leaks draw in, mean of the month, below 0 where they push it out. [cfm]
    outdoor : Value
        Mean outdoor temperature of the hours that count. [F]
    unmet : Value
        What the heaters or air conditioners are too small for, not in ``demand``. [Btu/month]
    useful : Value
        What sun, people and machines spare the heating, mean of the month. [Btu/h]
    mornings : mapping of str to SlowRecovery
        How heat pumps bring the rooms back up after setbacks, by key.
    """

    state: Balance
    rooms: Indoor
    demand: Value
    ducts: Distribution
    imbalance: Value
    outdoor: Value
    unmet: Value = 0.0
    useful: Value = 0.0
    mornings: Mapping[str, SlowRecovery] = field(default_factory=dict)


def rooms_of(parts: Parts, name: str, state: Balance, excess: Value = 0.0) -> Indoor:
    """Indoor temperature of a season, given its balance.

    Parameters
    ----------
    parts : Parts
        House, with its thermostats, and climate.
    name : str
        ``"heating"`` or ``"cooling"``.
    state : Balance
        Where the house drifts to while no one heats it.
    excess : Value
        By how much sun and people make the rooms too warm, mean of day and night. [F]

    Returns
    -------
    Indoor
        Temperature and recovery by month.

    Examples
    --------
    Cooled rooms are not colder than heated ones:

    >>> parts = year_energy(house, climate).parts
    >>> state = balance(parts)
    >>> heated, cooled = (rooms_of(parts, name, state).temperature for name in ("heating", "cooling"))
    >>> bool(np.all(cooled >= heated))
    True
    """
    around = replace(surroundings(parts, state), excess=excess)
    return indoor(parts.house, name, line_within_days(parts, state, name), around)


def line_within_days(parts: Parts, state: Balance, name: str) -> LossLine:
    """Loss line for hours and single days, in which closed zones of masonry stay as they are in the month.

    Parameters
    ----------
    parts : Parts
        House, with its settings and zones, and climate.
    state : Balance
        Line and zones of the month.
    name : str
        ``"heating"`` or ``"cooling"``.

    Returns
    -------
    LossLine
        Loses what the line of the month does at the month's mean outdoors and the day's setting; from there it is
        steeper indoors and flatter outdoors, for a basement follows neither a night nor a cold day.

    References
    ----------
    EN ISO 13790, 12.3.1: of heavy walls and floors 10 cm take part in a day (memory). The walls and the floor of a
    basement then hold about 10 Btu/(ft2 F), which is more than a day of what passes the floor above.

    Examples
    --------
    Without a basement both are the same line:

    >>> vented = tuple(replace(buffer, kind="crawlspace") for buffer in house.buffers)
    >>> parts = year_energy(replace(house, buffers=vented), climate).parts
    >>> state = balance(parts)
    >>> line_within_days(parts, state, "heating") is state.line
    True
    """
    room, line = day_setpoint(parts.house, name), state.line
    for place in closed_places(parts.house):
        node = state.nodes[place]
        back, out = (regain(node) * part for part in (node.from_house, node.outdoor))
        line = LossLine(
            inside=line.inside + back,
            outside=line.outside - out,
            fixed=line.fixed + back * room + out * parts.climate.temperature,
        )
    return line


def surroundings(parts: Parts, state: Balance) -> Surroundings:
    """What drives the house while no one heats it.

    Parameters
    ----------
    parts : Parts
        Climate, with its hours and how days differ.
    state : Balance
        Heat inside, and sun.

    Returns
    -------
    Surroundings
        Outdoor air [F], heat inside and sun by month. [Btu/h]

    Examples
    --------
    >>> parts = year_energy(house, climate).parts
    >>> around = surroundings(parts, balance(parts))
    >>> around.outdoor is climate.temperature, bool((around.spread > 0.0).all())
    (True, True)
    """
    climate = parts.climate
    return Surroundings(
        outdoor=climate.temperature,
        hours=climate.hours,
        inside=state.inside,
        sun=state.sun,
        spread=power(parts.blocks.spread, 0.5),
    )


def ducts_of(
    parts: Parts,
    state: Balance,
    places: Mapping[str, Value],
    temperature_rise: Value,
    *,
    made: Value,
    peak: Value,
) -> Distribution:
    """Ducts of a season, in places that what the ducts lose warms or cools.

    Parameters
    ----------
    parts : Parts
        House, with its ducts.
    state : Balance
        Buffer zones in the hours that count.
    places : mapping of str to Value
        Temperature of every place before that, from `place_temperatures`. [F]
    temperature_rise : Value
        Of the air in the equipment, negative for cooling. [F]
    made : Value
        What the rooms ask of the ducts, mean of day and night, negative for cooling. [Btu/h]
    peak : Value
        The same in the hours that count, against that mean. [1]

    Returns
    -------
    Distribution
        With the places as warm as the ducts make them.

    Notes
    -----
    The warmer a place, the less the ducts lose in it; two trials show how the loss falls, and the third is
    taken where loss and warmth agree. An attic is as warm as the ducts of these hours make it; a basement, which is
    of masonry, as those of day and night do.
    """

    def at(temperatures: Mapping[str, Value]) -> Distribution:
        return distribution(
            parts.house,
            state.nodes,
            temperatures,
            temperature_rise,
            parts.flows.heat_coefficient,
        )

    cold = at(places)
    closed = closed_places(parts.house)
    warming = {
        place: _warming(state, cold, place, made if place in closed else peak * made)
        for place in cold.released
        if place in state.nodes
    }
    warm = at(_warmed(places, warming))
    settled = {
        place: most
        * _settling(cold.released[place] / cold.useful, warm.released[place] / warm.useful)
        for place, most in warming.items()
    }
    return at(_warmed(places, settled))


def _warming(state: Balance, ducts: Distribution, place: str, made: Value) -> Value:
    """How much warmer a zone gets by what ducts release in it.

    Parameters
    ----------
    state : Balance
        Its conductances.
    ducts : Distribution
        What is released there.
    place : str
        Key of the zone.
    made : Value
        What the rooms ask of the ducts. [Btu/h]

    Returns
    -------
    Value
        Warming, below 0 for cooling. [F]
    """
    return made / ducts.useful * ducts.released[place] / state.nodes[place].total


def _settling(cold: Value, warm: Value) -> Value:
    """Share of the first warming that is left when the loss falls evenly as the zone gets warmer.

    Parameters
    ----------
    cold, warm : Value
        What is released for each unit of use, in the zone as it was and warmed at first. [1]

    Returns
    -------
    Value
        Where the straight line through both trials meets itself. [1]
    """
    return cold / np.maximum(2.0 * cold - warm, 1e-9)


def _warmed(places: Mapping[str, Value], warming: Mapping[str, Value]) -> dict[str, Value]:
    """Temperatures of places, some of them warmer. [F]

    Parameters
    ----------
    places, warming : mapping of str to Value
        Temperatures, and by how much some rise. [F]
    """
    return {place: value + warming.get(place, 0.0) for place, value in places.items()}
