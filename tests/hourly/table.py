"""Prints the product against the hourly house: ``python tests/hourly/table.py --help``."""

import argparse
import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

import numpy as np  # noqa: E402

from hourly.compare import Pair, pairs  # noqa: E402
from hourly.describe import WORK, RefHouse, random_houses  # noqa: E402
from hourly.results import HOUSES, SEED, read, work_out  # noqa: E402
from hourly.switches import SWITCHES, switched  # noqa: E402

TARGETS = {
    "annual heat": (0.03, 0.07), "heat-pump electricity": (0.04, 0.10), "backup heat": (0.15, None),
    "cooling": (0.08, 0.20), "saving": (0.07, 0.20),
}  # fmt: skip

GROUPS = (
    "saving, heating:",
    "saving, cooling:",
    "saving, heating and cooling:",
    "saving, dollars:",
)
"""Order of savings: by end use, then of both together with their fan; what is no saving stands before them."""


def main() -> None:
    asked = _arguments()
    off = frozenset(asked.off.split(",")) - {""}
    houses = random_houses(asked.houses, asked.seed)
    stored = not off and asked.seed == SEED and asked.houses <= HOUSES and not asked.live
    names = {h.name for h in houses}
    switched_houses: list[RefHouse] = [switched(h, off) for h in houses]
    results = (
        {k: v for k, v in read().items() if k[0] in names}
        if stored
        else work_out(switched_houses, off)
    )
    found = list(pairs(switched_houses, results, off, same_air=asked.same_air))
    if asked.list:
        _print_each([p for p in found if asked.list in p.kind])
    _print_table(found)


def _arguments() -> argparse.Namespace:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--houses", type=int, default=HOUSES, help="how many, from the first")
    asked.add_argument("--seed", type=int, default=SEED, help="another seed is worked out now")
    asked.add_argument(
        "--off", default="", help=f"mechanisms left out of both: {', '.join(SWITCHES)}"
    )
    asked.add_argument(
        "--same-air",
        action="store_true",
        help="set the product's reading so that natural air agrees",
    )
    asked.add_argument("--list", default="", help="print each house for kinds that hold this text")
    asked.add_argument(
        "--live", action="store_true", help="work the hourly houses out now, not from the store"
    )
    return asked.parse_args()


def _print_each(found: list[Pair]) -> None:
    for p in found:
        small = " small" if p.small else ""
        print(
            f"{p.kind:38s} {p.house:24s} ours {p.ours:9.1f} hourly {p.hourly:9.1f} {p.error:+7.1%}{small}"
        )


def _print_table(found: list[Pair]) -> None:
    print(f"\n{'':38s} {'n':>4} {'small':>5} {'median':>8} {'p90':>8} {'bias':>8}   wanted")
    for kind in dict.fromkeys(p.kind for p in sorted(found, key=_order)):
        mine = [p for p in found if p.kind == kind]
        errors = np.array([p.error for p in mine])
        median, top, bias = np.median(abs(errors)), np.quantile(abs(errors), 0.9), np.median(errors)
        limit = TARGETS.get(kind, TARGETS["saving"] if kind.startswith("saving") else None)
        print(
            f"{kind:38s} {len(mine):4d} {sum(p.small for p in mine):5d} {median:8.1%} {top:8.1%} {bias:+8.1%}"
            f"   {_wanted(limit, median, top)}"
        )


def _order(p: Pair) -> tuple[int, int]:
    work = p.kind.rpartition(": ")[2]
    return (
        next((1 + n for n, group in enumerate(GROUPS) if p.kind.startswith(group)), 0),
        list(WORK).index(work) if work in WORK else 0,
    )


def _wanted(limit: tuple[float, float | None] | None, median: float, top: float) -> str:
    if limit is None:
        return ""
    reached = median <= limit[0] and (limit[1] is None or top <= limit[1])
    second = f" / {limit[1]:.0%}" if limit[1] else ""
    return f"{limit[0]:.0%}{second} {'reached' if reached else 'MISSED'}"


if __name__ == "__main__":
    main()
