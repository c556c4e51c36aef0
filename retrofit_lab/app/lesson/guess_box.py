"""Keeps the guesses of a class and how far the class is, in the folder of its server: numbers only, and few of them."""

import json
import os
import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from retrofit_lab.app.shared.surroundings import GUESSES_VARIABLE
from retrofit_lab.base.atomic_write import write_whole

MOST_GUESSES = 400
"""Guesses that one lesson takes; later ones are not kept."""
LINE = 40
FIRST, SECOND = 1, 2
"""The round before the class has talked, and the one after."""
STAGES = ("open", "first", "second", "answer")
"""How far a class is: each guess opens the answer; first guesses are held; second ones too; all may look."""
_VOTER = re.compile(r"[0-9a-f]{8,32}")
_LETTERS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """How far the class is, and which class it is: another one has another name, and no guess of it counts."""

    name: str = ""
    stage: str = STAGES[0]

    @property
    def held(self) -> bool:
        """Whether a guess waits for the trainer."""
        return self.stage in ("first", "second")

    @property
    def round(self) -> int:
        """The round in which a guess would count now."""
        return SECOND if self.stage == "second" else FIRST


class GuessBox:
    """Guesses of one lesson in a folder that the server names; without a folder nothing is kept.

    A line of the file is the round, a name that a browser drew by chance, and one number. Who guessed, when, and
    from where is never written. Each browser counts once a round, by its first guess.
    """

    def __init__(self, lesson: int, folder: str | Path | None = None) -> None:
        self.path = Path(folder) / f"lesson_{lesson}.txt" if folder else None

    @property
    def open(self) -> bool:
        """Whether guesses are collected here."""
        return self.path is not None

    def drop(self, guess: float, voter: str = "", round: int = FIRST) -> bool:
        """Keep a guess; False when nothing is collected, the box is full, or this browser has guessed."""
        if self.path is None or self._size() >= MOST_GUESSES * LINE:
            return False
        if voter and self.guess_of(voter, round) is not None:
            return False
        line = f"{round} {voter[:_LETTERS] or '-'} {guess:.6g}\n".encode("ascii")
        handle = os.open(self.path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
        try:
            os.write(handle, line.rjust(LINE))
        finally:
            os.close(handle)
        return True

    def guesses(self, round: int = FIRST) -> tuple[float, ...]:
        """All guesses of a round so far, in no order that matters."""
        known: dict[str, float] = {}
        for place, (which, voter, guess) in enumerate(self._lines()):
            if which == round:
                known.setdefault(f"- {place}" if voter == "-" else voter, guess)
        return tuple(known.values())

    def guess_of(self, voter: str, round: int = FIRST) -> float | None:
        """What a browser guessed in a round."""
        mine = voter[:_LETTERS]
        found = (guess for which, who, guess in self._lines() if (which, who) == (round, mine))
        return next(found, None) if mine else None

    def empty(self) -> None:
        """Forget all guesses, for the next class; open pages see by its new name that theirs is gone."""
        if self.path is not None:
            self.path.unlink(missing_ok=True)
            self._write(Stage(name=secrets.token_hex(4)))

    @property
    def stage(self) -> Stage:
        """How far the class is."""
        try:
            kept = json.loads(self._stage_path().read_text(encoding="ascii"))
            name, stage = kept["name"], kept["stage"]
        except (OSError, ValueError, TypeError, KeyError):
            return Stage()
        return Stage(name=str(name), stage=stage if stage in STAGES else STAGES[0])

    def go_to(self, stage: str) -> None:
        """Bring the class to a stage."""
        if self.path is not None and stage in STAGES:
            self._write(Stage(name=self.stage.name, stage=stage))

    def _stage_path(self) -> Path:
        return (self.path or Path(os.devnull)).with_suffix(".json")

    def _write(self, stage: Stage) -> None:
        write_whole(self._stage_path(), json.dumps({"name": stage.name, "stage": stage.stage}))

    def _lines(self) -> Iterator[tuple[int, str, float]]:
        if self.path is None or not self.path.is_file():
            return
        with self.path.open("rb") as file:
            text = file.read(MOST_GUESSES * LINE).decode("ascii", errors="replace")
        for line in text.splitlines():
            try:
                which, voter, guess = line.split()
                yield int(which), voter, float(guess)
            except ValueError:
                continue

    def _size(self) -> int:
        return self.path.stat().st_size if self.path and self.path.is_file() else 0


def class_box(lesson: int) -> GuessBox:
    """Box of the server that runs this page; closed where no server says where guesses go."""
    return GuessBox(lesson, os.environ.get(GUESSES_VARIABLE) or None)


def voter_of(sent: Any) -> str:
    """Name that a browser drew for itself; empty where it sent anything else."""
    return sent if isinstance(sent, str) and _VOTER.fullmatch(sent) else ""
