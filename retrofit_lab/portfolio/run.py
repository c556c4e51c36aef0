"""The one call for a table of houses: rows in, a result a row out, in their order; nothing is kept or written here."""

from collections.abc import Generator, Iterable
from functools import partial

from retrofit_lab.portfolio.answer import Question, RowResult, answer_row
from retrofit_lab.portfolio.engines import Engine, processes
from retrofit_lab.portfolio.table import TableRow
from retrofit_lab.texts.english_only import sentence


def study_portfolio(
    rows: Iterable[TableRow], question: Question | None = None, engine: Engine | None = None
) -> Generator[RowResult]:
    """The same study over every row of a table, a result as soon as it and all before it are done.

    Parameters
    ----------
    rows : iterable of TableRow
        From `retrofit_lab.portfolio.table.read_table`; read as they are needed.
    question : Question, optional
        Limits, aim, terms and measures; by default no limits and the whole catalog.
    engine : Engine, optional
        Who works; by default a process on each core of this machine.

    Yields
    ------
    RowResult
        In the order of the rows. A row with an error says so in a sentence.

    Raises
    ------
    EngineError
        When the engine cannot be started.
    """
    work = partial(answer_row, question or Question())
    waiting: dict[int, RowResult] = {}
    following = 0
    for place, result in (engine or processes())(work, rows, _not_done):
        waiting[place] = result
        while following in waiting:
            yield waiting.pop(following)
            following += 1


def _not_done(row: TableRow, why: str) -> RowResult:
    return RowResult(
        line=row.line, name=row.name, error=sentence("portfolio_run.house_was", why=why)
    )
