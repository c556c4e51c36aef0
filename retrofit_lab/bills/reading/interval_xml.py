"""Reads meter intervals in the open format of NAESB REQ.21 (Energy Services Provider Interface) in an Atom feed."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from xml.etree import ElementTree as ET

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.reading.columns import NET, SENT, USED
from retrofit_lab.bills.reading.fuels import to_fuel_unit
from retrofit_lab.bills.reading.guarded_xml import parsed_xml
from retrofit_lab.bills.reading.interval_months import (
    DAY_SECONDS,
    LONG_SECONDS,
    Readings,
    once_only,
    own_dates,
)
from retrofit_lab.bills.reading.record import BillError
from retrofit_lab.bills.reading.series import Series
from retrofit_lab.texts.refusals import told as refusal

EARLIEST, LATEST = 0.0, 4_102_444_800.0  # 1970 to 2100, in seconds
MOST_SECONDS = 100.0 * DAY_SECONDS

FARTHEST_CLOCK = 14.0 * 3600.0
"""Farthest that a local clock is from universal time. [s]"""
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


_DIRECTIONS = {"19": SENT, "4": NET}
"""Codes of ``flowDirection``: 1 is energy taken, 19 energy sent back, 4 the first less the second (read, as quoted)."""
_POWER = {"38", "63", "61"}
"""Codes of ``uom`` for power, which says nothing of energy: W, var, VA."""
_COUNTS_ON = {"1", "3", "9"}
"""Codes of ``accumulationBehaviour`` for a counter that goes on: bulk quantity, cumulative, summation (memory)."""
_POINT = re.compile(r"/UsagePoint/([^/]+)", re.IGNORECASE)
_METER = re.compile(r"/MeterReading/([^/]+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """What some readings are: unit, power of ten, fuel, direction, and whether they count on."""

    unit: str
    scale: float
    fuel: str
    direction: str
    counts_on: bool


@dataclass(slots=True)
class _Feed:
    """Entries of a feed by what links them: kinds by address, kind of each meter reading, fuel of each point."""

    kinds: dict[str, Mapping[str, str]]
    kind_of: dict[str, str]
    service: dict[str, str]


def read_interval_xml(content: bytes, name: str) -> list[Series]:
    """Readings of every meter and direction of an Atom feed of interval blocks.

    Parameters
    ----------
    content : bytes
        Text of bounded size; document types and entities are refused.
    name : str
        What messages call the file.

    Raises
    ------
    BillError
        Naming file, value, rule and way out.

    References
    ----------
    NAESB REQ.21; code lists as quoted by open implementations (read), the standard itself not at hand.
    """
    root = parsed_xml(content, name)
    feed = _feed(root)
    if not feed.kinds:
        raise BillError(refusal("bill_file.no_reading_type", name=name))
    groups: dict[tuple[str, str], list[ET.Element]] = {}
    for key, block in _blocks(root, feed, name):
        groups.setdefault(key, []).append(block)
    if not any(True for _ in _find(root, "IntervalReading")):
        raise BillError(refusal("bill_file.no_intervals", name=name))
    offset = _clock_offset(root)
    made = [_series(feed, key, blocks, name, offset) for key, blocks in groups.items()]
    kept = [one for one in made if one is not None]
    if not kept:
        raise BillError(_only_power(feed, name))
    return _finest(kept)


def _only_power(feed: _Feed, name: str) -> str:
    code = next(iter(feed.kinds.values())).get("uom", "")
    return refusal("bill_file.unit_code", name=name, code=code, allowed=[*_UNITS])


def _feed(root: ET.Element) -> _Feed:
    feed = _Feed(kinds={}, kind_of={}, service={})
    for number, (links, content) in enumerate(_entries(root)):
        own = links.get("self", [f"#{number}"])[0]
        if _tag(content) == "ReadingType":
            feed.kinds[own] = _texts(content)
        elif _tag(content) == "MeterReading":
            kinds = [link for link in links.get("related", []) if "ReadingType" in link]
            feed.kind_of[own] = kinds[0] if kinds else ""
        elif _tag(content) == "UsagePoint":
            service = next(
                (_texts(e).get("kind", "") for e in _find(content, "ServiceCategory")), ""
            )
            feed.service[_first(_POINT, own)] = service
    return feed


def _entries(root: ET.Element) -> Iterator[tuple[dict[str, list[str]], ET.Element]]:
    """Links by relation, and the element inside, of every entry; a file without entries is one for each element."""
    entries = list(_find(root, "entry"))
    for entry in entries:
        links: dict[str, list[str]] = {}
        for link in _find(entry, "link"):
            links.setdefault(link.get("rel", ""), []).append(link.get("href", ""))
        for holder in (e for e in entry if _tag(e) == "content"):
            for content in holder:
                yield links, content
    if not entries:
        for name in ("ReadingType", "UsagePoint", "IntervalBlock"):
            for element in _find(root, name):
                yield {}, element


def _blocks(
    root: ET.Element, feed: _Feed, name: str
) -> Iterator[tuple[tuple[str, str], ET.Element]]:
    """Every block of readings with its meter reading and the address of its kind."""
    for links, content in _entries(root):
        if _tag(content) != "IntervalBlock":
            continue
        where = [link for links_ in links.values() for link in links_ if _METER.search(link)]
        meter = _METER.search(where[0]) if where else None
        own = where[0][: meter.end()] if where and meter else ""
        kind = feed.kind_of.get(own, "")
        if kind not in feed.kinds:
            kind = _only_kind(feed, name)
        yield (own, kind), content


def _only_kind(feed: _Feed, name: str) -> str:
    """The kind of readings that no link leads to: clear where there is but one.

    Raises
    ------
    BillError
        When there are several different ones.
    """
    different = {tuple(sorted(kind.items())) for kind in feed.kinds.values()}
    if len(different) > 1:
        raise BillError(refusal("bill_file.kinds", name=name))
    return next(iter(feed.kinds))


def _first(pattern: re.Pattern[str], text: str) -> str:
    match = pattern.search(text)
    return match[1] if match else ""


def _finest(made: Sequence[Series]) -> list[Series]:
    """One series for each meter and direction: where hours and days of the same time are told, the hours."""
    chosen: dict[tuple[str, str, str], Series] = {}
    for one in made:
        key = (one.fuel, one.direction, one.meter)
        other = chosen.get(key)
        if other is None or _step(one) < _step(other):
            chosen[key] = one
    return list(chosen.values())


def _step(one: Series) -> float:
    if one.readings is None:
        return 30.0 * DAY_SECONDS
    return float(np.median(one.readings.seconds))


def _tag(element: ET.Element) -> str:
    """Name of an element without its name space; both Atom and the standard may be prefixed."""
    return str(element.tag).rpartition("}")[2]


def _find(root: ET.Element, name: str) -> Iterator[ET.Element]:
    return (element for element in root.iter() if _tag(element) == name)


def _texts(element: ET.Element) -> Mapping[str, str]:
    return {_tag(child): (child.text or "").strip() for child in element}


def _kind(feed: _Feed, key: tuple[str, str], name: str) -> _Kind | None:
    """What the readings of a meter are; none where they are of power, not of energy."""
    own, address = key
    told = feed.kinds[address]
    code = told.get("uom", "72")
    if code in _POWER:
        return None
    if code not in _UNITS:
        raise BillError(refusal("bill_file.unit_code", name=name, code=code, allowed=[*_UNITS]))
    power = _number(told.get("powerOfTenMultiplier") or "0", "powerOfTenMultiplier", name)
    if not -9 <= power <= 9:
        raise BillError(refusal("bill_file.power", name=name, power=f"{power:g}"))
    return _Kind(
        unit=_UNITS[code],
        scale=10.0**power,
        fuel=_fuel(feed, _first(_POINT, own), told, _UNITS[code]),
        direction=_DIRECTIONS.get(told.get("flowDirection", ""), USED),
        counts_on=told.get("accumulationBehaviour", "") in _COUNTS_ON,
    )


def _fuel(feed: _Feed, point: str, kind: Mapping[str, str], unit: str) -> str:
    service = feed.service.get(point) or next(iter(feed.service.values()), "")
    said = _COMMODITIES.get(kind.get("commodity", "")) or _SERVICES.get(service)
    return said or ("electricity" if unit == "wh" else "natural_gas")


def _series(
    feed: _Feed, key: tuple[str, str], blocks: Sequence[ET.Element], name: str, offset: float
) -> Series | None:
    kind = _kind(feed, key, name)
    rows = [_reading(e, name) for block in blocks for e in _find(block, "IntervalReading")]
    if kind is None or not rows:
        return None
    start, seconds, value, estimated, cost = np.array(rows).T
    _check_times(start, seconds, name)
    factor = kind.scale * to_fuel_unit(1.0, kind.unit, kind.fuel)
    readings = once_only(
        Readings(
            start=start + offset,
            seconds=seconds,
            quantity=value * factor,
            estimated=estimated,
            cost=cost / 1e5,
        )
    )
    readings = _between_counts(readings) if kind.counts_on else readings
    point, meter = _first(_POINT, key[0]), _first(_METER, key[0])
    made = Series(fuel=kind.fuel, direction=kind.direction, meter=f"meter {point or meter}".strip())
    if np.median(readings.seconds) >= LONG_SECONDS:
        return replace(made, drafts=tuple(own_dates(kind.fuel, readings)))
    return replace(made, readings=readings)


def _between_counts(readings: Readings) -> Readings:
    """Use between the readings of a counter, each at the start of its interval."""
    return Readings(
        start=readings.start[:-1],
        seconds=np.diff(readings.start),
        quantity=np.maximum(np.diff(readings.quantity), 0.0),
        estimated=readings.estimated[1:],
        cost=readings.cost[1:],
    )


def _check_times(start: FloatArray, seconds: FloatArray, name: str) -> None:
    if not ((start >= EARLIEST) & (start < LATEST)).all():
        raise BillError(refusal("bill_file.start", name=name))
    wrong = ~((seconds > 0) & (seconds <= MOST_SECONDS))
    if wrong.any():
        raise BillError(refusal("bill_file.duration", name=name, seconds=f"{seconds[wrong][0]:g}"))


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
        raise BillError(refusal("bill_file.number", name=name, what=what, text=text)) from None
    if finite and not np.isfinite(value):
        raise BillError(refusal("bill_file.finite", name=name, what=what, text=text))
    return value


def _clock_offset(root: ET.Element) -> float:
    """Seconds that local clock time is ahead of universal time; summer time is left out.

    What no place on earth has counts as not said.
    """
    parameters = next((_texts(element) for element in _find(root, "LocalTimeParameters")), {})
    try:
        ahead = float(parameters.get("tzOffset", "0"))
    except ValueError:
        return 0.0
    return ahead if abs(ahead) <= FARTHEST_CLOCK else 0.0
