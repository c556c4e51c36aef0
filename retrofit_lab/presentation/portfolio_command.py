"""The ``portfolio`` subcommand: a table of houses in, a table of results out, with progress on the way."""

import argparse
import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from retrofit_lab.portfolio.answer import Answer, Question, RowResult
from retrofit_lab.portfolio.engines import LOCAL, Engine, cluster, processes
from retrofit_lab.portfolio.run import study_portfolio
from retrofit_lab.portfolio.table import read_table
from retrofit_lab.presentation.report.command import write_whole
from retrofit_lab.presentation.spreadsheet import Cell, csv_text
from retrofit_lab.reference_data import data_path
from retrofit_lab.stacks.choosing import Limits

HEADS = (
    "line",
    "house",
    "bills_before_dollars_per_year",
    "best_set",
    "saving_dollars_per_year",
    "cost_low_dollars",
    "cost_likely_dollars",
    "cost_high_dollars",
    "payback_years",
    "savings_to_investment_ratio",
    "net_savings_dollars",
    "CO2_before_kg_per_year",
    "CO2_saved_kg_per_year",
    "cautions",
    "measures_that_apply",
    "every_set_looked_at",
    "error",
)


def add_portfolio(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command."""
    portfolio = commands.add_parser("portfolio", help="find the best set for each house of a table")
    portfolio.add_argument(
        "table",
        nargs="?",
        type=Path,
        default=data_path("tables", "mill_row.csv"),
        help="CSV with a row a house; an example by default",
    )
    portfolio.add_argument(
        "--budget", type=float, default=float("inf"), help="most to spend on a house, in dollars"
    )
    portfolio.add_argument(
        "--measures", default="", help="measures to consider, joined by commas; all by default"
    )
    portfolio.add_argument("--out", type=Path, default=Path("results.csv"), help="file to write")
    portfolio.add_argument("--cores", type=int, help="processes at a time; one a core by default")
    portfolio.add_argument(
        "--cluster",
        nargs="?",
        const=LOCAL,
        help="work on a Dask cluster: its scheduler's address, or nothing to start one here",
    )
    portfolio.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> int:
    keys = (key.strip() for key in options.measures.split(","))
    question = Question(
        limits=Limits(budget=options.budget), measures=tuple(key for key in keys if key)
    )
    rows = read_table(options.table)
    results = study_portfolio(rows, question, _engine(options), _say_progress)
    write_whole(options.out, csv_text(HEADS, [_row(result) for result in results]))
    _say(_summary(results, options.out))
    return 0


def _engine(options: argparse.Namespace) -> Engine:
    if options.cluster is not None:
        return cluster(options.cluster, options.cores)
    return processes(options.cores)


def _row(result: RowResult) -> tuple[Cell, ...]:
    answer = result.answer
    middle = _answered(answer) if answer else (None,) * (len(HEADS) - 3)
    return (result.line, result.name, *middle, result.error)


def _answered(answer: Answer) -> tuple[Cell, ...]:
    return (
        answer.before,
        "; ".join(answer.best),
        answer.saving,
        answer.cost.low,
        answer.cost.likely,
        answer.cost.high,
        answer.payback,
        answer.sir,
        answer.net_savings,
        answer.co2_before,
        answer.co2_saved,
        len(answer.cautions),
        answer.measures,
        "yes" if answer.exact else "no",
    )


def _summary(results: Sequence[RowResult], out: Path) -> str:
    answers = [result.answer for result in results if result.answer]
    wrong = len(results) - len(answers)
    told = f"; {wrong} could not be worked out, see the last column" if wrong else ""
    return (
        f"{len(answers)} houses: {sum(a.saving for a in answers):,.0f} dollars a year saved for "
        f"{sum(a.cost.likely for a in answers):,.0f} dollars{told}. Written to {out}."
    )


_say = partial(print, flush=True)


def _say_progress(done: int, of: int) -> None:
    _say(f"{done} of {of} houses", file=sys.stderr)
