"""Marks answers with partial credit and says which idea went wrong; questions are data, pages are elsewhere."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from math import isfinite

MOST_LETTERS = 200
FULL, CLOSE, SLIPPED = 1.0, 0.75, 0.5
"""Credit for a right answer, for a right way with a slip of the pen, and for a known wrong idea."""
NEAR = 4.0
"""Within so many allowed differences an answer counts as worked out in the right way."""
SHIFTS = (1000.0, 100.0, 10.0, 0.1, 0.01, 0.001)
NUMBER = re.compile(r"[-+\N{MINUS SIGN}]?(\d[\d,\s]*)?(\.\d+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A wrong answer that a known wrong idea leads to, and a sentence on that idea."""

    value: float
    idea: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberQuestion:
    """A number to be worked out by hand; ``within`` is the allowed difference as a share of the answer."""

    key: str
    text: str
    unit: str
    answer: float
    within: float
    way: str
    slips: tuple[Slip, ...] = ()
    points: float = 2.0


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


def mark(question: Question, given: str | float) -> Mark:
    """Mark one answer as it was typed."""
    text = str(given).strip()[:MOST_LETTERS]
    if isinstance(question, NumberQuestion):
        share, sentence = _number_mark(question, text)
    else:
        share, sentence = _choice_mark(question, text)
    return Mark(
        key=question.key,
        points=share * question.points,
        most=question.points,
        sentence=sentence,
    )


def mark_all(questions: Iterable[Question], answers: Mapping[str, str]) -> tuple[Mark, ...]:
    """Mark a whole sheet; a question without an answer earns nothing."""
    return tuple(mark(question, answers.get(question.key, "")) for question in questions)


def read_typed_number(text: str) -> float | None:
    """The number at the start of what was typed, thousands parted by commas or blanks; None when there is none."""
    found = NUMBER.match(text.strip().lstrip("$ "))
    digits = re.sub(r"[,\s]", "", found[0]).replace("\N{MINUS SIGN}", "-") if found else ""
    try:
        value = float(digits)
    except ValueError:
        return None
    return value if isfinite(value) else None


def _number_mark(question: NumberQuestion, text: str) -> tuple[float, str]:
    value = read_typed_number(text)
    if value is None:
        return 0.0, f"There is no number here. {question.way}"
    for share, sentence, target, within in _readings(question, value):
        if _near(value, target, within):
            return share, sentence
    return 0.0, f"Not yet. {question.way}"


def _readings(question: NumberQuestion, value: float) -> Iterator[tuple[float, str, float, float]]:
    """Credit, sentence, number and allowed difference of everything an answer may be, the best first."""
    answer, within = question.answer, question.within
    yield FULL, "That is right.", answer, within
    for slip in sorted(question.slips, key=lambda slip: abs(slip.value - value)):
        yield SLIPPED, slip.idea, slip.value, min(within, 0.02)
    yield CLOSE, "The way is right; look at your rounding.", answer, NEAR * within
    yield SLIPPED, "The number is right, its sign is not.", -answer, within
    for shift in SHIFTS:
        yield (
            SLIPPED,
            "The digits are right, but the point is in the wrong place.",
            answer * shift,
            within,
        )


def _near(value: float, target: float, within: float) -> bool:
    return abs(value - target) <= within * abs(target) + 1e-9


def _choice_mark(question: ChoiceQuestion, text: str) -> tuple[float, str]:
    """Share of the right ones less share of the wrong ones: naming all of them earns nothing."""
    named = _letters(text) & question.options.keys()
    if not named:
        return 0.0, f"Answer with letters from {', '.join(question.options)}."
    hits, wrong = named & question.right, named - question.right
    share = len(hits) / len(question.right)
    share -= len(wrong) / max(len(question.options) - len(question.right), 1)
    missed = question.right - named
    if not wrong and not missed:
        return FULL, "That is right."
    told = [f"{letter} is not it. {question.why.get(letter, '')}" for letter in sorted(wrong)]
    told += [f"{letter} is missing. {question.why.get(letter, '')}" for letter in sorted(missed)]
    return max(share, 0.0), " ".join(part.strip() for part in told)


def _letters(text: str) -> set[str]:
    """Letters as people write them: ``A, C``, ``a and c`` or ``AC``."""
    words = re.findall(r"[A-Za-z]+", text)
    if len(words) == 1 and words[0].isupper():
        return set(words[0])
    return {word.upper() for word in words if len(word) == 1}
