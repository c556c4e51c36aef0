"""Pictures of the page, wide and narrow, for looking at: python tests/browser/screenshots.py FOLDER."""

import sys
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))
from served_page import SWITCHES, Server, browser_path, lay_out_all, open_page, show_chart, tick

SIZES = {"wide": (1366, 768), "narrow": (320, 640)}
TICKED = (
    "band_joist_foam",
    "attic_insulation",
    "duct_mastic",
    "night_setback",
    "heat_pump_upgrade",
)


def of_deeper_views(page: Page, folder: Path, name: str) -> None:
    """The chart, a chosen part, kept choices, every question, and paper."""
    show_chart(page)
    page.wait_for_timeout(300)
    page.screenshot(path=folder / f"{name}_chart.png")
    page.click("#tab-heat")
    page.locator("[data-part=attic]").click()
    page.wait_for_timeout(300)
    page.screenshot(path=folder / f"{name}_part.png")
    page.get_by_role("button", name="Keep this choice").click()
    page.wait_for_selector(".kept li")
    page.uncheck(f"#tick-{TICKED[-1]}")
    page.wait_for_selector(f".row:not(.ticked)[data-key={TICKED[-1]}]")
    page.get_by_role("button", name="Keep this choice").click()
    page.wait_for_selector(".kept li:nth-child(2)")
    page.locator("#choices").scroll_into_view_if_needed()
    page.locator("#choices").screenshot(path=folder / f"{name}_choices.png")
    for panel in page.locator(".panel").all():
        panel.locator("summary").first.click()
        panel.locator(".answer p").first.wait_for(timeout=30_000)
        page.wait_for_timeout(300)
        panel.screenshot(path=folder / f"{name}_{panel.get_attribute('data-panel')}.png")
    page.emulate_media(media="print")
    page.screenshot(path=folder / f"{name}_print.png", full_page=True)


def main() -> None:
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    server = Server()
    try:
        with sync_playwright() as playwright:
            chromium = playwright.chromium.launch(executable_path=browser_path(), args=SWITCHES)
            for name, (width, height) in SIZES.items():
                page = chromium.new_page(viewport={"width": width, "height": height})
                open_page(page, server.address)
                lay_out_all(page)
                page.screenshot(path=folder / f"{name}_nothing_ticked.png", full_page=True)
                tick(page, *TICKED)
                page.wait_for_timeout(500)
                page.screenshot(path=folder / f"{name}_ticked_whole.png", full_page=True)
                page.evaluate("window.scrollTo(0, 0)")
                page.screenshot(path=folder / f"{name}_ticked.png")
                of_deeper_views(page, folder, name)
                page.close()
            chromium.close()
    finally:
        server.stop()


if __name__ == "__main__":
    main()
