"""Budgets of the model, measured in one run and printed as ratios; asserted only against each other.

Run with ``bash tests/run tests/benchmarks -s``; the seconds belong to the machine, the ratios do not.
"""

import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np
import pytest
from examples import example

from retrofit_lab.measures.offers import with_offers
from retrofit_lab.model.year import year_energy
from retrofit_lab.stacks.attribution import fair_share
from retrofit_lab.stacks.combinations import all_stacks

ALDER = example("alder_street")
SIXTEEN = [o for o in ALDER.offers if not o.measure.excludes][:16]


def best(work: Callable[[], object], rounds: int = 5) -> float:
    """Shortest of a few runs. [s]"""
    spans = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        spans.append(time.perf_counter() - start)
    return min(spans)


def one_pass(elements: int) -> float:
    """One NumPy pass over as many numbers. [s]"""
    array = np.random.default_rng(0).random(elements)
    return best(lambda: array * 1.0001)


def lattice() -> np.ndarray:
    masks = np.zeros((2**16, len(ALDER.keys)), dtype=bool)
    masks[:, [ALDER.keys.index(o.key) for o in SIXTEEN]] = all_stacks(16)
    return masks


def test_all_stacks_of_sixteen(benchmark) -> None:
    assert len(SIXTEEN) == 16
    masks = lattice()
    benchmark.pedantic(lambda: ALDER.energy(masks), rounds=3, warmup_rounds=1)
    passes = benchmark.stats.stats.min / one_pass(2**16 * 12)
    benchmark.extra_info["passes over stacks x months"] = round(passes)
    print(
        f"\n65,536 stacks: {benchmark.stats.stats.min:.2f} s, {passes:.0f} passes over stacks x months"
    )


def test_one_stack_in_full(benchmark) -> None:
    chosen = [True] * len(ALDER.offers)
    benchmark(lambda: year_energy(with_offers(ALDER.house, ALDER.offers, chosen), ALDER.climate))
    share = benchmark.stats.stats.median / best(lambda: ALDER.stack(()), 3)
    print(
        f"\none stack: {1e3 * benchmark.stats.stats.median:.2f} ms, {share:.2f} of all that a tick works out"
    )


def test_fair_shares_of_sixteen(benchmark) -> None:
    energy = ALDER.energy(lattice()).energy
    benchmark.pedantic(lambda: fair_share(energy), rounds=3, warmup_rounds=1)
    ratio = benchmark.stats.stats.min / best(lambda: energy * 1.0001)
    print(
        f"\nfair shares of 16: {1e3 * benchmark.stats.stats.min:.1f} ms, {ratio:.0f} passes over the energies"
    )


def test_tick_of_five(benchmark) -> None:
    five = ("band_joist_foam", "attic_insulation", "duct_mastic", "night_setback", "tank_wrap")
    benchmark(lambda: ALDER.stack(five))
    print(f"\na tick of five, all results: {1e3 * benchmark.stats.stats.median:.1f} ms")


@pytest.mark.parametrize("module", ["retrofit_lab.study"])
def test_import_without_ui(benchmark, module: str) -> None:
    def start(code: str) -> None:
        subprocess.run([sys.executable, "-c", code], check=True)

    benchmark.pedantic(lambda: start(f"import {module}"), rounds=3, warmup_rounds=1)
    numpy = best(lambda: start("import numpy"), 3)
    span = benchmark.stats.stats.min
    print(
        f"\nimport of the model: {span:.2f} s with the interpreter, {span / numpy:.1f} x numpy alone"
    )
