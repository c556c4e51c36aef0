"""The drawing of the house on the walk: what of each part is known, and where to go on with it; no widget."""

from collections.abc import Iterator
from typing import Any

from retrofit_lab.app.shared.section_drawing import drawn_parts, section_drawing
from retrofit_lab.app.walk.route import asked, stops
from retrofit_lab.app.walk.wording import WalkWords
from retrofit_lab.house.description import House
from retrofit_lab.house.parts import PARTS, parts_of_path
from retrofit_lab.house.section import section_of

Content = dict[str, Any]
MARKS = {
    "none": "\N{WHITE CIRCLE}",
    "some": "\N{CIRCLE WITH LEFT HALF BLACK}",
    "all": "\N{BLACK CIRCLE}",
}
"""How much of a part is known, as a shape, so that it is never told by color alone."""


def drawn_content(house: House | None, told: WalkWords) -> Content:
    """The house in section, and for each part how much is answered and the next open question."""
    if house is None:
        return {}
    section = section_of(house)
    known = {part: _known(house, part) for part in drawn_parts(section, PARTS)}
    shown = {part: rows for part, rows in known.items() if rows}
    titles = {part: told.say(f"drawn.{part}") for part in shown}
    return {
        "svg": section_drawing(section, titles),
        "parts": {part: _part(house, rows, titles[part], told) for part, rows in shown.items()},
        "title": told.say("drawn.title"),
    }


def _known(house: House, part: str) -> list[tuple[str, str]]:
    """Numbers of a part that are asked, each with its stop, in the order of the walk."""
    return [(stop, path) for stop, path in _asked(house) if part in parts_of_path(house, path)]


def _asked(house: House) -> Iterator[tuple[str, str]]:
    for stop in stops():
        for path in asked(house, stop):
            yield stop.key, path


def _part(house: House, rows: list[tuple[str, str]], title: str, told: WalkWords) -> Content:
    left = [row for row in rows if row[1] in house.assumed]
    given, count = len(rows) - len(left), len(rows)
    known = "all" if not left else "some" if given else "none"
    stop, path = (left or rows)[0]
    return {
        "known": known,
        "mark": MARKS[known],
        "name": title,
        "numbers": told.say("drawn.of", given=given, count=count),
        "stop": stop,
        "path": path,
    }
