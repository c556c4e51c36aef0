"""A page whose kernel died, was ended for idleness, or whose server is gone: a sentence, and a way back to the choice."""

from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, WebSocketRoute
from served_page import Server, kernel_of, open_page, tick
from visitor import staying
from waiting import eventually

pytestmark = pytest.mark.browser
TWO = ("attic_insulation", "led_lamps")
SERVE_IDLE_BRIEFLY = """
from retrofit_lab.app.page.kitchen_table import house_path
from retrofit_lab.app.serve.serving import ServeOptions, serve
serve(ServeOptions(house=house_path(), open_browser=False, idle_seconds=10))
"""
ENDED = "This page timed out"


def ticked(page: Page) -> list[str]:
    return page.eval_on_selector_all(".row.ticked", "rows => rows.map(row => row.dataset.key)")


def come_back(page: Page) -> None:
    """Use the way back, and wait for the two measures of these tests."""
    before = kernel_of(page)
    with page.expect_navigation():
        page.locator(".lost button").click()
    assert kernel_of(page) != before
    for key in TWO:
        page.wait_for_selector(f".row.ticked[data-key={key}]")


def test_killed_kernel_gives_a_sentence_and_the_way_back(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, TWO[0])
    page.get_by_label("Name of this plan").fill("attic only")
    page.get_by_role("button", name="Keep this plan").click()
    page.wait_for_selector(".kept li")
    assert not page.locator(".lost").is_visible()
    server.kernels()[kernel_of(page)].kill()
    # it is not started again behind the visitor's back, where it would know nothing of the page;
    # what is ticked while nobody answers is part of the choice
    page.check(f"#tick-{TWO[1]}")
    page.wait_for_selector(".lost:visible")
    assert page.locator(".lost p").inner_text() == ("This page timed out; your picks are kept.")
    assert page.locator(".lost").get_attribute("role") == "alert"
    come_back(page)
    assert set(ticked(page)) == set(TWO)
    assert page.locator(".kept input").input_value() == "attic only"
    assert not page.locator(".lost").is_visible()


def test_page_left_until_it_was_ended_and_then_the_server_too(page: Page) -> None:
    """A laptop that slept: its connection breaks, its kernel is ended, and then someone opens the lid."""
    sleeping: list[WebSocketRoute] = []

    def connect(socket: WebSocketRoute) -> None:
        if not sleeping:
            ours = socket.connect_to_server()
            sleeping.append(ours)

    running = Server(program=SERVE_IDLE_BRIEFLY)
    try:
        page.route_web_socket("**/channels**", connect)
        open_page(page, running.address)
        tick(page, *TWO)
        gone = kernel_of(page)
        sleeping[0].close()
        assert eventually(lambda: gone not in running.kernels())
        page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        page.wait_for_selector(".lost:visible")
        assert ENDED in page.locator(".lost p").inner_text()
        page.unroute_all()
        sleeping.clear()
        come_back(page)
    finally:
        running.stop()
    # now the server is gone as a whole, and nobody touches anything
    page.wait_for_selector(".lost:visible")
    assert "lost its connection" in page.locator(".lost p").inner_text()
    page.locator(".lost button").click()
    page.wait_for_function(
        "document.querySelector('.lost p').textContent.startsWith('There is still no answer')"
    )
    assert set(ticked(page)) == set(TWO)


def address_for_others(server: Server) -> str:
    """What students are told to open; this machine's own address where there is no network."""
    told = server.line()
    if "No network" in told:
        return server.address
    assert told == "Others on this network open\n"
    address = server.line().strip()
    assert urlsplit(address).hostname not in ("127.0.0.1", "0.0.0.0", "localhost")
    words = server.find("type the two words: (.+)")
    return f"{address}?code={words.replace(' ', '-')}"


def test_places_are_limited_and_a_closed_page_gives_its_own_back(
    tmp_path: Path, page: Page
) -> None:
    token = tmp_path / "token.txt"
    token.write_text("sixteen-letters-and-more", encoding="utf-8")
    running = Server("--class", "1", "--listen", "0.0.0.0", "--token-file", str(token))
    try:
        assert urlsplit(running.address).hostname == "127.0.0.1"
        with staying(running.address, address_for_others(running)):
            fill_and_free_a_place(running, page)
    finally:
        running.stop()


def fill_and_free_a_place(running: Server, page: Page) -> None:
    first = page.context.new_page()
    open_page(first, running.address)
    # once it was used, the token is in no address line and no link
    assert "token" not in first.url
    assert len(running.kernels()) == 3
    page.goto(running.address)
    assert "This page is full" in page.locator("[role=alert]").inner_text()
    kernel = kernel_of(first)
    first.close(run_before_unload=True)
    assert eventually(lambda: kernel not in running.kernels())
    page.get_by_role("link", name="Load it again").click()
    page.wait_for_selector(".kt[data-ready]")
    assert len(running.kernels()) == 3
