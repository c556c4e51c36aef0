"""Pictures of the page to look at, in four sizes, both languages and both themes: python tests/browser/screenshots.py FOLDER.

``--quick`` takes the two ends only: a phone and a laptop, English, light; words such as ``390 es dark`` only what has
all of them. The page at home is taken too, as a file without a server.
"""

import sys
from itertools import product
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))
from examples import example
from served_page import SWITCHES, Server, browser_path, lay_out_all, open_page, tick

from retrofit_lab.app.home.writing import home_html

SIZES = {"390": (390, 844), "768": (768, 1024), "1366": (1366, 768), "1920": (1920, 1080)}
LANGUAGES, THEMES = ("en", "es"), ("light", "dark")
TWO = ("attic_insulation", "heat_pump_upgrade")
SETTLED = 1200
"""Longer than a number that a pick changed stays marked. [ms]"""


def of_states(page: Page, name: Path) -> None:
    """The start, two fixes that overlap, the rater's plan, an open line, every question, and paper."""
    page.wait_for_selector(".starts button")
    page.screenshot(path=f"{name}_start.png")
    tick(page, *TWO)
    page.wait_for_selector(".top .strip:not(.waiting)", state="attached")
    page.evaluate("window.scrollTo(0, 0)")
    page.wait_for_timeout(SETTLED)
    page.screenshot(path=f"{name}_two.png")
    page.locator(".row[data-key=attic_insulation] .toggle").click()
    page.locator(".row[data-key=attic_insulation]").scroll_into_view_if_needed()
    page.screenshot(path=f"{name}_line.png")
    page.locator(".row[data-key=attic_insulation] .toggle").click()
    page.evaluate("window.scrollTo(0, 0)")
    page.locator(".start-rater").click()
    page.wait_for_selector(".steps tbody", state="attached")
    page.wait_for_timeout(SETTLED)
    page.screenshot(path=f"{name}_plan.png")
    if page.locator(".thumb").is_visible():
        page.locator(".thumb").click()
        page.wait_for_timeout(SETTLED)
        page.screenshot(path=f"{name}_sheet.png")
        page.locator(".sheet-close").click()
    lay_out_all(page)
    page.locator(".rater > summary").click()
    for panel in page.locator(".panel:visible").all():
        panel.locator("summary").first.click()
        panel.locator(".answer p:not(.busy)").first.wait_for(timeout=60_000)
    page.wait_for_timeout(SETTLED)
    page.screenshot(path=f"{name}_whole.png", full_page=True)
    page.emulate_media(media="print")
    page.screenshot(path=f"{name}_print.png", full_page=True)


def of_home(page: Page, name: Path) -> None:
    """The page at home with a plan beyond the fixes that were looked up, and with every question."""
    page.wait_for_selector(".kt[data-ready=yes]")
    page.screenshot(path=f"{name}_home.png")
    tick(page, *TWO)
    page.wait_for_timeout(SETTLED)
    lay_out_all(page)
    page.locator(".rater > summary").click()
    for panel in page.locator(".panel:visible").all():
        panel.locator("summary").first.click()
        panel.locator(".answer p").first.wait_for()
    page.screenshot(path=f"{name}_home_whole.png", full_page=True)


def take(browser: Browser, address: str, home: str, folder: Path, kind: tuple[str, ...]) -> None:
    size, language, theme = kind
    width, height = SIZES[size]
    page = browser.new_page(viewport={"width": width, "height": height}, color_scheme=theme)
    page.set_default_timeout(90_000)
    how = f"?language={language}&units={'si' if language == 'es' else 'us'}"
    name = folder / "_".join(kind)
    open_page(page, address + how)
    of_states(page, name)
    page.emulate_media(media="screen")
    page.goto(home + how)
    of_home(page, name)
    page.close()


def wanted(words: list[str]) -> list[tuple[str, ...]]:
    """The kinds of picture that some words name."""
    if "--quick" in words:
        return [("390", "en", "light"), ("1366", "en", "light")]
    return [kind for kind in product(SIZES, LANGUAGES, THEMES) if set(words) <= set(kind)]


def main() -> None:
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    home = folder / "plan_at_home.html"
    if not home.exists():
        home.write_text(home_html(example("alder_street"), (), "en", "us"), encoding="utf-8")
    server = Server()
    try:
        with sync_playwright() as playwright:
            launch = playwright.chromium.launch
            chromium = launch(executable_path=browser_path(), args=SWITCHES)
            for kind in wanted(sys.argv[2:]):
                take(chromium, server.address, home.resolve().as_uri(), folder, kind)
            chromium.close()
    finally:
        server.stop()


if __name__ == "__main__":
    main()
