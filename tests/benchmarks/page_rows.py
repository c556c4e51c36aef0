"""Measures the served page in a real browser: ticks against a bare checkbox, first chart, bytes, memory; no model.

One server and one browser serve all rows, so that their ratios are of one run.
"""

import json
import subprocess
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import urlsplit

import numpy as np
from model_rows import TEN
from playwright.sync_api import Browser, Page
from rows import Row
from served_page import Server, browsing, new_page, open_page, tick

from retrofit_lab.base.values import FloatArray

TICKS = 50
BETWEEN_TICKS = 0.25
"""From an answer to the next tick. [s]"""
FLOOR = """import ipywidgets as w
box, label = w.Checkbox(description='tick'), w.Label('off')
box.observe(lambda change: setattr(label, 'value', 'on' if change['new'] else 'off'), 'value')
w.VBox([box, label])"""
QUIET_SECONDS = 120.0

WATCH_TICK = """([box, text, quiet]) => new Promise((resolve, reject) => {
  const start = performance.now();
  const before = document.querySelector(text).textContent;
  const chart = document.querySelector(quiet);
  const drawn = chart ? chart.dataset.drawn : '';
  // what is posted while a frame is made ready comes in after it has been painted
  const painted = () => {
    const after = new MessageChannel();
    after.port1.onmessage = () => resolve(performance.now() - start);
    after.port2.postMessage(0);
  };
  const look = () => {
    const words = document.querySelector(text).textContent !== before;
    const picture = !chart || chart.dataset.drawn !== drawn;
    if (words && picture) requestAnimationFrame(painted);
    else if (performance.now() - start > 120000) reject(new Error('no answer to a tick'));
    else setTimeout(look, 1);
  };
  document.querySelector(box).click();
  look();
})"""


BARE = ["input[type=checkbox]", "div.widget-label", "#none"]


@dataclass(slots=True)
class Traffic:
    """What a page loads: bytes over its websockets, and the hosts that it asks."""

    received: list[int] = field(default_factory=list)
    hosts: list[str] = field(default_factory=list)

    def watch(self, page: Page) -> None:
        """Count from now on."""
        page.on(
            "websocket", lambda s: s.on("framereceived", lambda f: self.received.append(len(f)))
        )
        page.on("request", lambda asked: self.hosts.append(urlsplit(asked.url).hostname or ""))

    def outside(self) -> list[str]:
        """Hosts beyond this machine; what a page carries in itself has no host."""
        return [host for host in self.hosts if host not in ("", "127.0.0.1", "localhost", "::1")]


def page_rows() -> list[Row]:
    """All rows of the served page."""
    with browsing() as browser, _bare_checkbox() as floor, _served() as table:
        plain = _bare_page(browser, floor)
        page, traffic = new_page(browser), Traffic()
        traffic.watch(page)
        cold = _first_chart(page, table)
        first = sum(traffic.received)
        one, bare = _ticks(page, TEN[2], plain)
        tick(page, *TEN)
        ten, beside_ten = _ticks(page, TEN[2], plain)
        _open_every_panel(page)
        memory = max(kernel_memory(table))
        page.close()
        return [
            *_tick_rows("one measure", one, bare),
            *_tick_rows("the tenth measure", ten, beside_ten),
            _chart_row("cold", cold, 4.0, bare),
            _chart_row("warm", _warm_chart(browser), 1.5, bare),
            Row(what="requests that leave the machine", measured=len(traffic.outside()),
                unit="requests", most=0, steady=True),
            Row(what="over the websocket, first page", measured=first / 1e6, unit="MB", most=2.0,
                ratio=first / max(1, sum(_bytes_of_bare(browser, floor))),
                reference="the page of a bare checkbox", steady=True),
            Row(what="memory of a kernel, every panel opened", measured=memory, unit="MB",
                most=120.0, ratio=memory / max(kernel_memory(floor)),
                reference="the kernel of a bare checkbox", steady=True),
        ]  # fmt: skip


@contextmanager
def _served(*arguments: str, page: Path | None = None) -> Iterator[Server]:
    server = Server(*arguments, page=page)
    try:
        yield server
    finally:
        server.stop()


@contextmanager
def _bare_checkbox() -> Iterator[Server]:
    with TemporaryDirectory() as folder, _served(page=_floor_notebook(Path(folder))) as server:
        yield server


def _floor_notebook(folder: Path) -> Path:
    cell = {"cell_type": "code", "id": "f", "metadata": {}, "outputs": [], "execution_count": None,
            "source": FLOOR}  # fmt: skip
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    path = folder / "floor.ipynb"
    content = {"cells": [cell], "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


def _bare_page(browser: Browser, floor: Server) -> Page:
    page = new_page(browser)
    page.goto(floor.address)
    page.wait_for_selector("input[type=checkbox]")
    # our pages take this line away when they are drawn; one that keeps it is opened anew
    page.evaluate("document.getElementById('starting').remove()")
    return page


def _bytes_of_bare(browser: Browser, floor: Server) -> Sequence[int]:
    page, traffic = new_page(browser), Traffic()
    traffic.watch(page)
    page.goto(floor.address)
    page.wait_for_selector("input[type=checkbox]")
    page.close()
    return traffic.received


def _ticks(page: Page, key: str, plain: Page) -> tuple[FloatArray, FloatArray]:
    """Spans of many ticks of a measure and of a bare checkbox, one after the other, the first two not counted. [ms]

    They take turns, so that whatever else the machine does falls on both, at the pace of someone who ticks one
    after the other without looking.
    """
    ours, bare = [], []
    for _ in range(TICKS):
        plain.bring_to_front()
        time.sleep(BETWEEN_TICKS)
        bare.append(plain.evaluate(WATCH_TICK, BARE))
        page.bring_to_front()
        time.sleep(BETWEEN_TICKS)
        ours.append(page.evaluate(WATCH_TICK, [f"#tick-{key}", ".live", ".promised-real"]))
    return np.array(ours[2:]), np.array(bare[2:])


def _first_chart(page: Page, server: Server) -> float:
    start = time.perf_counter()
    open_page(page, server.address)
    return time.perf_counter() - start


def _warm_chart(browser: Browser) -> float:
    with _served("--class", "1") as server:
        _wait_until_quiet(server)
        page = new_page(browser)
        span = _first_chart(page, server)
        page.close()
    return span


def _wait_until_quiet(server: Server) -> None:
    """Wait until the kernel that waits for a visitor has run the page."""
    end, before = time.monotonic() + QUIET_SECONDS, -1.0
    while time.monotonic() < end:
        used = sum(_seconds_of_kernels(server))
        if 0.0 < used == before:
            return
        before = used
        time.sleep(2.0)


def _open_every_panel(page: Page) -> None:
    page.evaluate("document.querySelectorAll('.panel').forEach(panel => { panel.open = true; })")
    page.wait_for_function(
        "[...document.querySelectorAll('.panel .answer')].every(answer => answer.children.length > 0)",
    )


def kernel_memory(server: Server) -> list[float]:
    """Resident memory of the kernels below a server. [MB]"""
    return [int(rss) / 1024 for rss in _of_kernels(server, "rss")]


def _seconds_of_kernels(server: Server) -> list[float]:
    return [float(seconds) for seconds in _of_kernels(server, "cputimes")]


def _of_kernels(server: Server, column: str) -> list[str]:
    """What the list of processes says of the kernels below a server."""
    listed = subprocess.run(
        ["ps", "-e", "-o", f"pid,ppid,{column},args"], capture_output=True, text=True, check=True
    )
    rows = [line.split(None, 3) for line in listed.stdout.splitlines()[1:]]
    family = {str(server.process.pid)}
    for _ in range(4):
        family |= {pid for pid, parent, _, _ in rows if parent in family}
    return [said for pid, _, said, what in rows if pid in family and "ipykernel" in what]


def _tick_rows(what: str, ours: FloatArray, bare: FloatArray) -> list[Row]:
    return [
        Row(
            what=f"tick of {what} to repainted chart and numbers, {name}",
            measured=float(of(ours)), unit="ms",
            ratio=float(of(ours) / of(bare)), reference="a bare checkbox to its label", most_ratio=1.5 if name == "median" else 2.0,
        )
        for name, of in (("median", np.median), ("95th percentile", _ninety_fifth))
    ]  # fmt: skip


def _ninety_fifth(spans: FloatArray) -> float:
    return float(np.percentile(spans, 95))


def _chart_row(kernel: str, span: float, most: float, bare: FloatArray) -> Row:
    return Row(
        what=f"page to first chart, {kernel} kernel",
        measured=span, unit="s", most=most,
        ratio=1e3 * span / float(np.median(bare)), reference="a bare tick",
    )  # fmt: skip


PAGE = (page_rows,)
"""Every measurement of this module, in the order of the table."""
