"""Memory of a long table of houses, at one row and at a later one: ``python tests/portfolio/memory.py [--cluster]``.

Every process that works is counted, on this machine or on a Dask cluster that is started here. The houses differ in size,
kind and place, so that whatever is kept of a house would be seen. Two thousand houses take about ten minutes.
"""

import argparse
import csv
import gc
import itertools
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import psutil

from retrofit_lab.house.first_answers import questions
from retrofit_lab.portfolio.answer import Question
from retrofit_lab.portfolio.engines import cluster, processes
from retrofit_lab.portfolio.run import study_portfolio
from retrofit_lab.portfolio.table import read_table

MEASURES = ("attic_insulation", "night_setback")
PLACES = ("greensboro_nc", "55401", "33101", "80202", "97201")
WIDTHS = range(20, 40)


def written(path: Path, count: int) -> Path:
    """A table of houses, no two of them alike before all sizes, foundations and places were taken."""
    kinds = next(row["options"] for row in questions() if row["key"] == "foundation")
    every = itertools.cycle(itertools.product(WIDTHS, kinds, PLACES))
    with path.open("w", newline="", encoding="utf-8") as file:
        table = csv.writer(file)
        table.writerow(("name", "climate", "width", "foundation"))
        for number, (width, kind, place) in enumerate(itertools.islice(every, count)):
            table.writerow((f"Elm {number}", place, width, kind))
    return path


def held() -> float:
    """What this process and all that it started hold of memory for themselves. [MB]"""
    gc.collect()
    own = psutil.Process()
    return sum(one.memory_full_info().uss for one in (own, *own.children(recursive=True))) / 1e6


def memory_at(
    rows: tuple[int, ...], *, on_cluster: bool, cores: int
) -> Iterator[tuple[int, float]]:
    """Rows that are done and what is held then. [MB]"""
    engine = cluster(count=cores) if on_cluster else processes(cores)
    with TemporaryDirectory() as folder:
        table = read_table(written(Path(folder) / "table.csv", max(rows)))
        results = study_portfolio(table, Question(measures=MEASURES), engine)
        for done, result in enumerate(results, 1):
            if result.answer is None:
                raise SystemExit(f"{result.name}: {result.error}")
            if done in rows[:-1] or done == rows[-1] - cores:
                yield done, held()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cluster", action="store_true")
    parser.add_argument("--rows", type=int, nargs="+", default=[200, 2000])
    parser.add_argument("--cores", type=int, default=2)
    chosen = parser.parse_args()
    first = None
    for done, memory in memory_at(
        tuple(chosen.rows), on_cluster=chosen.cluster, cores=chosen.cores
    ):
        first = first or memory
        print(f"{done} houses: {memory:.1f} MB ({memory - first:+.1f})", flush=True)


if __name__ == "__main__":
    main()
