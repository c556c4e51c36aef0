"""Measures the model without a page: every set, one set, fair shares, ranges, advice, a tick, and its import."""

import json
import re
import time
from functools import cache
from pathlib import Path

import numpy as np
from examples import example
from rows import Row, in_fresh_process, one_pass, seconds

from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.climate.stations import station_weather, stations
from retrofit_lab.savings.attribution import fair_share
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.savings.combinations import all_plans
from retrofit_lab.study.advice import Advice
from retrofit_lab.uncertainty.outcomes import plan_outcome

HOUSE = "alder_street"
SIXTEEN = (
    "attic_air_sealing", "band_joist_foam", "attic_insulation", "kneewall_insulation",
    "basement_wall_insulation", "new_windows", "duct_mastic", "night_setback", "heat_pump_upgrade",
    "blower_motor", "tank_setpoint", "pipe_insulation", "shower_heads", "led_lamps",
    "standby_strips", "exhaust_ventilation",
)  # fmt: skip
"""One measure of each mechanism of the model: none of them leaves a part of it at rest."""
TEN = SIXTEEN[:10]
BUDGET = 5000.0
MEBI = 1024.0


@cache
def lattice() -> BoolArray:
    """Every set of the sixteen, as rows over all measures of the house."""
    keys = example(HOUSE).keys
    masks = np.zeros((2 ** len(SIXTEEN), len(keys)), dtype=bool)
    masks[:, [keys.index(key) for key in SIXTEEN]] = all_plans(len(SIXTEEN))
    return masks


def every_output(masks: BoolArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Energy by fuel and end use, cost and CO2 of many sets."""
    study = example(HOUSE)
    found = study.energy(masks)
    return found.energy, found.cost, found.energy @ study.money.carbon


def work_out_every_set() -> str:
    """Seconds and peak memory [KiB] of every output of every set, as JSON; for a process of its own."""
    masks = lattice()
    every_output(masks[:2])
    start = time.perf_counter()
    energy, cost, carbon = every_output(masks)
    span = time.perf_counter() - start
    status = Path("/proc/self/status").read_text(encoding="ascii")
    peak = int(re.search(r"VmHWM:\s+(\d+) kB", status)[1])
    finite = bool(
        np.isfinite(energy).all() and np.isfinite(cost).all() and np.isfinite(carbon).all()
    )
    return json.dumps({"seconds": span, "peak": peak, "finite": finite})


def every_set() -> list[Row]:
    """Time and peak memory of every output of all 65,536 sets, each time in a fresh process."""
    code = "import model_rows; print(model_rows.work_out_every_set())"
    runs = [in_fresh_process(code) for _ in range(3)]
    assert all(run["finite"] for run in runs)
    span = min(run["seconds"] for run in runs)
    numbers = 2 ** len(SIXTEEN) * 12 * len(example(HOUSE).uses)
    return [
        Row(
            what="all 65,536 sets of 16 measures, every output",
            measured=span, unit="s", most=1.0,
            ratio=span / one_pass(numbers),
            reference="one NumPy pass over sets x months x fuels and end uses",
        ),
        Row(
            what="peak memory of that, in a fresh process",
            measured=max(run["peak"] for run in runs) / MEBI, unit="MiB", most=1024.0, steady=True,
            ratio=max(run["peak"] for run in runs) / MEBI / (8 * numbers / MEBI**2),
            reference="the numbers that it works out",
        ),
    ]  # fmt: skip


def one_set() -> list[Row]:
    """One set in full: its house, its year and its yearly result."""
    study = example(HOUSE)
    chosen = np.array([[key in SIXTEEN for key in study.keys]])
    span = seconds(lambda: study.money.year(study.energy(chosen)), 30)
    part = seconds(lambda: every_output(lattice()[:4096])) / 4096
    return [
        Row(
            what="one set, full result",
            measured=1e3 * span, unit="ms", most=2.0,
            ratio=span / part, reference="a set's part of 4,096 at once",
        )
    ]  # fmt: skip


def fair_shares() -> list[Row]:
    """Exact fair shares of 16 measures in every output, after the lattice."""
    energy, cost, carbon = every_output(lattice())
    outputs = np.column_stack([energy, cost, carbon])
    span = seconds(lambda: fair_share(outputs))
    return [
        Row(
            what="exact fair shares of 16, in energy by fuel and end use, cost and CO2",
            measured=span, unit="s", most=0.3,
            ratio=span / one_pass(outputs.size), reference="one NumPy pass over the outputs",
        )
    ]  # fmt: skip


def ranges() -> list[Row]:
    """The ranges of a set from 4,096 draws with weather years, and the same as a page asks for it at a tick."""
    study = example(HOUSE)
    advice = Advice(study)
    draws, setting = advice.draws, advice.setting
    first = seconds(lambda: Advice(study).draws, 1)
    span = seconds(lambda: plan_outcome(setting, study.mask(SIXTEEN), draws))
    asked = seconds(lambda: advice.how_sure(SIXTEEN))
    same = seconds(lambda: study.energy(lattice()[: 2 * draws.count]))
    return [
        Row(
            what="4,096 draws of a set with its ranges",
            measured=span, unit="s", most=0.25,
            ratio=span / same, reference="8,192 sets without ranges",
        ),
        Row(
            what="live ranges at a tick, with what to measure next",
            measured=asked, unit="s", most=0.25,
            ratio=asked / same, reference="8,192 sets without ranges",
        ),
        Row(what="making the draws, once for a page", measured=first, unit="s",
            ratio=first / same, reference="8,192 sets without ranges"),
    ]  # fmt: skip


def ticks() -> list[Row]:
    """What the model does at a tick: all results with one, ten and sixteen measures ticked."""
    study = example(HOUSE)
    one = seconds(lambda: study.plan(SIXTEEN[:1]))
    rows = []
    for ticked in (SIXTEEN[:1], TEN, SIXTEEN):
        span = seconds(lambda chosen=ticked: study.plan(chosen))
        rows.append(
            Row(
                what=f"a tick with {len(ticked)} ticked, all results, model alone",
                measured=1e3 * span, unit="ms",
                ratio=span / one, reference="the same with 1 ticked",
            )
        )  # fmt: skip
    return rows


def advice() -> list[Row]:
    """Best set for a budget: the first time that a page asks, and again with another budget."""
    study = example(HOUSE)
    every = seconds(lambda: every_output(lattice()), 2)
    first = seconds(lambda: Advice(study).best(Limits(budget=BUDGET)), 2)
    asked = Advice(study)
    asked.best(Limits(budget=BUDGET))
    again = seconds(lambda: asked.best(Limits(budget=BUDGET / 2)))
    return [
        Row(what=f"best set of {len(study.keys)} measures for a budget, asked first",
            measured=first, unit="s", ratio=first / every, reference="all 65,536 sets of 16"),
        Row(what="best set for another budget", measured=again, unit="s",
            ratio=again / every, reference="all 65,536 sets of 16"),
    ]  # fmt: skip


def model_import() -> list[Row]:
    """Import of the model without any UI, in a fresh process, interpreter not counted."""

    def span(module: str) -> float:
        code = (
            f"import time; start = time.perf_counter(); import {module}; "
            f"print(time.perf_counter() - start)"
        )
        return min(in_fresh_process(code) for _ in range(3))

    study, numpy = span("retrofit_lab.study.study"), span("numpy")
    return [
        Row(
            what="import of the model without UI",
            measured=study, unit="s", most=0.5,
            ratio=study / numpy, reference="the import of NumPy alone",
        )
    ]  # fmt: skip


def first_number() -> list[Row]:
    """A house at a ZIP code, from the import of the model to its first bill, and the part of one station in that."""
    code = (
        "import json, time; start = time.perf_counter(); "
        "from retrofit_lab.study.study import Study; imported = time.perf_counter(); "
        "from retrofit_lab.climate.locating import find_climate; "
        "climate = find_climate('55401'); found = time.perf_counter(); "
        "from retrofit_lab.house.file import load_house; "
        "from retrofit_lab.base.shipped_files import data_path; "
        f"house = load_house(data_path('houses', '{HOUSE}.toml')); Study(house, climate).plan(()); "
        "print(json.dumps([imported - start, found - imported, time.perf_counter() - start]))"
    )
    runs = [in_fresh_process(code) for _ in range(3)]
    imported, found, whole = (min(run[part] for run in runs) for part in range(3))
    station = stations()[500]
    one = seconds(lambda: station_weather(station), 20)
    return [
        Row(what="from the import to the first bill of a house at a ZIP code, in a fresh process",
            measured=whole, unit="s", ratio=whole / imported, reference="the import of the model"),
        Row(what="finding the weather of a ZIP code in it",
            measured=1e3 * found, unit="ms", most=100.0,
            ratio=found / imported, reference="the import of the model"),
        Row(what="one of the 1,010 typical years, out of its file",
            measured=1e3 * one, unit="ms", most=10.0,
            ratio=one / one_pass(1_010 * 1_600), reference="one NumPy pass over all of them"),
    ]  # fmt: skip


MODEL = (every_set, one_set, fair_shares, ranges, ticks, advice, model_import, first_number)
"""Every measurement of this module, in the order of the table."""
