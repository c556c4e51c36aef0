"""What one student has guessed, opened, tried and answered, as traits; no widget and no wording."""

from collections.abc import Mapping
from typing import Any

import traitlets

from retrofit_lab.classroom.lesson_numbers import LessonNumbers
from retrofit_lab.classroom.lessons import Lesson, hand_question, lesson_numbers, start_values
from retrofit_lab.classroom.marking import Mark, mark
from retrofit_lab.presentation.classroom.guess_box import GuessBox

TRIES = 3
"""Answers after which the way is shown."""


class LessonState(traitlets.HasTraits):
    """One walk through one lesson; the first guess stays."""

    guess = traitlets.Float(None, allow_none=True)
    revealed = traitlets.Bool(False)
    values = traitlets.Dict()
    tries = traitlets.Int(0)
    mark = traitlets.Instance(Mark, allow_none=True)

    def __init__(self, lesson: Lesson, box: GuessBox, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.lesson = lesson
        self.box = box
        self.numbers: LessonNumbers = lesson_numbers(lesson)
        self.values = start_values(lesson)

    def take_guess(self, guess: Any) -> bool:
        """Record a guess and open the reveal; False when it is no number within the bounds."""
        if not self.usable_guess(guess):
            return False
        if not self.revealed:
            self.guess = float(guess)
            self.box.drop(self.guess)
            self.revealed = True
        return True

    def usable_guess(self, guess: Any) -> bool:
        """Whether something that a page sent is a number that can be guessed."""
        if isinstance(guess, bool) or not isinstance(guess, int | float):
            return False
        return self.lesson.predict.low <= guess <= self.lesson.predict.high

    def open_without_guess(self) -> None:
        """Open the reveal for somebody who watches, such as the trainer."""
        self.revealed = True

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
