"""What one student has guessed, opened, tried and answered, as traits; no widget and no wording."""

from collections.abc import Mapping
from typing import Any

import traitlets

from retrofit_lab.app.lesson.guess_box import SECOND, GuessBox
from retrofit_lab.classroom.lesson_numbers import LessonNumbers
from retrofit_lab.classroom.lessons import Lesson, hand_question, lesson_numbers, start_values
from retrofit_lab.classroom.marking import Mark, mark

TRIES = 3
"""Answers after which the way is shown."""


class LessonState(traitlets.HasTraits):
    """One walk through one lesson; the first guess stays.

    ``trainer`` is whoever proved to be the trainer of the class, or works alone where no class is served.
    """

    guess = traitlets.Float(None, allow_none=True)
    second = traitlets.Float(None, allow_none=True)
    revealed = traitlets.Bool(False)
    trainer = traitlets.Bool(False)
    values = traitlets.Dict()
    tries = traitlets.Int(0)
    mark = traitlets.Instance(Mark, allow_none=True)

    def __init__(self, lesson: Lesson, box: GuessBox, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.lesson = lesson
        self.box = box
        self.voter = ""
        self.class_name = box.stage.name
        self.numbers: LessonNumbers = lesson_numbers(lesson)
        self.values = start_values(lesson)
        self.trainer = not box.open

    def take_guess(self, guess: Any) -> bool:
        """Record a guess, and open the reveal unless the trainer holds it; False when it cannot be one."""
        if not self.usable_guess(guess):
            return False
        stage = self.box.stage
        if self.guess is None:
            self.guess = float(guess)
            self.box.drop(float(guess), self.voter)
        elif stage.round == SECOND and self.second is None and not self.revealed:
            self.second = float(guess)
            self.box.drop(float(guess), self.voter, SECOND)
        self.revealed = self.revealed or not stage.held
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
            self.guess = self.second = self.mark = None
            self.revealed, self.tries = False, 0
            self.values = start_values(self.lesson)
        if self.guess is None:
            self.guess = self.box.guess_of(self.voter)
            self.second = self.box.guess_of(self.voter, SECOND)
        self.revealed = self.revealed or (self.guess is not None and not stage.held)
        return anew

    def usable_guess(self, guess: Any) -> bool:
        """Whether something that a page sent is a number that can be guessed."""
        if isinstance(guess, bool) or not isinstance(guess, int | float):
            return False
        return self.lesson.predict.low <= guess <= self.lesson.predict.high

    def open_without_guess(self) -> bool:
        """Open the reveal for the trainer; False for anybody else."""
        self.revealed = self.revealed or self.trainer
        return self.trainer

    def explore(self, values: Mapping[str, float]) -> LessonNumbers:
        """Numbers of the house with other values in the boxes.

        Raises
        ------
        InputError
            When the house cannot be changed so.
        """
        numbers = lesson_numbers(self.lesson, values)
        self.values = dict(values)
        return numbers

    def answer(self, text: str) -> Mark:
        """Mark an answer to the question that is worked out by hand."""
        self.tries += 1
        self.mark = mark(hand_question(self.lesson, self.numbers), text)
        return self.mark

    @property
    def way_is_open(self) -> bool:
        """Whether the hand calculation is shown: after the right answer, or after enough tries."""
        return self.mark is not None and (self.mark.right or self.tries >= TRIES)
