"""Sentences of the walkthrough form; what they say comes from the rooms below."""

from collections.abc import Sequence
from typing import Any

from retrofit_lab.base.parameters import Parameter
from retrofit_lab.base.units import R_UNIT, SPELLING, U_UNIT
from retrofit_lab.house.checking import Oddity
from retrofit_lab.uncertainty.sampling import ASSUMED_FACTOR

TITLE = "Walk through a house"
START = "Start a new house"
START_HELP = (
    "A few answers make a whole house. Every number that you have not given is an estimate; you see it as "
    "not answered, and its range stays wide until you look."
)
OPEN = "Open a house file"
OPEN_HELP = "House files in this folder, or type the name of another."
NO_FILES = "There is no house file in this folder yet."
FILE_NAME = "File name (made from the name of the house where you leave it empty)"
FAILED = "That could not be done. What you entered before still holds; details are in the log file."
BACK = "Undone."
NOTHING_BACK = "There is nothing to undo."
FORWARD = "Done again."
NOTHING_FORWARD = "There is nothing to redo."
TOO_LONG = "That is too much at once. Send less."
FITS_FIRST = "Some answers do not fit together yet. Fix these first; the list is at the top."
UNKNOWN = "That is unknown here. Load the page again."
RULES = "Any unit will do; a bare number is taken in the unit beside the box. An empty box takes its answer back."


NO_PLACE = (
    "No weather station has that name. Type the ZIP code of the house; a weather file of your own can be "
    "named at the first stop."
)
WEATHER_HINT = "ZIP code, town and state of a weather station, or the name of a weather file beside the house file."


def matches(count: int) -> str:
    """How many stations of a name fit what is typed."""
    stations = "1 weather station" if count == 1 else f"{count} weather stations"
    return f"{stations}. Down arrow to choose."


def near(count: int, degrees_per_1000_ft: float) -> str:
    """How many stations are near, and that their degree days are those of the place."""
    return (
        f"{matches(count)} Degree days are corrected for the difference in elevation, "
        f"{degrees_per_1000_ft:g} °F for each 1,000 ft."
    )


def station(told: str, *, taken: bool) -> str:
    """One of the stations round a place."""
    return f"{told} (used if you choose no other)" if taken else told


def number(value: float, digits: int = 5) -> str:
    """A number with few digits and no needless ones."""
    rounded = float(f"{value:.{digits}g}")
    return f"{rounded:,.0f}" if abs(rounded) >= 1000 else f"{rounded:g}"


def quantity(value: float, unit: str, digits: int = 5) -> str:
    """A number as the trade writes it, with its unit."""
    if unit == R_UNIT:
        return f"R-{number(value, digits)}"
    if unit == U_UNIT:
        return f"U-{number(value, digits)}"
    if unit == "year":
        return f"{value:.0f}"
    return f"{number(value, digits)} {SPELLING[unit]}".strip()


def between(low: float, high: float, unit: str) -> str:
    """A range as the trade writes it."""
    if unit in (R_UNIT, U_UNIT):
        return f"{quantity(low, unit, 3)} to {quantity(high, unit, 3)}"
    return f"{number(low, 3)} to {quantity(high, unit, 3)}"


PARTS = {"leaksite": "Air leak", "price": "Price", "reading": "Reading", "buffer": "Space"}
"""What parts are called before their own name, where the name alone would be mistaken for another part."""


def part_title(record: Any, owner: str = "") -> str:
    """Name of a part as the form shows it."""
    name = getattr(record, "label", "") or record.key.replace("_", " ")
    kind = PARTS.get(record.section)
    title = f"{kind}: {name[:1].lower()}{name[1:]}" if kind else name
    return f"{title} ({owner})" if owner else title


def unit_beside(rule: Parameter) -> str:
    """What stands beside a box."""
    return SPELLING[rule.unit]


def estimate(value: float, rule: Parameter) -> str:
    """What stands in for a number that nobody gave, and how far it may be off."""
    half = ASSUMED_FACTOR * rule.half_range(value)
    low, high = max(value - half, rule.legal_low), min(value + half, rule.legal_high)
    said = f"Not answered; using {quantity(value, rule.unit, 3)}"
    if half == 0:
        return f"{said}; most houses: {between(rule.typical_low, rule.typical_high, rule.unit)}."
    return f"{said}; likely {between(low, high, rule.unit)}."


def unusual(oddity: Oddity) -> str:
    """Sentence of an oddity beside its own box, where its path need not be said."""
    return oddity.sentence.removeprefix(f"{oddity.path}: ").removeprefix(
        f"{oddity.path.rpartition('.')[0]}: "
    )


def progress(given: int, asked: int) -> str:
    """How much of a stop or of the house is answered."""
    return f"{given} of {asked} answered"


def overall(given: int, asked: int, finer: int) -> str:
    """How much of the house is answered, and what else stands on estimates."""
    more = f", {finer} finer numbers on estimates" if finer else ""
    return f"{progress(given, asked)}{more}"


def opened(file_name: str) -> str:
    """What opening did."""
    return f"{file_name} is open."


def began(file_name: str) -> str:
    """What starting a house did."""
    return f"The house is set up and saved as {file_name}. Now walk."


def removed(label: str) -> str:
    """What removing did."""
    return f"{label} is removed."


def added(label: str) -> str:
    """What adding did."""
    return f"{label} is added, with estimates."


def measure_line(title: str, low: str, high: str) -> str:
    """A measure that a stop calls for, with its price."""
    return f"{title}: {low} to {high}" if low != high else f"{title}: {low}"


def bills_kept(read: Sequence[str], problems: Sequence[str]) -> str:
    """What was read, what keeping it did, and what is odd about the bills."""
    text = "The bills are kept beside the house, and the house file names them."
    return "\n".join([*read, text, *problems])


def report_written(name: str) -> str:
    """Where the report was written."""
    return f"The report is written: open {name} in a browser."


def goes_on_in(file: str) -> str:
    """What is said when the house goes on in another folder."""
    return f"The house is now saved as {file}."


def standing(saved_at: str, *, fits: bool) -> str:
    """Whether what was answered is in the file."""
    if not fits:
        return "kept, not in the file yet"
    return f"saved at {saved_at}" if saved_at else "saved"


def changed_elsewhere(names: Sequence[str]) -> str:
    """What another device answered meanwhile; the last answer to a question stands."""
    return f"Also answered on another device or in the file: {', '.join(names)}." if names else ""
