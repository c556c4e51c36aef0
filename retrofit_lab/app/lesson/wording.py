"""Numbers as lesson pages and sheets write them; the sentences around them stand in the catalog."""

import re
from collections.abc import Sequence

from retrofit_lab.classroom.guesses import Spread
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lesson_units import unit_of
from retrofit_lab.classroom.marking import Mark
from retrofit_lab.texts import LANGUAGES, catalog

MINUS = "\N{MINUS SIGN}"


def number(value: float) -> str:
    """A number as people write it: three figures, no needless zeros."""
    return with_minus(f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}")


def column(values: Sequence[float]) -> list[str]:
    """Numbers that stand below each other, with as many decimals as the largest needs for three figures."""
    most = max((abs(value) for value in values), default=0.0)
    places = next((p for p, least in ((0, 100.0), (1, 1.0)) if most >= least), 3)
    return [with_minus(f"{value:,.{places}f}") for value in values]


def measured(value: float, unit: str, step: float = 0.0) -> str:
    """A number with its unit as it is written, as fine as it can be guessed."""
    return with_unit(with_minus(f"{value:,.{_places(step)}f}") if step else number(value), unit)


def with_unit(said: str, unit: str) -> str:
    """A written number with its unit; that of an R-value comes first."""
    if unit in ("R", "RSI"):
        return f"{unit}-{said}"
    return f"{said}{'' if unit == '%' else ' '}{unit}".strip()


def _places(step: float) -> int:
    return len(f"{step:g}".partition(".")[2])


def with_minus(text: str) -> str:
    """A text whose negative numbers carry a real minus sign; the hyphen of R-11 stays."""
    return re.sub(r"(?<![\w)])-(?=[\d.])", MINUS, text)


def whole_dollars(amount: float) -> str:
    """Money to the dollar, as the lessons write it."""
    return f"{MINUS if amount <= -0.5 else ''}${abs(amount):,.0f}"


def guess_said(told: LessonTexts, value: float, *, unit: bool = False) -> str:
    """A guess of the unit of the trade as it is shown, as fine as it can be guessed."""
    guess = told.lesson.guess
    shown = told.shown(value, guess.unit)
    return measured(shown, told.unit(guess.unit)) if unit else number(shown)


def answer_said(told: LessonTexts, value: float) -> str:
    """The answer to the question that was guessed, with its unit."""
    guess = told.lesson.guess
    shown = unit_of(guess.unit).shown(value, told.system)
    return measured(shown, told.unit(guess.unit), guess.step if shown == value else 0.0)


def marked(result: Mark, language: str = LANGUAGES[0]) -> str:
    """What a mark says, with its points."""
    return str(catalog(language, "lessons")["mark"]["points"]).format(
        sentence=with_minus(result.sentence),
        points=_points(result.points),
        most=_points(result.most),
    )


def total_of(marks: Sequence[Mark], language: str = LANGUAGES[0]) -> str:
    """Points of a whole sheet in a sentence."""
    return str(catalog(language, "lessons")["mark"]["total"]).format(**points_of(marks))


def points_of(marks: Sequence[Mark]) -> dict[str, str]:
    """Points of a whole sheet, and how many there are to earn, as they are written."""
    points, most = sum(m.points for m in marks), sum(m.most for m in marks)
    return {"points": _points(points), "most": _points(most)}


def _points(points: float) -> str:
    """Points to a tenth, as they are told."""
    return f"{round(points, 1):g}"


def spread_sentence(told: LessonTexts, found: Spread, key: str) -> str:
    """How the guesses of the class lie, the answer left out; all numbers as shown."""
    unit = told.unit(told.lesson.guess.unit)
    return told.say(
        key,
        count=found.count,
        middle=measured(found.middle, unit),
        low=number(found.low),
        high=number(found.high),
    )
