"""Readings of the walk as frozen records: combustion, gas, ducts, fans, damp, radon, pictures of heat, attic fill.

All of it may stay open. What a reading means is in limits.py, what it does to the model in readings.py.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from retrofit_lab.base.values import MaybeValue

Choices = Mapping[str, tuple[str, ...]]
_NONE: Choices = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class BurnerReading:
    """Combustion test at one appliance; ``label`` names it.

    ``spillage`` is how long flue gas spilled after the start, ``depressurization`` how far the room of the
    appliance fell below outdoors with all fans on, ``draft`` below 0 where the chimney draws.
    """

    section: ClassVar[str] = "burnerreading"
    choices: ClassVar[Choices] = MappingProxyType(
        {"kind": ("", "natural draft", "fan assisted", "sealed"), "case": ("", "worst", "natural")}
    )
    key: str
    label: str
    kind: str = ""
    case: str = ""
    spillage: MaybeValue = None
    draft: MaybeValue = None
    co_flue: MaybeValue = None
    co_room: MaybeValue = None
    depressurization: MaybeValue = None
    outdoor_temperature: MaybeValue = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GasReading:
    """What a gas detector told along the pipes."""

    section: ClassVar[str] = "gasreading"
    choices: ClassVar[Choices] = MappingProxyType({"found": ("", "no leak", "leak")})
    found: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DuctReading:
    """Leakage of the whole duct system at 25 Pa, and how much of it goes to or comes from outside the house."""

    section: ClassVar[str] = "ductreading"
    choices: ClassVar[Choices] = _NONE
    total: MaybeValue = None
    outside: MaybeValue = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirHandlerReading:
    """Static pressures, temperature rise and air flow at the air handler, and what its label allows."""

    section: ClassVar[str] = "airhandlerreading"
    choices: ClassVar[Choices] = _NONE
    flow: MaybeValue = None
    static_supply: MaybeValue = None
    static_return: MaybeValue = None
    static_rated: MaybeValue = None
    temperature_rise: MaybeValue = None
    rise_low: MaybeValue = None
    rise_high: MaybeValue = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PanReading:
    """Pressure under a pan over one register, the house at 50 Pa; ``label`` names the register."""

    section: ClassVar[str] = "panreading"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    pressure: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneReading:
    """Pressure between the house and a neighbor of it, such as the attic, the house at 50 Pa."""

    section: ClassVar[str] = "zonereading"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    pressure: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FanReading:
    """Flow of one fan as measured; ``label`` names it."""

    section: ClassVar[str] = "fanreading"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    flow: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodReading:
    """Moisture of wood in one place, by weight of the dry wood."""

    section: ClassVar[str] = "woodreading"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    moisture: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomReading:
    """Temperature and relative humidity of one room."""

    section: ClassVar[str] = "roomreading"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    temperature: MaybeValue = None
    humidity: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RadonReading:
    """Radon in one room, and over how many days it was measured."""

    section: ClassVar[str] = "radonreading"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    level: MaybeValue = None
    days: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InfraredNote:
    """What a heat picture of one place shows; ``picture`` is the name of its file."""

    section: ClassVar[str] = "infrarednote"
    choices: ClassVar[Choices] = _NONE
    key: str
    label: str
    note: str = ""
    picture: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FillReading:
    """Depth and kind of one layer of fill on an attic floor; ``of`` is the key of the ceiling under it."""

    section: ClassVar[str] = "fillreading"
    choices: ClassVar[Choices] = MappingProxyType(
        {
            "kind": (
                "", "fiberglass_batt", "mineral_wool_batt", "fiberglass_loose", "rock_wool_loose",
                "cellulose_loose", "vermiculite", "spray_foam_open", "spray_foam_closed",
            )
        }
    )  # fmt: skip
    key: str
    label: str
    of: str = ""
    kind: str = ""
    depth: MaybeValue = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Every reading of a walk beside the blower door and the meters."""

    section: ClassVar[str] = "measured"
    choices: ClassVar[Choices] = _NONE
    burners: tuple[BurnerReading, ...] = ()
    gas: GasReading = GasReading()
    ducts: DuctReading = DuctReading()
    air_handler: AirHandlerReading = AirHandlerReading()
    pans: tuple[PanReading, ...] = ()
    zones: tuple[ZoneReading, ...] = ()
    fans: tuple[FanReading, ...] = ()
    wood: tuple[WoodReading, ...] = ()
    rooms: tuple[RoomReading, ...] = ()
    radon: tuple[RadonReading, ...] = ()
    infrared: tuple[InfraredNote, ...] = ()
    fills: tuple[FillReading, ...] = ()


NOTHING_MEASURED = Measured()
"""A house in which no reading was taken."""
