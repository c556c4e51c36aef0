"""Every sentence of the lesson page that is not a lesson's own; no arithmetic on results."""

import re
from collections.abc import Sequence

from retrofit_lab.classroom.guesses import Spread
from retrofit_lab.classroom.marking import Mark

AIM = "Aim: "
PREDICT, SEE, TRY = "1. First guess", "2. What the program says", "3. "
BY_HAND, FURTHER, GROUP = "4. With a pencil", "5. Go further", "What the class guessed"
GUESS_BUTTON = "That is my guess"
WATCH_BUTTON = "Show it without a guess"
ANSWER_BUTTON = "Check my answer"
AGAIN_BUTTON = "Look again"
GUESS_NOTE = (
    "A wrong guess is worth more than none: it shows you what to look at. The first guess stays."
)
TRY_NOTE = "Change one number at a time. Before you do, say aloud which way the bars will go."
GROUP_NOTE = "Only the numbers are kept, on the trainer's computer and for half a day at most. No names are kept."
TABLE = "The same as a table"
MINUS = "\N{MINUS SIGN}"
TOGETHER_COLUMNS = ["Measure", "By itself, dollars a year", "Last, a year", "Fair share, a year"]
AS_IT_WAS, NOW = "as it was", "now"
FIRST_GUESS = "Guess first: type a number, and the rest opens."
WAY = "The way, line by line"
FAILED = (
    "That could not be worked out. The rest of the page still holds; details are in the log file."
)


def number(value: float) -> str:
    """A number as people write it: three figures, no needless zeros."""
    return with_minus(f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}")


def column(values: Sequence[float]) -> list[str]:
    """Numbers that stand below each other, with as many decimals as the largest needs for three figures."""
    most = max((abs(value) for value in values), default=0.0)
    places = next((p for p, least in ((0, 100.0), (1, 1.0)) if most >= least), 3)
    return [with_minus(f"{value:,.{places}f}") for value in values]


def measured(value: float, unit: str, step: float = 0.0) -> str:
    """A number with its unit, as fine as it can be guessed; an R-value as the trade writes it."""
    said = with_minus(f"{value:,.{len(f'{step:g}'.partition('.')[2])}f}") if step else number(value)
    return f"R-{said}" if unit == "R" else f"{said} {unit}"


def with_minus(text: str) -> str:
    """A text whose negative numbers carry a real minus sign; the hyphen of R-11 stays."""
    return re.sub(r"(?<![\w)])-(?=[\d.])", MINUS, text)


def whole_dollars(amount: float) -> str:
    """Money to the dollar, as the lessons write it."""
    return f"{MINUS if amount <= -0.5 else ''}${abs(amount):,.0f}"


def refused_guess(low: float, high: float) -> str:
    """What to type instead of something that is no guess."""
    return f"Type a number from {low:,.0f} to {high:,.0f}."


def beside_the_answer(guess: float | None, answer: str) -> str:
    """The student's guess beside what the program says."""
    if guess is None:
        return f"The program says {answer}."
    return f"You guessed {number(guess)}. The program says {answer}."


def marked(result: Mark) -> str:
    """What a mark says, with its points."""
    return f"{with_minus(result.sentence)} ({result.points:g} of {result.most:g} points)"


def count_of_guesses(count: int, least: int) -> str:
    """How many guesses there are, while their spread is not shown."""
    return f"Guesses so far: {count}. Their spread can be shown from {least} guesses on."


def spread_sentence(found: Spread, unit: str) -> str:
    """How the guesses of the class lie, the answer left out."""
    return (
        f"{found.count} guesses. The one in the middle is {measured(found.middle, unit)}; half of them lie "
        f"between {number(found.low)} and {number(found.high)}."
    )


def answer_sentence(found: Spread, answer: str) -> str:
    """How near the guesses of the class came to the answer."""
    return f"The program says {answer}. {found.close} of {found.count} came within a fifth of it."


def total_of(marks: Sequence[Mark]) -> str:
    """Points of a whole sheet."""
    points, most = sum(m.points for m in marks), sum(m.most for m in marks)
    return f"together: {points:g} of {most:g} points"
