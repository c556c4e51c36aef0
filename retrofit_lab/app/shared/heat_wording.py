"""What the drawing of the house says in words, by part: names, shares of the heat, and the table beside it."""

from collections.abc import Mapping
from dataclasses import dataclass

from retrofit_lab.app.shared.shown_units import heat
from retrofit_lab.base.values import Value
from retrofit_lab.house.parts import LOSING
from retrofit_lab.house.section import Section
from retrofit_lab.model.losses import SeasonLosses

SHORT_NAMES = {
    "attic": "Attic",
    "air": "Air",
    "knee_walls": "Knee walls",
    "walls": "Walls",
    "windows": "Windows",
    "doors": "Doors",
    "floor": "Floor",
    "garage": "Garage",
    "ducts": "Ducts",
    "heating": "Heating",
    "hot_water": "Hot water",
    "plugs": "Plugs",
}
"""Names in the drawing, in the order of the keyboard."""
_LONG_NAMES = {
    "attic": "ceiling and attic",
    "air": "air that leaks",
    "knee_walls": "knee walls",
    "walls": "walls",
    "windows": "windows",
    "doors": "outside doors",
    "garage": "side to the garage",
    "ducts": "ducts",
    "heating": "heating and thermostat",
    "hot_water": "hot water",
    "plugs": "lamps and plugs",
}
_FLOOR_NAMES = {
    "basement": "floor over the basement",
    "heated basement": "basement walls and floor",
    "crawlspace": "floor over the crawl space",
    "slab": "slab",
}
TABLE_COLUMNS = [
    "Heat leaves by", "Now, of 100", "With what is ticked", "Now, in a winter", "Then, in a winter",
]  # fmt: skip
LEGEND = (("as it is", "before"), ("with what is ticked", "after"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """Heat of a winter as the house is, and with what is ticked."""

    now: SeasonLosses
    then: SeasonLosses

    def shares(self) -> tuple[Mapping[str, float], Mapping[str, float]]:
        """Both by part, of 100 that leave now."""
        whole = self.now.total
        return _plain(self.now.of_hundred(whole)), _plain(self.then.of_hundred(whole))


def _plain(values: Mapping[str, Value]) -> Mapping[str, float]:
    return {part: float(value) for part, value in values.items()}


def long_name(part: str, section: Section) -> str:
    """Name of a part inside a sentence."""
    return _FLOOR_NAMES.get(section.below, "floor") if part == "floor" else _LONG_NAMES[part]


def of_hundred(share: float) -> str:
    """A share as people say it, in whole parts of a hundred."""
    if share < 0.05:
        return "0"
    return f"{share:.0f}" if share >= 0.5 else "under 1"


def numbers_text(now: float, then: float | None) -> str:
    """Short text below a part's name."""
    return (
        of_hundred(now)
        if then is None
        else f"{of_hundred(now)} \N{RIGHTWARDS ARROW} {of_hundred(then)}"
    )


def heat_sentence(heat_of: Heat, section: Section, *, ticked: bool) -> str:
    """What the drawing shows, in words."""
    now, then = heat_of.shares()
    first, second, third = sorted(now, key=lambda part: -now[part])[:3]
    sentence = (
        f"Of every 100 parts of heat that leave in winter, {of_hundred(now[first])} go by the "
        f"{long_name(first, section)}, {of_hundred(now[second])} by the "
        f"{long_name(second, section)} and {of_hundred(now[third])} by the "
        f"{long_name(third, section)}."
    )
    if not ticked:
        return sentence
    return f"{sentence} With what is ticked {sum(then.values()):.0f} leave."


def part_label(name: str, shares: tuple[float, float | None] | None, on: int, of: int) -> str:
    """Name of a part for those who hear the page: its share, and what can be ticked for it."""
    heat_said = ""
    if shares is not None:
        now, then = shares
        after = "" if then is None else f", {of_hundred(then)} with what is ticked"
        heat_said = f" {of_hundred(now)} of 100 parts of the heat leave here{after}."
    lines = f" Ticked: {on} of {of} lines; show them." if of else " Nothing to tick here."
    return f"{name[:1].upper()}{name[1:]}:{heat_said}{lines}"


def shown_text(name: str, on: int, of: int) -> str:
    """What stands over the lines when a part was chosen."""
    if not of:
        return f"No line belongs to the {name}."
    return f"Lines that belong to the {name}: {of}; ticked: {on}."


def heat_table(heat_of: Heat, section: Section, units: str) -> list[list[str]]:
    """The drawing as rows of text."""
    now, then = heat_of.shares()
    rows = [
        [
            long_name(part, section),
            of_hundred(now[part]),
            of_hundred(then[part]),
            heat(heat_of.now.by_part[part], units),
            heat(heat_of.then.by_part[part], units),
        ]
        for part in LOSING
        if abs(now[part]) >= 0.05 or abs(then[part]) >= 0.05
    ]
    both = heat_of.now.total, heat_of.then.total
    total = ["all together", "100", of_hundred(sum(then.values())), *(heat(b, units) for b in both)]
    return [*rows, total, _hot_water_row(heat_of, units)]


def _hot_water_row(heat_of: Heat, units: str) -> list[str]:
    amounts = heat_of.now.hot_water, heat_of.then.hot_water
    return ["beside it: hot-water tank and pipes", "", "", *(heat(a, units) for a in amounts)]
