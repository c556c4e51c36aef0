"""Reads meter intervals in the open format of NAESB REQ.21 (Energy Services Provider Interface) in an Atom feed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np

from retrofit_lab.bills.fuels import to_fuel_unit
from retrofit_lab.bills.guarded_xml import read_guarded_xml
from retrofit_lab.bills.interval_months import DAY_SECONDS, Readings, bills_of_readings
from retrofit_lab.bills.record import BillError, BillSet
from retrofit_lab.values import FloatArray

EARLIEST, LATEST = 0.0, 4_102_444_800.0  # 1970 to 2100, in seconds
MOST_SECONDS = 100.0 * DAY_SECONDS

_UNITS = {
    "72": "wh",
    "119": "ft3",
    "42": "m3",
    "128": "gal",
    "132": "btu",
    "134": "l",
    "169": "therm",
}
"""Codes of the element ``uom`` (read, as open implementations of the standard quote them)."""
_COMMODITIES = {"1": "electricity", "2": "electricity", "7": "natural_gas", "8": "propane"}
_SERVICES = {"0": "electricity", "1": "natural_gas"}
_ESTIMATED = {"8", "9", "12"}
"""Codes of ``quality``: from a reference day, interpolated, forecast (read, as quoted)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """What the readings of a feed are: unit, power of ten, fuel; ``received`` is energy sent back."""

    unit: str
    scale: float
    fuel: str
    received: bool


def read_interval_xml(path: str | Path) -> BillSet:
    """Bills by calendar month, and the readings behind them, from an Atom feed of interval blocks.

    Parameters
    ----------
    path : str or Path
        File of bounded size; document types and entities are refused.

    Raises
    ------
    BillError
        Naming file, value, rule and way out.

    References
    ----------
    NAESB REQ.21; code lists as quoted by open implementations (read), the standard itself not at hand.
    """
    path = Path(path)
    root = read_guarded_xml(path)
    kind = _kind(root, path.name)
    notes = [f"{path.name}: it holds energy sent to the grid, below zero."] if kind.received else []
    readings = _readings(root, kind, path.name)
    return bills_of_readings(path.name, kind.fuel, readings, notes)


def _tag(element: ET.Element) -> str:
    """Name of an element without its name space; both Atom and the standard may be prefixed."""
    return str(element.tag).rpartition("}")[2]


def _find(root: ET.Element, name: str) -> Iterator[ET.Element]:
    return (element for element in root.iter() if _tag(element) == name)


def _texts(element: ET.Element) -> Mapping[str, str]:
    return {_tag(child): (child.text or "").strip() for child in element}


def _kind(root: ET.Element, name: str) -> _Kind:
    types = [_texts(element) for element in _find(root, "ReadingType")]
    if not types:
        raise BillError(
            f"{name}: no ReadingType says what the readings are. Export it again with readings."
        )
    if (
        len({(t.get("uom"), t.get("powerOfTenMultiplier"), t.get("flowDirection")) for t in types})
        > 1
    ):
        raise BillError(
            f"{name}: it holds several kinds of readings. Export each meter and direction to its own file."
        )
    code = types[0].get("uom", "72")
    if code not in _UNITS:
        raise BillError(
            f"{name}: the unit code (uom) is {code}; must be one of {', '.join(_UNITS)}. "
            f"Export energy or volume, not power or money."
        )
    power = _number(types[0].get("powerOfTenMultiplier") or "0", "powerOfTenMultiplier", name)
    if not -9 <= power <= 9:
        raise BillError(
            f"{name}: powerOfTenMultiplier is {power:g}; must be -9 to 9. Export it again."
        )
    return _Kind(
        unit=_UNITS[code],
        scale=10.0**power,
        fuel=_fuel(root, types[0], _UNITS[code]),
        received=types[0].get("flowDirection") == "19",
    )


def _fuel(root: ET.Element, kind: Mapping[str, str], unit: str) -> str:
    service = next((_texts(e).get("kind", "") for e in _find(root, "ServiceCategory")), "")
    said = _COMMODITIES.get(kind.get("commodity", "")) or _SERVICES.get(service)
    return said or ("electricity" if unit == "wh" else "natural_gas")


def _readings(root: ET.Element, kind: _Kind, name: str) -> Readings:
    rows = [_reading(element, name) for element in _find(root, "IntervalReading")]
    if not rows:
        raise BillError(f"{name}: there are no interval readings in it. Export the readings.")
    start, seconds, value, estimated, cost = np.array(rows).T
    _check_times(start, seconds, name)
    factor = kind.scale * to_fuel_unit(1.0, kind.unit, kind.fuel) * (-1.0 if kind.received else 1.0)
    return Readings(
        start=start + _clock_offset(root),
        seconds=seconds,
        quantity=value * factor,
        estimated=estimated,
        cost=cost / 1e5,
    )


def _check_times(start: FloatArray, seconds: FloatArray, name: str) -> None:
    if not ((start >= EARLIEST) & (start < LATEST)).all():
        raise BillError(f"{name}: a start is outside 1970 to 2100. Export the file again.")
    wrong = ~((seconds > 0) & (seconds <= MOST_SECONDS))
    if wrong.any():
        raise BillError(
            f"{name}: a duration is {seconds[wrong][0]:g} s; must be above 0 and at most 100 days. "
            f"Export the file again."
        )


def _reading(element: ET.Element, name: str) -> tuple[float, float, float, float, float]:
    texts = _texts(element)
    period = next((_texts(child) for child in element if _tag(child) == "timePeriod"), {})
    qualities = {
        _texts(child).get("quality", "") for child in element if _tag(child) == "ReadingQuality"
    }
    return (
        _number(period.get("start", ""), "start", name),
        _number(period.get("duration", ""), "duration", name),
        _number(texts.get("value", ""), "value", name),
        float(bool(qualities & _ESTIMATED)),
        _number(texts.get("cost") or "nan", "cost", name, finite=False),
    )


def _number(text: str, what: str, name: str, *, finite: bool = True) -> float:
    try:
        value = float(text)
    except ValueError:
        raise BillError(
            f"{name}: {what} is '{text}'; must be a number. Export the file again."
        ) from None
    if finite and not np.isfinite(value):
        raise BillError(f"{name}: {what} is '{text}'; must be finite. Export the file again.")
    return value


def _clock_offset(root: ET.Element) -> float:
    """Seconds that local clock time is ahead of universal time; summer time is left out."""
    parameters = next((_texts(element) for element in _find(root, "LocalTimeParameters")), {})
    try:
        return float(parameters.get("tzOffset", "0"))
    except ValueError:
        return 0.0
