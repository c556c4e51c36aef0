"""Keeps the guesses of a class on the server that runs the lesson: numbers only, few of them, gone when it stops."""

import os
from pathlib import Path

from retrofit_lab.app.shared.surroundings import GUESSES_VARIABLE

MOST_GUESSES = 400
"""Guesses that one lesson takes; later ones are not kept."""
LONGEST_LINE = 16


class GuessBox:
    """Guesses of one lesson in a folder that the server makes and throws away; without a folder nothing is kept.

    A line of the file is one number. Who guessed, when, and from where is never written.
    """

    def __init__(self, lesson: int, folder: str | Path | None = None) -> None:
        self.path = Path(folder) / f"lesson_{lesson}.txt" if folder else None

    @property
    def open(self) -> bool:
        """Whether guesses are collected here."""
        return self.path is not None

    def drop(self, guess: float) -> bool:
        """Keep a guess; False when nothing is collected or the box is full."""
        if self.path is None or self._size() >= MOST_GUESSES * LONGEST_LINE:
            return False
        line = f"{guess:.6g}\n".encode("ascii")
        handle = os.open(self.path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
        try:
            os.write(handle, line.rjust(LONGEST_LINE))
        finally:
            os.close(handle)
        return True

    def guesses(self) -> tuple[float, ...]:
        """All guesses so far, in no order that matters."""
        if self.path is None or not self.path.is_file():
            return ()
        with self.path.open("rb") as file:
            text = file.read(MOST_GUESSES * LONGEST_LINE).decode("ascii", errors="replace")
        return tuple(value for value in map(_number, text.splitlines()) if value is not None)

    def empty(self) -> None:
        """Forget all guesses, for the next class."""
        if self.path is not None:
            self.path.unlink(missing_ok=True)

    def _size(self) -> int:
        return self.path.stat().st_size if self.path and self.path.is_file() else 0


def class_box(lesson: int) -> GuessBox:
    """Box of the server that runs this page; closed where no server says where guesses go."""
    return GuessBox(lesson, os.environ.get(GUESSES_VARIABLE) or None)


def _number(line: str) -> float | None:
    try:
        return float(line)
    except ValueError:
        return None
