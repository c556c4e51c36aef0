"""Marks answers with partial credit and says which idea went wrong; questions are data, pages are elsewhere."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from retrofit_lab.classroom.typed_numbers import UnclearError, typed_readings
from retrofit_lab.texts import LANGUAGES, catalog

MOST_LETTERS = 200
FULL, CLOSE, SLIPPED = 1.0, 0.75, 0.5
"""Credit for a right answer, for a right way with a slip of the pen, and for a known wrong idea."""
NEAR = 4.0
"""Within so many allowed differences an answer counts as worked out in the right way."""
SHIFTS = (1000.0, 100.0, 10.0, 0.1, 0.01, 0.001)
SLIP_WITHIN = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A wrong answer that a known wrong idea leads to, and a sentence on that idea."""

    value: float
    idea: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberQuestion:
    """A number to be worked out by hand.

    The allowed difference is ``within`` as a share of the answer, or ``least`` in its unit, whichever is more: a
    temperature near zero has no share of itself to spare.
    """

    key: str
    text: str
    unit: str
    answer: float
    within: float
    way: str
    slips: tuple[Slip, ...] = ()
    points: float = 2.0
    least: float = 0.0

    def allowed(self, target: float, within: float) -> float:
        """How far an answer may lie from a number."""
        return max(within * abs(target), self.least)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceQuestion:
    """Letters to be chosen; ``why`` says for each letter why it is right or wrong."""

    key: str
    text: str
    options: Mapping[str, str]
    right: frozenset[str]
    why: Mapping[str, str] = field(default_factory=dict)
    points: float = 2.0


Question = NumberQuestion | ChoiceQuestion


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What one answer earned, and what to say about it."""

    key: str
    points: float
    most: float
    sentence: str

    @property
    def right(self) -> bool:
        """Whether everything was earned."""
        return self.points >= self.most


def mark(question: Question, given: str | float, language: str = LANGUAGES[0]) -> Mark:
    """Mark one answer as it was typed."""
    text, said = str(given).strip()[:MOST_LETTERS], catalog(language, "lessons")["mark"]
    if isinstance(question, NumberQuestion):
        share, sentence = _number_mark(question, text, said)
    else:
        share, sentence = _choice_mark(question, text, said)
    return Mark(
        key=question.key,
        points=share * question.points,
        most=question.points,
        sentence=sentence,
    )


def mark_all(
    questions: Iterable[Question], answers: Mapping[str, str], language: str = LANGUAGES[0]
) -> tuple[Mark, ...]:
    """Mark a whole sheet; a question without an answer earns nothing."""
    return tuple(mark(question, answers.get(question.key, ""), language) for question in questions)


def chosen_letters(question: ChoiceQuestion, given: str) -> frozenset[str]:
    """Letters of a question that an answer names."""
    return frozenset(_letters(given.strip()[:MOST_LETTERS]) & question.options.keys())


def _number_mark(question: NumberQuestion, text: str, said: Mapping[str, str]) -> tuple[float, str]:
    try:
        values = typed_readings(text)
    except UnclearError:
        return 0.0, said["two_numbers"]
    if not values:
        return 0.0, said["no_number"].format(way=question.way)
    marks = [_mark_of_value(question, value, said) for value in values]
    return max(marks, key=lambda found: found[0])


def _mark_of_value(
    question: NumberQuestion, value: float, said: Mapping[str, str]
) -> tuple[float, str]:
    for share, sentence, target, allowed in _readings(question, value, said):
        if abs(value - target) <= allowed + 1e-9:
            return share, sentence
    return 0.0, said["not_yet"].format(way=question.way)


def _readings(
    question: NumberQuestion, value: float, said: Mapping[str, str]
) -> Iterator[tuple[float, str, float, float]]:
    """Credit, sentence, number and allowed difference of everything an answer may be, the best first.

    A known wrong idea comes before "look at your rounding": whoever is as near to it as to the answer hears of the
    idea.
    """
    answer, within = question.answer, question.within
    yield FULL, said["right"], answer, question.allowed(answer, within)
    known = min(within, SLIP_WITHIN)
    for slip in sorted(question.slips, key=lambda slip: abs(slip.value - value)):
        allowed = max(known, 0.01) * abs(slip.value)
        nearer = abs(value - slip.value) < abs(value - answer)
        yield SLIPPED, slip.idea, slip.value, max(allowed, question.least) if nearer else 0.0
    yield CLOSE, said["rounding"], answer, NEAR * question.allowed(answer, within)
    yield SLIPPED, said["sign"], -answer, question.allowed(answer, within)
    for shift in SHIFTS:
        yield SLIPPED, said["point"], answer * shift, within * abs(answer * shift)


def _choice_mark(question: ChoiceQuestion, text: str, said: Mapping[str, str]) -> tuple[float, str]:
    """Share of the right ones less share of the wrong ones: naming all of them earns nothing."""
    named = chosen_letters(question, text)
    if not named:
        return 0.0, said["letters"].format(letters=", ".join(question.options))
    hits, wrong = named & question.right, named - question.right
    share = len(hits) / len(question.right)
    share -= len(wrong) / max(len(question.options) - len(question.right), 1)
    missed = question.right - named
    if not wrong and not missed:
        return FULL, said["right"]
    told = [
        said[name].format(letter=letter, why=question.why.get(letter, ""))
        for name, letters in (("wrong_letter", wrong), ("missing_letter", missed))
        for letter in sorted(letters)
    ]
    return max(share, 0.0), " ".join(part.strip() for part in told)


def _letters(text: str) -> set[str]:
    """Letters as people write them: ``A, C``, ``a and c`` or ``AC``."""
    words = re.findall(r"[A-Za-z]+", text)
    if len(words) == 1 and words[0].isupper():
        return set(words[0])
    return {word.upper() for word in words if len(word) == 1}
