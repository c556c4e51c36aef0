"""The parts of one house as frozen records; no physics, no files, no checks (see checking.py).

Numbers are in the units that ``data/parameters.csv`` declares under the record's ``section``.
A number may also be an array (see `retrofit_lab.base.values.Value`) when many variants of one house are
worked out at once.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import ClassVar

from retrofit_lab.base.values import MaybeValue, Value
from retrofit_lab.house.intake import NO_JOB, Job
from retrofit_lab.house.measured import NOTHING_MEASURED, Measured

INSIDE = "house"
OUTDOORS = "outdoors"
FUELS = ("electricity", "natural_gas", "heating_oil", "propane", "wood")
Choices = Mapping[str, tuple[str, ...]]
_NONE: Choices = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where the house stands; ``climate`` is a ZIP code, another place, or a weather file."""

    section: ClassVar[str] = "site"
    choices: ClassVar[Choices] = _NONE
    climate: str
    shelter_class: Value
    year_built: Value
    open_window_below: Value
    warmer_by: Value
    air_model: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How large the heated part is and who lives there."""

    section: ClassVar[str] = "size"
    choices: ClassVar[Choices] = _NONE
    floor_area: Value
    volume: Value
    stories: Value
    bedrooms: Value
    occupants: Value
    heat_capacity: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """An opaque area between two places: the house or a buffer inside, a buffer or outdoors outside.

    ``fill`` names what the label's R-value belongs to; loose fiberglass loses some of it in the cold.
    """

    section: ClassVar[str] = "surface"
    choices: ClassVar[Choices] = MappingProxyType(
        {
            "kind": (
                "wall", "ceiling", "floor", "roof", "door", "hatch", "rim", "kneewall",
                "basement_wall",
            ),
            "fill": ("none", "batt", "loose_fiberglass", "cellulose", "foam", "board"),
        }
    )  # fmt: skip
    key: str
    label: str
    kind: str
    inside: str
    outside: str
    fill: str = "none"
    area: Value
    r_continuous: Value
    r_label: Value
    framing_fraction: Value
    r_framing: Value
    gap_fraction: Value
    r_gap: Value
    missing_fraction: Value
    edge_fraction: Value
    cavity_depth: Value
    label_thickness: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Glass that faces one way."""

    section: ClassVar[str] = "window"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    inside: str = INSIDE
    area: Value
    u_value: Value
    shgc: Value
    facing: Value
    shading: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Underground:
    """A wall, floor or slab edge against the ground."""

    section: ClassVar[str] = "underground"
    choices: ClassVar[Choices] = MappingProxyType({"kind": ("wall", "floor", "slab")})
    key: str
    label: str
    kind: str
    inside: str
    length: Value
    depth: Value
    width: Value
    r_value: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Buffer:
    """An unheated neighbor of the house whose temperature follows from its own heat balance."""

    section: ClassVar[str] = "buffer"
    choices: ClassVar[Choices] = MappingProxyType(
        {"kind": ("attic", "kneewall", "crawlspace", "basement", "garage")}
    )
    key: str
    label: str
    kind: str
    volume: Value
    air_changes: Value
    sun_absorptance: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakSite:
    """One kind of place where air passes; ``kind`` names a row of ``data/leak_sites.csv``."""

    section: ClassVar[str] = "leaksite"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    kind: str
    place: str
    count: Value
    condition: Value
    sealed: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One of several blower-door readings, baseline taken off."""

    section: ClassVar[str] = "reading"
    choices: ClassVar[Choices] = _NONE
    key: str
    pressure: Value
    flow: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Leakage:
    """The blower-door reading and the sites that share it.

    With three or more ``readings`` the power law through them stands in for the single one. The fan
    reads the air that passes it; in cold weather the leaks pass the same mass as another volume.
    """

    section: ClassVar[str] = "leakage"
    choices: ClassVar[Choices] = MappingProxyType(
        {"flue": ("none", "open"), "fan_blows": ("out", "in")}
    )
    flue: str = "none"
    fan_blows: str = "out"
    flow: Value
    pressure: Value
    exponent: Value
    indoor_temperature: Value
    outdoor_temperature: Value
    readings: tuple[Reading, ...] = ()
    sites: tuple[LeakSite, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fan:
    """A ventilation fan."""

    section: ClassVar[str] = "fan"
    choices: ClassVar[Choices] = MappingProxyType({"kind": ("exhaust", "supply", "balanced")})
    key: str
    label: str
    kind: str
    flow: Value
    hours: Value
    watts: Value
    recovery: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """Hours of the week in which a thermostat zone is set otherwise."""

    section: ClassVar[str] = "period"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    days_per_week: Value
    hours: Value
    heating_setpoint: Value
    cooling_setpoint: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class ThermostatZone:
    """A part of the house with its own thermostat."""

    section: ClassVar[str] = "zone"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    share: Value
    heating_setpoint: Value
    cooling_setpoint: Value
    weeks_away: Value
    away_setpoint: Value
    periods: tuple[Period, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ducts:
    """The one air distribution system; leakage is a share of the blower's flow, to outside the house."""

    section: ClassVar[str] = "ducts"
    choices: ClassVar[Choices] = _NONE
    supply_place: str = INSIDE
    return_place: str = INSIDE
    supply_area: Value
    return_area: Value
    supply_r: Value
    return_r: Value
    supply_leakage: Value
    return_leakage: Value
    flow: Value
    fan_watts: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelHeater:
    """A furnace, boiler, stove or electric resistance heater; ``made`` is its year, where the label is gone."""

    section: ClassVar[str] = "fuelheater"
    choices: ClassVar[Choices] = MappingProxyType(
        {"kind": ("furnace", "boiler", "stove", "resistance"), "fuel": FUELS}
    )
    key: str
    label: str
    kind: str
    fuel: str
    made: str = ""
    share: Value
    efficiency: Value
    capacity: Value
    pilot: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatPump:
    """An air-source heat pump with electric backup; ``ducted`` is yes or no."""

    section: ClassVar[str] = "heatpump"
    choices: ClassVar[Choices] = MappingProxyType({"ducted": ("yes", "no")})
    key: str
    label: str
    ducted: str = "yes"
    made: str = ""
    share: Value
    hspf: Value
    capacity: Value
    cutout: Value
    recovery_hours: Value
    hspf2: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AirConditioner:
    """Cooling, also by a heat pump."""

    section: ClassVar[str] = "airconditioner"
    choices: ClassVar[Choices] = MappingProxyType({"ducted": ("yes", "no")})
    key: str
    label: str
    ducted: str = "yes"
    made: str = ""
    share: Value
    seer: Value
    capacity: Value
    seer2: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterHeater:
    """A tank, a tankless heater (volume 0) or a heat pump water heater, and where it stands."""

    section: ClassVar[str] = "waterheater"
    choices: ClassVar[Choices] = MappingProxyType(
        {"kind": ("storage", "tankless", "heat_pump"), "fuel": FUELS}
    )
    key: str
    label: str
    kind: str
    fuel: str
    place: str
    made: str = ""
    share: Value
    volume: Value
    r_tank: Value
    r_wrap: Value
    setpoint: Value
    efficiency: Value
    flue_loss: Value
    ef: MaybeValue = None
    uef: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HotWater:
    """What hot water is drawn and what the pipes lose."""

    section: ClassVar[str] = "hotwater"
    choices: ClassVar[Choices] = _NONE
    pipe_place: str = INSIDE
    showers: Value
    shower_minutes: Value
    shower_flow: Value
    tap_minutes: Value
    tap_flow: Value
    mixed_temperature: Value
    machine_gallons: Value
    pipe_length: Value
    pipe_diameter: Value
    pipe_insulation: Value
    pipe_hours: Value
    waits: Value
    wait_volume: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamps:
    """Light bulbs of one kind in one place."""

    section: ClassVar[str] = "lamp"
    choices: ClassVar[Choices] = MappingProxyType(
        {"kind": ("incandescent", "halogen", "fluorescent", "led"), "place": (INSIDE, OUTDOORS)}
    )
    key: str
    label: str
    kind: str
    place: str = INSIDE
    watts: Value
    count: Value
    hours: Value
    inside: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class StandbyLoad:
    """Electronics that draw power while off."""

    section: ClassVar[str] = "standby"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    watts: Value
    hours: Value
    inside: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Appliance:
    """Another user of electricity or of a fuel, by its use a year."""

    section: ClassVar[str] = "appliance"
    choices: ClassVar[Choices] = MappingProxyType({"fuel": FUELS})
    key: str
    label: str
    kind: str = "other"
    fuel: str = "electricity"
    use: Value
    inside: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelPrice:
    """What the house pays for a unit of one fuel (kWh, therm, gallon, cord), of what date and by whose word.

    ``co2`` is the carbon dioxide of a unit as its supplier tells it; without it the national figure counts.
    """

    section: ClassVar[str] = "price"
    choices: ClassVar[Choices] = MappingProxyType({"key": FUELS})
    key: str
    price: Value
    fixed: Value
    co2: MaybeValue = None
    as_of: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recommendation:
    """Work that the rater recommends in own words, with what it costs; the model knows nothing of it.

    ``label`` says what is to be done and ``where`` and ``why``, ``who`` does it, on the page of which ``trade``,
    and in which ``phase`` of the work; ``needed`` is yes where it is there for health or for the house to last,
    whatever it pays.
    """

    section: ClassVar[str] = "recommendation"
    choices: ClassVar[Choices] = MappingProxyType(
        {
            "who": ("owner", "trade", "licensed trade"),
            "trade": (
                "general", "insulation", "heating", "plumbing", "electrical", "windows", "chimney",
            ),
            "phase": (
                "settle", "free", "seal_and_insulate", "ducts", "ventilation", "water", "equipment",
                "over_time",
            ),
            "needed": ("yes", "no"),
        }
    )  # fmt: skip
    key: str
    label: str
    where: str = ""
    why: str = ""
    who: str = "trade"
    trade: str = "general"
    phase: str = "over_time"
    needed: str = "no"
    cost_low: Value
    cost_likely: Value
    cost_high: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Basics:
    """Answers that a starting house was made of and that stand nowhere else in it, in words as typed.

    Estimates are worked out again from these and from what the house says of itself. Without ``kind``
    nothing is: the house was described by hand.
    """

    section: ClassVar[str] = "basics"
    choices: ClassVar[Choices] = _NONE
    kind: str = ""
    length: str = ""
    width: str = ""
    ceiling: str = ""
    roof: str = ""
    insulation: str = ""
    windows: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """One house as it was found.

    ``observations`` are words of ``data/observations.csv`` that the walk turned up; ``assumed`` are the
    paths of numbers that no one gave, so that a default takes their place.
    """

    section: ClassVar[str] = "house"
    choices: ClassVar[Choices] = _NONE
    name: str
    note: str = ""
    bills: str = ""
    observations: tuple[str, ...] = ()
    site: Site
    size: Size
    surfaces: tuple[Surface, ...]
    windows: tuple[Window, ...] = ()
    underground: tuple[Underground, ...] = ()
    buffers: tuple[Buffer, ...] = ()
    leakage: Leakage
    fans: tuple[Fan, ...] = ()
    zones: tuple[ThermostatZone, ...]
    ducts: Ducts
    fuel_heaters: tuple[FuelHeater, ...] = ()
    heat_pumps: tuple[HeatPump, ...] = ()
    air_conditioners: tuple[AirConditioner, ...] = ()
    water_heaters: tuple[WaterHeater, ...] = ()
    hot_water: HotWater
    lamps: tuple[Lamps, ...] = ()
    standby: tuple[StandbyLoad, ...] = ()
    appliances: tuple[Appliance, ...] = ()
    prices: tuple[FuelPrice, ...] = ()
    recommendations: tuple[Recommendation, ...] = ()
    basics: Basics = Basics()
    job: Job = NO_JOB
    measured: Measured = NOTHING_MEASURED
    assumed: frozenset[str] = field(default=frozenset())
