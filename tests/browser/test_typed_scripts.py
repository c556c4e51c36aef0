"""Scripts in every text of a house file and a price file: the page shows them as text, and none runs."""

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from playwright.sync_api import Page
from served_page import Server, open_page, tick

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.file import load_house

pytestmark = pytest.mark.browser
PRICES = """format = "retrofit-lab prices"
version = 1
source = '''{attack}'''
[prices.attic_insulation]
likely = 2.0
source = '''{attack}'''
[[rebates]]
name = '''{attack}'''
amount = 100
"""


def attack(number: int) -> str:
    return f"<img src=x onerror=struck={number}><script>struck={number}</script>"


def texts(part: Any, field: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Every text of a table: its field, the thing that holds it, and its place there."""
    for place, value in list(part.items() if isinstance(part, dict) else enumerate(part)):
        inner = f"{field}.{place}" if isinstance(part, dict) else field
        if isinstance(value, str):
            yield inner, part, place
        elif isinstance(value, dict | list):
            yield from texts(value, inner)


def load(table: dict[str, Any], file: Path) -> bool:
    file.write_text(tomli_w.dumps(table), encoding="utf-8")
    try:
        load_house(file)
    except InputError:
        return False
    return True


def put_in(table: dict[str, Any], file: Path) -> set[str]:
    """Put an attack into every field of text that may hold one, with all that refers to it; those fields."""
    found = list(texts(table))
    before = [holder[place] for _, holder, place in found]
    taken: set[str] = set()
    for field in sorted({field for field, _, _ in found} - {".site.climate"}):
        values = {holder[place] for where, holder, place in found if where == field}
        if any(value[:1].isdigit() for value in values):
            continue  # numbers with their units
        now = [holder[place] for _, holder, place in found]
        for number, (_, holder, place) in enumerate(found):
            if holder[place] in values:
                holder[place] = attack(before.index(before[number]))
        if load(table, file):
            taken.add(field)
            continue
        for (_, holder, place), value in zip(found, now, strict=True):
            holder[place] = value
    assert load(table, file)
    return taken


def nothing_ran(page: Page) -> None:
    assert page.evaluate("window.struck") is None
    assert page.locator("img, [onerror], .kt script").count() == 0


def test_typed_scripts_stay_text(tmp_path: Path, page: Page) -> None:
    house, prices = tmp_path / "attack.toml", tmp_path / "prices.toml"
    table = tomllib.loads(data_path("houses", "alder_street.toml").read_text(encoding="utf-8"))
    prices.write_text(PRICES.format(attack=attack(-1)), encoding="utf-8")
    taken = put_in(table, house)
    assert {
        ".name",
        ".note",
        ".surfaces.label",
        ".zones.key",
        ".lamps.label",
        ".windows.key",
    } <= taken
    running = Server(str(house), "--prices", str(prices))
    try:
        open_page(page, running.address)
        assert page.locator("h1").inner_text().startswith("<img src=x")
        tick(page, "attic_insulation", "band_joist_foam", "heat_pump_upgrade", "led_lamps")
        page.locator(".row .toggle").evaluate_all("all => all.forEach(one => one.click())")
        page.locator(".panel > summary").evaluate_all("all => all.forEach(one => one.click())")
        page.wait_for_function(
            "[...document.querySelectorAll('.panel .answer')].every(one => one.querySelector('p:not(.busy)'))",
        )
        page.get_by_label("Name of this plan").fill(attack(-2)[:30])
        page.get_by_role("button", name="Keep this plan").click()
        page.wait_for_selector(".kept li")
        for part in page.locator("[data-part]").all():
            part.dispatch_event("click")
        nothing_ran(page)
        # what the program says of a text that it refuses
        table["format"] = attack(-3)
        load(table, house)
        page.goto(running.address)
        page.wait_for_selector(".kt .problem")
        assert "<img src=x" in page.locator(".problem").inner_text()
        nothing_ran(page)
    finally:
        running.stop()
