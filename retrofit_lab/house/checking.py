"""Refuses what cannot be and warns of what is unlikely in a house; the rules for single numbers are data.

The legal and typical ranges stand in ``data/parameters.csv``; here they are applied, with the rules
that need more than one number. What only does not fit together is in cross_checks.py.
"""

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any

from retrofit_lab.base.parameters import Parameter
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.units import R_UNIT, amount, spelled
from retrofit_lab.base.values import InputError
from retrofit_lab.house.cross_checks import air_changes_at_50, crossed
from retrofit_lab.house.description import INSIDE, OUTDOORS, House, Surface
from retrofit_lab.house.intake import Job
from retrofit_lab.house.limits import Beyond, beyond_limits
from retrofit_lab.house.oddity import Oddity
from retrofit_lab.house.paths import numbers, parameter_at
from retrofit_lab.house.readings import leakage_fit
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import Sentence, lines, told

MOST_AIR_CHANGES = 40.0
WALL_KINDS = ("wall", "kneewall", "rim", "basement_wall")
_KEY = re.compile(r"[a-z0-9_]{1,80}")
R_LIKE_U = 0.3
"""An R-value above zero but below this was most likely typed as a U-value. [h ft2 F/Btu]"""


class HouseError(InputError):
    """A house description that cannot be used."""


def check_house(house: House) -> tuple[Oddity, ...]:
    """Refuse an impossible house; name what is unlikely.

    Raises
    ------
    HouseError
        With every problem found, one sentence a line.
    """
    problems = [*_number_problems(house), *_word_problems(house), *_whole_problems(house)]
    if problems:
        raise HouseError(lines(problems))
    return (*_unlikely_numbers(house), *_unlikely_whole(house))


def number_problem(path: str, value: float, rule: Parameter) -> Sentence | None:
    """Sentence on a number outside its legal range, with its path where one is given, or None."""
    here = "" if path else "_here"
    if rule.unit == R_UNIT and 0 < value < R_LIKE_U:
        other = f"{1 / value:.3g}"
        return told(f"number.like_u{here}", path=path, value=f"{value:g}", other=other)
    if rule.legal_low <= value <= rule.legal_high:
        return None
    low, high = f"{rule.legal_low:g}", f"{rule.legal_high:g}"
    return told(
        f"number.range{here}",
        path=path,
        value=amount(value, rule.unit),
        low=low,
        high=high,
        **_of(rule),
    )


def _of(rule: Parameter) -> dict[str, Word]:
    """What a number is, and how it is measured."""
    return {
        "label": Word("parameter", rule.name, rule.label),
        "way": Word("hint", rule.name, rule.way_out),
    }


def _number_problems(house: House) -> Iterator[str]:
    for path, value in numbers(house):
        problem = number_problem(path, float(value), parameter_at(house, path))
        if problem:
            yield problem


def _word_problems(record: Any, prefix: str = "") -> Iterator[str]:
    for name, allowed in record.choices.items():
        chosen = getattr(record, name)
        if chosen not in allowed:
            yield told("check.word", path=f"{prefix}{name}", word=chosen, allowed=allowed)
    for name in (f.name for f in fields(record)):
        value = getattr(record, name)
        items = value if isinstance(value, tuple) else (value,)
        for item in items:
            if is_dataclass(item):
                key = f"{getattr(item, 'key', '')}." if isinstance(value, tuple) else ""
                yield from _word_problems(item, f"{prefix}{name}.{key}")


def _whole_problems(house: House) -> Iterator[str]:
    yield from _repeated_keys(house)
    yield from _unknown_places(house)
    yield from _shares(house)
    yield from _unknown_words(house)
    yield from _readings(house)
    yield from _more_glass_than_wall(house)
    yield from _recommendations(house)
    yield from _job(house.job)
    yield from _measured(house)
    yield from _leakage(house)


def _leakage(house: House) -> Iterator[str]:
    """A reading that no house has; nothing where its own numbers cannot be, which is said of them already."""
    if min(house.leakage.pressure, house.leakage.flow, house.size.volume) <= 0:
        return
    changes = air_changes_at_50(house)
    if changes > MOST_AIR_CHANGES:
        flow, most = f"{house.leakage.flow:g}", f"{MOST_AIR_CHANGES:.0f}"
        yield told("check.leakage", flow=flow, changes=f"{changes:.0f}", most=most)


def _repeated_keys(record: Any, prefix: str = "") -> Iterator[str]:
    for name in (f.name for f in fields(record)):
        value = getattr(record, name)
        if isinstance(value, tuple) and value and is_dataclass(value[0]):
            keys = [item.key for item in value]
            for key in sorted({key for key in keys if keys.count(key) > 1}):
                yield told("check.twice", path=f"{prefix}{name}", key=key)
            for item in value:
                yield from _repeated_keys(item, f"{prefix}{name}.{item.key}.")
        elif is_dataclass(value):
            yield from _repeated_keys(value, f"{prefix}{name}.")


def _unknown_places(house: House) -> Iterator[str]:
    buffers = {buffer.key for buffer in house.buffers}
    known = buffers | {INSIDE}
    for path, place, allowed in _named_places(house, known):
        if place not in allowed:
            yield told("check.place", path=path, place=place, allowed=sorted(allowed))
    for surface in house.surfaces:
        path = f"surfaces.{surface.key}"
        if surface.inside == surface.outside:
            yield told("check.both_sides", path=path, place=surface.inside)
        elif surface.outside == INSIDE:
            yield told("check.wrong_way", path=path, inside=surface.inside, outside=INSIDE)
        if {surface.inside, surface.outside} <= buffers:
            yield told("check.two_buffers", path=path)


def _named_places(house: House, known: set[str]) -> Iterator[tuple[str, str, set[str]]]:
    beyond = known | {OUTDOORS}
    for surface in house.surfaces:
        yield f"surfaces.{surface.key}.inside", surface.inside, known
        yield f"surfaces.{surface.key}.outside", surface.outside, beyond
    for window in house.windows:
        yield f"windows.{window.key}.inside", window.inside, known
    for part in house.underground:
        yield f"underground.{part.key}.inside", part.inside, known
    for site in house.leakage.sites:
        yield f"leakage.sites.{site.key}.place", site.place, known
    for tank in house.water_heaters:
        yield f"water_heaters.{tank.key}.place", tank.place, known
    yield "hot_water.pipe_place", house.hot_water.pipe_place, known
    yield "ducts.supply_place", house.ducts.supply_place, known
    yield "ducts.return_place", house.ducts.return_place, known


def _more_glass_than_wall(house: House) -> Iterator[str]:
    """Windows that would not fit into the walls of their place."""
    for place in {window.inside for window in house.windows}:
        glass = sum(float(w.area) for w in house.windows if w.inside == place)
        wall = sum(float(s.area) for s in house.surfaces if s.inside == place and _upright(s))
        if glass > wall:
            yield told("check.glass", place=place, glass=f"{glass:.0f}", wall=f"{wall:.0f}")


def _upright(surface: Surface) -> bool:
    return surface.kind in WALL_KINDS and surface.outside == OUTDOORS


def _shares(house: House) -> Iterator[str]:
    groups = {
        "zones": [zone.share for zone in house.zones],
        "heaters": [h.share for h in house.fuel_heaters] + [p.share for p in house.heat_pumps],
        "water_heaters": [tank.share for tank in house.water_heaters],
    }
    for name, shares in groups.items():
        total = float(sum(shares))
        if abs(total - 1.0) > 0.005:
            yield told("check.shares", path=name, total=f"{total:g}")
    cooled = float(sum(unit.share for unit in house.air_conditioners))
    if cooled > 1.005:
        yield told("check.shares_cooled", total=f"{cooled:g}")


def _unknown_words(house: House) -> Iterator[str]:
    kinds = {row["key"] for row in read_rows("leak_sites.csv")}
    for site in house.leakage.sites:
        if site.kind not in kinds:
            path = f"leakage.sites.{site.key}.kind"
            yield told("check.word", path=path, word=site.kind, allowed=sorted(kinds))


def _recommendations(house: House) -> Iterator[str]:
    """Recommendations of the rater that say nothing, or whose costs do not rise."""
    for own in house.recommendations:
        path = f"recommendations.{own.key}"
        if not own.label.strip():
            yield told("check.own_empty", path=path)
        low, likely, high = map(float, (own.cost_low, own.cost_likely, own.cost_high))
        if not low <= likely <= high:
            costs = {"low": f"{low:g}", "likely": f"{likely:g}", "high": f"{high:g}"}
            yield told("check.own_costs", path=path, **costs)


def _job(job: Job) -> Iterator[str]:
    """What cannot be in a job: a date that is none, a room without a name, a key of no measure's form."""
    if job.date and not _is_date(job.date):
        yield told("check.date", date=job.date)
    for key in job.plan:
        if not _KEY.fullmatch(key):
            yield told("check.plan_key", word=key)
    for complaint in job.complaints:
        if not complaint.label.strip():
            yield told("check.complaint", path=f"job.complaints.{complaint.key}")


def _measured(house: House) -> Iterator[str]:
    """Readings that cannot be together: more outside than in all, a range upside down, a layer on no ceiling."""
    ducts, air = house.measured.ducts, house.measured.air_handler
    if ducts.total is not None and ducts.outside is not None and ducts.outside > ducts.total:
        outside, total = f"{ducts.outside:g}", f"{ducts.total:g}"
        yield told("check.ducts_outside", outside=outside, total=total)
    if air.rise_low is not None and air.rise_high is not None and air.rise_low > air.rise_high:
        yield told("check.rise", low=f"{air.rise_low:g}", high=f"{air.rise_high:g}")
    ceilings = [surface.key for surface in house.surfaces if surface.kind == "ceiling"]
    for layer in house.measured.fills:
        if layer.of and layer.of not in ceilings:
            path, allowed = f"measured.fills.{layer.key}", ceilings or ["none"]
            yield told("check.no_ceiling", path=path, place=layer.of, allowed=allowed)


def _is_date(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _readings(house: House) -> Iterator[str]:
    try:
        leakage_fit(house)
    except InputError as error:
        yield told("check.readings", why=error)


def _unlikely_numbers(house: House) -> Iterator[Oddity]:
    for path, value in numbers(house):
        rule = parameter_at(house, path)
        if not rule.typical_low <= float(value) <= rule.typical_high:
            yield Oddity(
                path,
                "unusual_number",
                {
                    "label": Word("parameter", rule.name, rule.label),
                    "value": amount(float(value), rule.unit),
                    "low": f"{rule.typical_low:g}",
                    "high": f"{rule.typical_high:g}",
                    "hint": Word("hint", rule.name, rule.way_out),
                },
            )


def _unlikely_whole(house: House) -> Iterator[Oddity]:
    yield from crossed(house)
    for surface in house.surfaces:
        yield from _too_much_fill(surface)
    for found in beyond_limits(house):
        yield _beyond_limit(found)


def _beyond_limit(found: Beyond) -> Oddity:
    unit, limit = spelled(found.limit.unit), found.limit
    values = {
        "value": f"{found.value:g}",
        "unit": Word("word", unit, unit),
        "label": Word("part", found.label, found.label),
        "allowed": f"{found.allowed:g}",
        "source": Word("word", limit.source, limit.source),
        "edition": Word("word", limit.edition, limit.edition),
    }
    return Oddity(found.path, "beyond_limit", values)


def _too_much_fill(surface: Any) -> Iterator[Oddity]:
    most_per_inch = 7.0
    depth = float(surface.cavity_depth)
    if depth > 0 and float(surface.r_label) > most_per_inch * depth:
        yield Oddity(
            f"surfaces.{surface.key}.r_label",
            "too_much_fill",
            {"r": f"{surface.r_label:g}", "depth": f"{depth:g}"},
        )


__all__ = ["HouseError", "Oddity", "check_house", "number_problem"]
