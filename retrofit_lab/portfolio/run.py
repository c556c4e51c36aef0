"""The one call for a table of houses: rows in, a result a row out, in parts and with progress."""

from collections.abc import Callable, Sequence
from functools import partial

from retrofit_lab.portfolio.answer import Question, RowResult, answer_rows
from retrofit_lab.portfolio.engines import Engine, processes
from retrofit_lab.portfolio.table import TableRow

CHUNK = 4
"""Houses worked out before a process reports back: a few seconds of work."""


def study_portfolio(
    rows: Sequence[TableRow],
    question: Question | None = None,
    engine: Engine | None = None,
    progress: Callable[[int, int], None] | None = None,
    chunk: int = CHUNK,
) -> tuple[RowResult, ...]:
    """The same study over every row of a table.

    Parameters
    ----------
    rows : sequence of TableRow
        From `retrofit_lab.portfolio.table.read_table`.
    question : Question, optional
        Limits, terms and measures; by default no limits and the whole catalogue.
    engine : Engine, optional
        Who works; by default a process on each core of this machine.
    progress : callable, optional
        Called with the number of rows done and of all rows, as parts are done.
    chunk : int
        Rows that one process works out at a time.

    Returns
    -------
    tuple of RowResult
        In the order of the rows. A row with an error says so in a sentence.

    Raises
    ------
    EngineError
        When the engine cannot be started or stops.
    """
    parts = [rows[start : start + chunk] for start in range(0, len(rows), chunk)]
    work = partial(answer_rows, question or Question())
    found: dict[int, tuple[RowResult, ...]] = {}
    done = 0
    for place, results in (engine or processes())(work, parts) if parts else ():
        found[place] = results
        done += len(results)
        if progress:
            progress(done, len(rows))
    return tuple(result for place in sorted(found) for result in found[place])
