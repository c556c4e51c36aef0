"""Every sentence of the lesson page that is not a lesson's own; no arithmetic on results."""

from collections.abc import Sequence

from retrofit_lab.classroom.guesses import Spread
from retrofit_lab.classroom.marking import Mark

PREDICT, SEE = "First guess", "What the program says"
BY_HAND, FURTHER, GROUP = "With a pencil", "Go further", "What the class guessed"
GUESS_BUTTON = "That is my guess"
WATCH_BUTTON = "Show it without a guess"
ANSWER_BUTTON = "Check my answer"
AGAIN_BUTTON = "Look again"
GUESS_NOTE = (
    "A wrong guess is worth more than none: it shows you what to look at. The first guess stays."
)
TRY_NOTE = "Change one number at a time. Before you do, say aloud which way the bars will go."
GROUP_NOTE = "Only the numbers are kept, on this computer and until the page server stops. No names are kept."
NO_GROUP = "Guesses of a class are gathered when this page is served with the command retrofit-lab serve --lesson."
TABLE = "The same as a table"
WAY = "The way, line by line"
FAILED = (
    "That could not be worked out. The rest of the page still holds; details are in the log file."
)


def number(value: float) -> str:
    """A number as people write it: three figures, no needless zeros."""
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}"


def refused_guess(low: float, high: float) -> str:
    """What to type instead of something that is no guess."""
    return f"Type a number from {low:,.0f} to {high:,.0f}."


def beside_the_answer(guess: float | None, answer: float, unit: str) -> str:
    """The student's guess beside what the program says."""
    said = f"{number(answer)} {unit}"
    if guess is None:
        return f"The program says {said}."
    return f"You guessed {number(guess)}. The program says {said}."


def marked(result: Mark) -> str:
    """What a mark says, with its points."""
    return f"{result.sentence} ({result.points:g} of {result.most:g} points)"


def count_of_guesses(count: int, least: int) -> str:
    """How many guesses there are, while their spread is not shown."""
    return f"Guesses so far: {count}. How they lie is shown after your own guess, and from {least} guesses on."


def spread_sentence(found: Spread, unit: str) -> str:
    """How the guesses of the class lie about the answer."""
    return (
        f"{found.count} guesses. The one in the middle is {number(found.middle)} {unit}; half of them lie "
        f"between {number(found.low)} and {number(found.high)}. The program says {number(found.answer)}. "
        f"{found.close} of {found.count} came within a fifth of it."
    )


def total_of(marks: Sequence[Mark]) -> str:
    """Points of a whole sheet."""
    points, most = sum(m.points for m in marks), sum(m.most for m in marks)
    return f"together: {points:g} of {most:g} points"
