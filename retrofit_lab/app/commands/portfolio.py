"""The ``portfolio`` subcommand: a table of houses in, a table of results out, with progress on the way."""

import argparse
import sys
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from itertools import islice
from pathlib import Path

from retrofit_lab import __version__
from retrofit_lab.app.shared.ending import stopped_by_signals
from retrofit_lab.app.shared.results_file import ResultsFile, fingerprint
from retrofit_lab.app.shared.spreadsheet import Cell
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.portfolio.answer import Answer, Question, RowResult
from retrofit_lab.portfolio.engines import LOCAL, Engine, cluster, processes
from retrofit_lab.portfolio.run import study_portfolio
from retrofit_lab.portfolio.table import HouseTable, read_table
from retrofit_lab.savings.choosing import AIMS, Limits
from retrofit_lab.study.opening import prices_and_terms
from retrofit_lab.texts.english_only import sentence

STOPPED = 130
"""Exit code of a command that was interrupted."""
HEADS = (
    "line",
    "house",
    "bills_before_dollars_per_year",
    "best_plan",
    "saving_dollars_per_year",
    "saving_low_dollars_per_year",
    "saving_middle_dollars_per_year",
    "saving_high_dollars_per_year",
    "cost_low_dollars",
    "cost_likely_dollars",
    "cost_high_dollars",
    "payback_years",
    "savings_to_investment_ratio",
    "net_savings_dollars",
    "CO2_before_kg_per_year",
    "CO2_saved_kg_per_year",
    "cautions",
    "waits_for_a_hazard",
    "needed_for_health_or_the_house",
    "look_first",
    "measures_that_apply",
    "every_plan_looked_at",
    "error",
)


def add_portfolio(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command."""
    portfolio = commands.add_parser("portfolio", help=sentence("commands_portfolio.find_best"))
    portfolio.add_argument(
        "table",
        nargs="?",
        type=Path,
        default=data_path("tables", "mill_row.csv"),
        help=sentence("commands_portfolio.csv_one"),
    )
    portfolio.add_argument(
        "--budget", type=float, default=float("inf"), help=sentence("commands_portfolio.most_spend")
    )
    portfolio.add_argument(
        "--payback",
        type=float,
        default=float("inf"),
        help=sentence("commands_portfolio.longest_simple"),
    )
    portfolio.add_argument(
        "--aim",
        choices=sorted(AIMS),
        default="net_savings",
        help=sentence("commands_portfolio.what_best"),
    )
    portfolio.add_argument("--prices", type=Path, help=sentence("commands_portfolio.file_your"))
    portfolio.add_argument(
        "--measures", default="", help=sentence("commands_portfolio.measures_consider")
    )
    portfolio.add_argument("--out", type=Path, default=Path("results.csv"), help="file to write")
    portfolio.add_argument("--cores", type=int, help=sentence("commands_portfolio.processes_time"))
    portfolio.add_argument(
        "--cluster",
        nargs="?",
        const=LOCAL,
        help=sentence("commands_portfolio.work_on"),
    )
    portfolio.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> int:
    keys = (key.strip() for key in options.measures.split(","))
    question = Question(
        limits=Limits(budget=options.budget, payback=options.payback),
        aim=options.aim,
        measures=todays_keys(key for key in keys if key),
        prices=str(options.prices or ""),
    )
    prices_and_terms(question.prices)  # a wrong file is told before any work
    table = read_table(options.table)
    with ResultsFile(options.out, HEADS, _asked(question, table)) as results:
        return _answer_all(table, question, _engine(options), results)


def _asked(question: Question, table: HouseTable) -> str:
    prices = Path(question.prices).read_bytes() if question.prices else b""
    return fingerprint(table.path.read_bytes(), prices, repr(question), __version__)


def _answer_all(table: HouseTable, question: Question, engine: Engine, results: ResultsFile) -> int:
    if results.done:
        _say(
            sentence(
                "commands_portfolio.houses_already",
                done=results.done,
                count=len(table),
                part=results.part,
            ),
            file=sys.stderr,
        )
    total = Totals()
    rows = islice(table, results.done, None)
    try:
        with stopped_by_signals(), closing(study_portfolio(rows, question, engine)) as answers:
            for done, result in enumerate(answers, results.done + 1):
                results.add([_row(result)])
                total.count(result)
                _say(f"{done} of {len(table)} houses", file=sys.stderr)
    except KeyboardInterrupt:
        _say(
            sentence("commands_portfolio.stopped_what", part=results.part),
            file=sys.stderr,
        )
        return STOPPED
    results.finish()
    _say(total.told(results.path))
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
        answer.saving_range.low,
        answer.saving_range.middle,
        answer.saving_range.high,
        answer.cost.low,
        answer.cost.likely,
        answer.cost.high,
        answer.payback,
        answer.sir,
        answer.net_savings,
        answer.co2_before,
        answer.co2_saved,
        len(answer.cautions),
        "; ".join(answer.held),
        "; ".join(answer.needed),
        "; ".join(answer.guesses),
        answer.measures,
        "yes" if answer.exact else "no",
    )


@dataclass
class Totals:
    """Sums over the houses that were worked out in this run. [dollars/year, dollars]"""

    houses: int = 0
    wrong: int = 0
    saving: float = 0.0
    cost: float = 0.0

    def count(self, result: RowResult) -> None:
        """Take one more house in."""
        if result.answer is None:
            self.wrong += 1
            return
        self.houses += 1
        self.saving += result.answer.saving
        self.cost += result.answer.cost.likely

    def told(self, out: Path) -> str:
        """The sums in words."""
        wrong = (
            sentence("commands_portfolio.could_calculated", wrong=self.wrong) if self.wrong else ""
        )
        return sentence(
            "commands_portfolio.houses_dollars",
            houses=self.houses,
            saving=f"{self.saving:,.0f}",
            cost=f"{self.cost:,.0f}",
            wrong=wrong,
            out=out,
        )


_say = partial(print, flush=True)
