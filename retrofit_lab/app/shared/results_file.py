"""A table of results that grows row by row, outlives an interruption and is whole in the end; no row is made here."""

import hashlib
import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

from retrofit_lab.app.shared.output_file import write_output
from retrofit_lab.app.shared.spreadsheet import Cell, csv_text
from retrofit_lab.base.values import InputError
from retrofit_lab.texts.english_only import sentence

SUFFIX = ".part"
NOTE = "# answers to "


class ResultsError(InputError):
    """A file of results that cannot be written or gone on with."""


def fingerprint(*parts: bytes | str) -> str:
    """Short text that tells one question from another."""
    whole = hashlib.sha256()
    for part in parts:
        whole.update(part.encode() if isinstance(part, str) else part)
        whole.update(b"\0")
    return whole.hexdigest()[:16]


class ResultsFile:
    """Results on their way into a CSV file.

    Rows go into a file beside it, named with `SUFFIX`, each written out at once. Where such a file of the
    same question is there already, what is in it counts as done. The file itself appears when all is in.

    Parameters
    ----------
    path : Path
        File to write in the end.
    heads : sequence of str
        Columns.
    question : str
        From `fingerprint`: whatever the answers depend on.

    Raises
    ------
    ResultsError
        When nothing can be written there, or when what lies there answers another question.
    """

    def __init__(self, path: Path, heads: Sequence[str], question: str) -> None:
        self.path, self.part = path, path.with_name(path.name + SUFFIX)
        self._first = f"{NOTE}{question}\r\n" + csv_text(heads, [])
        try:
            if path.is_dir():
                raise ResultsError(sentence("shared_results_file.folder_name", path=path))
            self._file = self.part.open("a+b")
            self.done = self._found()
        except OSError as error:
            raise ResultsError(
                sentence("shared_results_file.cannot_written", path=path, why=error.strerror)
            ) from error

    def _found(self) -> int:
        """Whole rows that are there already; a row that was cut off is taken out."""
        self._file.seek(0)
        lines = self._file.read().splitlines(keepends=True)
        whole = [line for line in lines if line.endswith(b"\r\n")]
        first = self._first.encode().splitlines(keepends=True)
        if whole[: len(first)] != first:
            if len(whole) >= len(first):
                self._file.close()
                raise ResultsError(sentence("shared_results_file.holds_answers", part=self.part))
            whole = []
        self._file.truncate(sum(map(len, whole)))
        if not whole:
            self._write(self._first)
            return 0
        return len(whole) - len(first)

    def add(self, rows: Iterable[Sequence[Cell]]) -> None:
        """Write rows out at once.

        Raises
        ------
        ResultsError
            When the disk does not take them; what was written before stays.
        """
        for row in rows:
            # the writer of a whole table also writes its heads; a row is what follows them
            self._write(csv_text((), [row]).removeprefix("\r\n"))

    def _write(self, text: str) -> None:
        try:
            self._file.write(text.encode())
            self._file.flush()
            os.fsync(self._file.fileno())
        except OSError as error:
            raise ResultsError(
                sentence(
                    "shared_results_file.cannot_written_on", part=self.part, why=error.strerror
                )
            ) from error

    def finish(self) -> None:
        """Put the whole table in its place."""
        self._file.seek(0)
        self._file.readline()
        write_output(self.path, self._file.read())
        self._file.close()
        self.part.unlink()

    def __enter__(self) -> Self:
        """Go on with it."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Leave what is written for the next time."""
        self._file.close()
