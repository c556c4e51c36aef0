"""What one student has guessed, opened, tried and answered, as traits; no widget and no wording."""

from collections.abc import Mapping
from typing import Any

import traitlets

from retrofit_lab.app.lesson.guess_box import GuessBox
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
    revealed = traitlets.Bool(False)
    trainer = traitlets.Bool(False)
    values = traitlets.Dict()
    tries = traitlets.Int(0)
    mark = traitlets.Instance(Mark, allow_none=True)

    def __init__(self, lesson: Lesson, box: GuessBox, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.lesson = lesson
        self.box = box
        self.numbers: LessonNumbers = lesson_numbers(lesson)
        self.values = start_values(lesson)
        self.trainer = not box.open

    def take_guess(self, guess: Any) -> bool:
        """Record a guess and open the reveal; False when it is no number within the bounds."""
        if not self.usable_guess(guess):
            return False
        if not self.revealed:
            self.box.drop(float(guess))
            self.guess, self.revealed = float(guess), True
        return True

    def take_again(self, guess: Any) -> bool:
        """Go on with a guess that was recorded before the page was loaded again."""
        if not self.usable_guess(guess):
            return False
        self.guess, self.revealed = float(guess), True
        return True

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
