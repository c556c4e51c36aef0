"""Budgets of the page in one run: a tick against a bare checkbox, first chart, bytes, memory of a kernel.

Ratios are printed; only what the machine's speed does not change is asserted.
"""

import json
import shutil
import subprocess
import time
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from served_page import SWITCHES, Server, browser_path, open_page, show_chart

pytestmark = pytest.mark.browser
TICKS = 50
FLOOR = """import ipywidgets as w
box, label = w.Checkbox(description='tick'), w.Label('off')
box.observe(lambda change: setattr(label, 'value', 'on' if change['new'] else 'off'), 'value')
w.VBox([box, label])"""

WATCH_TICK = """([box, text, quiet]) => new Promise((resolve, reject) => {
  const start = performance.now();
  const before = document.querySelector(text).textContent;
  const chart = document.querySelector(quiet);
  const drawn = chart ? chart.dataset.drawn : '';
  const look = () => {
    const words = document.querySelector(text).textContent !== before;
    const picture = !chart || chart.dataset.drawn !== drawn;
    if (words && picture) requestAnimationFrame(() => resolve(performance.now() - start));
    else if (performance.now() - start > 10000) reject(new Error('no answer to a tick'));
    else setTimeout(look, 1);
  };
  document.querySelector(box).click();
  look();
})"""


@pytest.fixture(scope="module")
def browser():
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=browser_path(), args=SWITCHES)
        yield chromium
        chromium.close()


def floor_notebook(folder: Path) -> Path:
    cell = {"cell_type": "code", "id": "f", "metadata": {}, "outputs": [], "execution_count": None,
            "source": FLOOR}  # fmt: skip
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    path = folder / "floor.ipynb"
    content = {"cells": [cell], "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


def ticks(page: Page, box: str, text: str, chart: str) -> np.ndarray:
    spans = [page.evaluate(WATCH_TICK, [box, text, chart]) for _ in range(TICKS)]
    return np.array(spans[2:])


def kernel_memory(server: Server) -> list[float]:
    """Resident memory of the kernels below a server. [MB]"""
    listed = subprocess.run(
        ["ps", "-e", "-o", "pid,ppid,rss,args"], capture_output=True, text=True, check=True
    )
    rows = [line.split(None, 3) for line in listed.stdout.splitlines()[1:]]
    family = {str(server.process.pid)}
    for _ in range(4):
        family |= {pid for pid, parent, _, _ in rows if parent in family}
    return [int(rss) / 1024 for pid, _, rss, what in rows if pid in family and "ipykernel" in what]


def test_page_budgets(browser: Browser, tmp_path: Path, capsys) -> None:
    floor, table = Server(page=floor_notebook(tmp_path)), Server()
    try:
        page = browser.new_page()
        page.goto(floor.address)
        page.wait_for_selector("input[type=checkbox]")
        bare = ticks(
            page,
            "input[type=checkbox]",
            "div.widget-label",
            "#none",
        )
        page.close()
        page = browser.new_page()
        received: list[int] = []
        page.on("websocket", lambda s: s.on("framereceived", lambda f: received.append(len(f))))
        start = time.perf_counter()
        open_page(page, table.address)
        show_chart(page)
        cold = time.perf_counter() - start
        first_bytes = sum(received)
        ours = ticks(page, "#tick-attic_insulation", ".live", ".chart")
        memory = max(kernel_memory(table)) if shutil.which("ps") else float("nan")
        with capsys.disabled():
            print(
                f"\ntick, median: {np.median(ours):.0f} ms, {np.median(ours) / np.median(bare):.2f} x a bare checkbox"
            )
            print(
                f"tick, 95th percentile: {np.percentile(ours, 95) / np.percentile(bare, 95):.2f} x a bare checkbox"
            )
            print(
                f"first chart, cold kernel: {cold:.1f} s, {1e3 * cold / np.median(bare):.0f} x a bare tick"
            )
            print(
                f"websocket, first page: {first_bytes / 1e6:.2f} MB; kernel memory: {memory:.0f} MB"
            )
        assert first_bytes <= 2_000_000
    finally:
        floor.stop()
        table.stop()
