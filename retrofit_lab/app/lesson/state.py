"""What one student has guessed, opened, tried and answered, as traits; no widget and no wording."""

from collections.abc import Mapping
from functools import cached_property
from typing import Any

import traitlets

from retrofit_lab.app.lesson.guess_box import SECOND, GuessBox
from retrofit_lab.classroom.lesson_houses import LessonHouse
from retrofit_lab.classroom.lesson_numbers import LessonNumbers
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lesson_units import US_SYSTEM
from retrofit_lab.classroom.lessons import (
    Lesson,
    fitted,
    lesson_numbers,
    reveal_facts,
    start_values,
)
from retrofit_lab.classroom.marking import Mark, mark
from retrofit_lab.texts import LANGUAGES

TRIES = 3
"""Answers after which the way is shown."""
NEAR_ENOUGH = 1.25
"""A puzzle is solved when its number has come so near to the best one. [1]"""


class LessonState(traitlets.HasTraits):
    """One walk through one lesson; the first guess stays. All numbers are in the units of the trade.

    ``trainer`` is whoever proved to be the trainer of the class, or works alone where no class is served.
    ``opened`` is what comes right after the guesses, ``revealed`` the answer; a puzzle lies between the two.
    """

    guess = traitlets.Float(None, allow_none=True)
    second = traitlets.Float(None, allow_none=True)
    opened = traitlets.Bool(False)
    revealed = traitlets.Bool(False)
    trainer = traitlets.Bool(False)
    values = traitlets.Dict()
    tries = traitlets.Int(0)
    mark = traitlets.Instance(Mark, allow_none=True)
    language = traitlets.Unicode(LANGUAGES[0])
    system = traitlets.Unicode(US_SYSTEM)

    def __init__(
        self, lesson: Lesson, box: GuessBox, where: LessonHouse | None = None, **kwargs: Any
    ) -> None:
        super().__init__(**kwargs)
        self.lesson = lesson = fitted(lesson, where)
        self.box = box
        self.voter = ""
        self.class_name = box.stage.name
        self.where = where
        self.numbers: LessonNumbers = lesson_numbers(lesson, None, where)
        self.trainer = not box.open
        self._start()

    def _start(self) -> None:
        """Begin with the house as it is and nothing tried."""
        self.values = start_values(self.lesson, self.where)
        self.explored = self.before_last = self.numbers
        self.mark, self.tries = None, 0

    @property
    def told(self) -> LessonTexts:
        """Words of the lesson in the chosen language and units."""
        return LessonTexts(self.lesson, self.language, self.system)

    @cached_property
    def revealed_facts(self) -> Mapping[str, float]:
        """Facts that only the reveal tells."""
        return reveal_facts(self.lesson, self.where)

    def take_guess(self, guess: Any) -> bool:
        """Record a guess, and open what follows unless the trainer holds it; False when it cannot be one."""
        if not self.usable_guess(guess):
            return False
        stage = self.box.stage
        if self.guess is None:
            self.guess = float(guess)
            self.box.drop(float(guess), self.voter)
        elif stage.round == SECOND and self.second is None and not self.opened:
            self.second = float(guess)
            self.box.drop(float(guess), self.voter, SECOND)
        if not stage.held:
            self._open()
        return True

    def meet(self, voter: str) -> None:
        """Know a browser again: what it guessed before the page was loaded again, or in another tab, stays."""
        self.voter = voter
        self.follow()

    def follow(self) -> bool:
        """Go on with the class, to the answer or to a new class; whether a new class has begun."""
        stage = self.box.stage
        anew = stage.name != self.class_name
        self.class_name = stage.name
        if anew:
            self.guess = self.second = None
            self.opened = self.revealed = False
            self._start()
        if self.guess is None:
            self.guess = self.box.guess_of(self.voter)
            self.second = self.box.guess_of(self.voter, SECOND)
        if self.guess is not None and not stage.held:
            self._open()
        return anew

    def usable_guess(self, guess: Any) -> bool:
        """Whether something that a page sent is a number that can be guessed."""
        if isinstance(guess, bool) or not isinstance(guess, int | float):
            return False
        return self.lesson.guess.low <= guess <= self.lesson.guess.high

    def open_without_guess(self) -> bool:
        """Open everything for the trainer; False for anyone else."""
        if self.trainer:
            self._open()
        return self.trainer

    def open_answer(self) -> None:
        """Open the answer of a puzzle that was looked at, solved or not."""
        self.revealed = self.revealed or self.opened

    def _open(self) -> None:
        self.opened = True
        self.revealed = self.revealed or not self.lesson.puzzle

    def explore(self, values: Mapping[str, float]) -> None:
        """Work out the house with other values in the boxes; a puzzle that is solved opens its answer.

        Raises
        ------
        InputError
            When the house cannot be changed so.
        """
        numbers = lesson_numbers(self.lesson, values, self.where)
        self.before_last, self.explored = self.explored, numbers
        self.values = dict(values)
        lesson, facts = self.lesson, numbers.facts
        if lesson.puzzle and facts[lesson.puzzle] <= NEAR_ENOUGH * facts[lesson.best]:
            self.open_answer()

    def answer(self, text: str) -> Mark:
        """Mark an answer to the question that is worked out by hand."""
        self.tries += 1
        self.mark = mark(self.told.question(self.numbers), text, self.language)
        return self.mark

    @property
    def way_is_open(self) -> bool:
        """Whether the hand calculation is shown: after the right answer, or after enough tries."""
        return self.mark is not None and (self.mark.right or self.tries >= TRIES)
