"""The form of the walk on a phone: served with a code, one question at a time, a connection that breaks, two devices."""

import io
import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page
from served_page import Server, leave, new_page
from waiting import eventually

from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.house.file import load_house
from retrofit_lab.house.first_answers import default_answers
from retrofit_lab.house.photos import load_photos

pytestmark = [pytest.mark.browser, pytest.mark.slow]
FILE = "plum_lane.toml"
PHONE = {"has_touch": True, "is_mobile": True, "device_scale_factor": 2}
WALK = """
import sys
from retrofit_lab.command import main
sys.exit(main(["walk", {folder!r}, "--port", "{port}", "--no-browser"]))
"""


class Walk(Server):
    """`retrofit-lab walk FOLDER` in a process of its own."""

    def __init__(self, folder: Path, port: int = 0) -> None:
        super().__init__(program=WALK.format(folder=str(folder), port=port))

    def find(self, pattern: str) -> str:
        return super().find(pattern.replace("lesson|", "form of the walk|"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    begun = Walkthrough(tmp_path)
    answers = {**default_answers(), "name": "Plum Lane", "climate": "greensboro_nc"}
    begun._on_message(begun, {"kind": "begin", "answers": answers, "file": ""}, [])
    return tmp_path


@pytest.fixture
def walk(folder: Path) -> Iterator[Walk]:
    running = Walk(folder)
    yield running
    running.stop()


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    page = new_page(browser, 390, 844, **PHONE)
    yield page
    leave(page)


def opened(page: Page, walk: Walk, hash_: str = f"#{FILE}") -> Page:
    page.goto(walk.address + hash_)
    page.wait_for_selector("#wt-title" if hash_ else ".wt h1")
    return page


def jump(page: Page, stop: str) -> None:
    page.select_option("#wt-jump", stop)
    page.wait_for_function("s => document.querySelector('#wt-jump').value === s", arg=stop)
    page.wait_for_function("document.activeElement.id === 'wt-title'")


def test_one_question_at_a_time_with_large_targets(walk: Walk, folder: Path, phone: Page) -> None:
    from axe_core_python.sync_playwright import Axe

    opened(phone, walk)
    jump(phone, "blower_door")
    shown = phone.locator(".stop .field:visible, .stop .observations:visible")
    assert shown.count() == 1
    box = phone.locator(".stop .field.now input").first
    assert box.bounding_box()["y"] < 844
    box.fill("1850 cfm at 50 Pa")
    box.press("Enter")
    assert eventually(lambda: load_house(folder / FILE).leakage.flow == 1850.0)
    assert phone.locator(".stepbar .count").inner_text().startswith("2 of ")
    small = phone.evaluate(
        "[...document.querySelectorAll('.wt button, .wt input, .wt select, .wt summary')]"
        ".filter(e => e.offsetParent && e.type !== 'checkbox').map(e => [e.textContent || e.id, e.getBoundingClientRect().height])"
        ".filter(([, height]) => height < 43.5)"
    )
    assert small == []
    assert phone.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    found = Axe().run(phone, context=".wt")["violations"]
    assert [item["id"] for item in found] == []


def test_walks_through_a_whole_stop_by_thumb(walk: Walk, phone: Page) -> None:
    opened(phone, walk)
    jump(phone, "rooms")
    first = phone.locator("#wt-title").inner_text()
    seen = set()
    for _ in range(40):
        seen.add(phone.locator(".stepbar .count").inner_text())
        phone.tap(".stepbar .main")
        if phone.locator("#wt-title").inner_text() != first:
            break
    assert phone.locator("#wt-title").inner_text() != first
    assert len(seen) > 3


def test_a_page_loaded_again_is_at_the_very_question(walk: Walk, phone: Page) -> None:
    opened(phone, walk)
    jump(phone, "windows")
    phone.tap(".stepbar .main")
    phone.wait_for_selector(".stepbar .count:has-text('2 of ')")
    phone.reload()
    phone.wait_for_selector("#wt-title:text-is('Windows')")
    phone.wait_for_selector(".stepbar .count:has-text('2 of ')")


def test_goes_on_without_the_form_and_sends_what_it_kept(
    walk: Walk, folder: Path, phone: Page
) -> None:
    opened(phone, walk)
    jump(phone, "blower_door")
    phone.wait_for_selector(".aheads:not([hidden])")
    (kernel,) = walk.kernels().values()
    os.kill(kernel.pid, signal.SIGSTOP)
    box = phone.locator(".stop .field.now input").first
    box.fill("1900 cfm at 50 Pa")
    box.press("Enter")
    phone.wait_for_selector(".lost:visible")
    assert "1 answer is kept on this device" in phone.locator(".lost").inner_text()
    jump(phone, "rooms")
    other = phone.locator(".stop .field.now input").first
    other.fill("1234 ft2")
    other.press("Enter")
    assert eventually(lambda: "2 answers are kept" in phone.locator(".lost").inner_text())
    assert load_house(folder / FILE).leakage.flow != 1900.0
    os.kill(kernel.pid, signal.SIGKILL)
    assert eventually(lambda: load_house(folder / FILE).surfaces[0].area == 1234.0)
    assert eventually(lambda: load_house(folder / FILE).leakage.flow == 1900.0)
    phone.wait_for_selector(".lost", state="hidden")


def test_two_devices_see_each_other(
    walk: Walk, folder: Path, phone: Page, browser: Browser
) -> None:
    tablet = new_page(browser, 1024, 768, has_touch=True)
    opened(phone, walk)
    opened(tablet, walk)
    jump(phone, "blower_door")
    box = phone.locator(".stop .field.now input").first
    box.fill("1700 cfm at 50 Pa")
    box.press("Enter")
    tablet.wait_for_selector(".elsewhere:has-text('another device')")
    leave(tablet)
    assert load_house(folder / FILE).leakage.flow == 1700.0


def test_picture_from_the_camera(walk: Walk, folder: Path, phone: Page) -> None:
    opened(phone, walk)
    jump(phone, "attic")
    phone.click(".stepall")
    phone.click(".photos summary")
    held = io.BytesIO()
    Image.new("RGB", (2400, 1800), "blue").save(held, "JPEG")
    phone.set_input_files(
        ".photos input[type=file]",
        {"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": held.getvalue()},
    )
    phone.wait_for_selector(".photos li img")
    (photo,) = load_photos(folder / FILE)
    with Image.open(folder / photo.file) as image:
        assert max(image.size) == 1600


def test_code_for_phones_and_a_page_that_cannot_write(folder: Path) -> None:
    program = WALK.format(folder=str(folder), port=0).replace(
        '"--no-browser"', '"--phone", "--no-browser"'
    )
    running = Walk.__new__(Walk)
    Server.__init__(running, program=program)
    try:
        assert re.search(r"\?token=[\w-]{20,}", running.address)
    finally:
        running.stop()
    assert "RETROFIT_LAB_FOLDER" not in os.environ


def test_a_part_is_copied_and_windows_of_one_kind_are_entered_once(
    walk: Walk, folder: Path, phone: Page
) -> None:
    opened(phone, walk)
    jump(phone, "windows")
    phone.tap(".stepall")
    south = phone.locator('fieldset[data-path="windows.south"]')
    south.locator('[data-path="windows.south.u_value"]').fill("0.31")
    south.locator('[data-path="windows.south.u_value"]').press("Enter")
    assert eventually(lambda: window(folder, "south").u_value == 0.31)
    south.get_by_role("button", name="One more like").tap()
    phone.wait_for_selector('fieldset[data-path="windows.south_2"]')
    phone.wait_for_function(
        "document.activeElement.closest('fieldset')?.dataset.path === 'windows.south_2'"
    )
    assert eventually(lambda: window(folder, "south_2").u_value == 0.31)
    assert window(folder, "north").u_value != 0.31
    phone.locator('fieldset[data-path="windows.south"] button', has_text="of this kind").tap()
    assert eventually(lambda: {one.u_value for one in load_house(folder / FILE).windows} == {0.31})


def window(folder: Path, key: str):
    return next(one for one in load_house(folder / FILE).windows if one.key == key)


def test_plan_of_the_table_is_pasted_and_the_drawing_leads_to_what_is_open(
    walk: Walk, folder: Path, phone: Page
) -> None:
    opened(phone, walk)
    jump(phone, "job")
    phone.tap(".stepall")
    phone.fill("#wt-agreed-link", "http://192.168.1.7:8470/?tick=wall_fill.attic_insulation")
    phone.locator(".agreed button", has_text="This is the plan").tap()
    phone.wait_for_selector(".agreed li")
    assert load_house(folder / FILE).job.plan == ("wall_fill", "attic_insulation")
    phone.tap(".stepall")
    phone.locator("details.drawn > summary").tap()
    phone.locator('.drawn button[data-part="hot_water"]').tap()
    phone.wait_for_function("document.activeElement.dataset.path?.startsWith('water_heaters.')")
    assert phone.locator("#wt-jump").input_value() == "hot_water"
