"""How many answers a good plan needs: python tests/walkthrough/enough.py [--houses 100] [--seed 1]

Prints the curve: with so many answers, the share of drawn houses in which the plan loses at most 3 % of the net
savings of the plan of the full record, and how much is lost at the median and on average.
"""

import argparse
import sys
import time
from pathlib import Path
from statistics import mean, median

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE), str(HERE.parents[1])]

from drawn_walks import MOST_ANSWERS, ROUND, WITHIN, Walked, walk  # noqa: E402
from houses.fifteen_houses import houses  # noqa: E402


def curve(walks: list[Walked]) -> str:
    """A line for each number of answers."""
    lines = ["answers   within 3 %   lost: median   mean   worst"]
    for most in range(0, MOST_ANSWERS + 1, ROUND):
        lost = [one.lost(most) for one in walks]
        good = sum(share <= WITHIN for share in lost)
        lines.append(
            f"{most:7d}   {good:4d} of {len(walks):3d}   {median(lost):12.1%}   {mean(lost):4.1%}   {max(lost):5.1%}"
        )
    given = [one.answers[-1] for one in walks]
    whole = [one.asked_in_all for one in walks]
    lines.append(f"asked until it was enough: {mean(given):.0f} on average, of {mean(whole):.0f}")
    return "\n".join(lines)


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--houses", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    names, start, done = list(houses()), time.perf_counter(), []
    for number in range(options.houses):
        done.append(walk(names[number % len(names)], options.seed * 1000 + number))
        last = done[-1]
        print(
            last.name,
            last.answers,
            [f"{last.lost(n):.1%}" for n in last.answers],
            f"{last.full:,.0f}",
            flush=True,
        )
    print(curve(done))
    print(f"{len(done)} houses in {time.perf_counter() - start:.0f} s")
