"""The page in Spanish and SI says no word of English and no US unit, in any state: start, picks, every question."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from examples import example

from retrofit_lab.app.page.kitchen_table import KitchenTable
from retrofit_lab.app.page.panels import PANELS
from retrofit_lab.base.shipped_files import data_path

HOUSE = "heron_bay"
PICKED = ("attic_insulation", "duct_mastic", "tank_setpoint", "led_lamps", "night_setback")
SEARCHED = {"budget", "payment", "more"}
"""Questions that take seconds, in words that others say too."""
ENGLISH = re.compile(
    r"\b(the|and|with|your|from|is|are|not|of|for|house|heat|attic|walls?|floor|saves?|costs?|years?|free|step|added)\b",
    re.IGNORECASE,
)
US_UNITS = re.compile(
    r"°F|\bft[²2]?\b|\bsq ft\b|\bgal\b|\bcfm\b|\bBtu\b|\bR-\d|\btherms?\b|\blb\b|\d in\.|\bpulgadas?\b|\bgalones\b|\bpies\b"
)
QUOTED = re.compile(r"(?:[\d/ ,.]+[^\d(]{1,22}|R-\d+) \((?:[\d.,]+|RSI-[\d.]+)[^)]*\)")
"""What a rule of a standard says in its own units stands with SI beside it."""
SOURCES = "panels.numbers.table.rows"
"""Where a number comes from stands for the rater in the words of its source."""
TYPED = re.findall(
    r'(?:label|note|name) = "([^"]+)"', data_path("houses", f"{HOUSE}.toml").read_text()
)
"""What a person typed for this house stays as it was typed."""
NAMES = {"name", "source", "languages", "systems", "language", "units", "figure", "attributes", "ticked", "keys", "key", "tick"}  # fmt: skip
KEY = re.compile(r"^[\w.\[\]=<>,-]*$")


def texts(value: Any, at: str = "") -> Iterator[tuple[str, str]]:
    """Every text that a person reads, with its place."""
    if isinstance(value, dict):
        for key, one in value.items():
            if key not in NAMES:
                yield from texts(one, f"{at}.{key}")
    elif isinstance(value, list | tuple):
        for one in value:
            yield from texts(one, at)
    elif isinstance(value, str) and not KEY.match(value):
        yield at, value


@pytest.fixture(scope="module")
def said() -> list[tuple[str, str]]:
    """All that the page says, of a plan with something of each phase."""
    page = KitchenTable(example(HOUSE), "es")
    page.units = "si"
    page.ticked = list(PICKED)
    for panel in PANELS:
        if panel.key not in SEARCHED:
            page._handle_custom_msg({"kind": "ask", "panel": panel.key, "values": {}}, [])
    return [
        one
        for name in (
            "page",
            "now",
            "drawing",
            "plan",
            "starts",
            "panels",
            "sure",
            "choices",
            "said",
        )
        for one in texts(getattr(page, name), name)
    ]


def ours(text: str) -> str:
    """A text without its blanks and without what a person typed."""
    typed = re.compile(
        "|".join(map(re.escape, sorted(TYPED, key=len, reverse=True))), re.IGNORECASE
    )
    return typed.sub("", re.sub(r"\{\w+\}", "", text))


def test_no_word_of_english(said: list[tuple[str, str]]) -> None:
    assert len(said) > 400
    assert {place.split(".")[0] for place, _ in said} >= {"page", "now", "plan", "panels", "sure"}
    found = {one for one in said if ENGLISH.search(ours(one[1])) and one[0] != SOURCES}
    assert not found, "\n".join(map(str, sorted(found)[:40]))


def test_no_us_unit(said: list[tuple[str, str]]) -> None:
    found = {one for one in said if US_UNITS.search(QUOTED.sub("", one[1]))}
    assert not found, "\n".join(map(str, sorted(found)[:60]))


def test_the_sweep_sees_what_is_wrong() -> None:
    assert ENGLISH.search("Saves $310 a year")
    assert US_UNITS.search(QUOTED.sub("", "a 120 °F (49 °C) y 6 pies"))
    assert not US_UNITS.search(QUOTED.sub("", "a 120 °F (49 °C) y R-8 (RSI-1.4)"))
