"""The few answers that a starting house is made of, read and checked, and the shape that follows from them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.units import amount
from retrofit_lab.base.values import InputError
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.checking import HouseError, number_problem
from retrofit_lab.house.items import starting_tables
from retrofit_lab.house.place import Place, place_of
from retrofit_lab.house.typed import read_typed
from retrofit_lab.house.usual import usual
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import lines, told

BASEMENT_HEIGHT = 7.5
HALF_STORY_FLOOR = 0.6
"""Share of the footprint that is floor one can stand on under a roof with knee walls. [1] (judgment)"""
MOST_LETTERS = 200
NOT_KNOWN = "not known"
THIS_YEAR = 2026.0
"""Year that the usual numbers are for."""
CODE_BUILT = 2012.0
"""Year since which most houses are built to a code that asks for insulated rims, hatches, ducts and hot pipes.
[year] (IECC 2009 and 2012, memory; when the states took them up is judgment)"""
EXPOSED = {"house by itself": 1.0, "row house or duplex": 0.6, "mobile home": 1.0}
"""Share of the outside edge that borders on the open, by kind of house. [1] (judgment)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAnswers:
    """Answers of the questionnaire: words as given, lengths in ft.

    ``known_place`` holds degree days that are known better than by the name of the climate; ``as_of`` is
    the year that the house is looked at, which its equipment and bulbs follow.
    """

    name: str
    climate: str
    year_built: float
    length: float
    width: float
    stories: float
    ceiling: float
    foundation: str
    roof: str
    heating: str
    cooling: str
    hot_water: str
    bedrooms: float
    occupants: float
    kind: str = "house by itself"
    insulation: str = NOT_KNOWN
    windows: str = NOT_KNOWN
    duct_place: str = NOT_KNOWN
    known_place: Place | None = None
    as_of: float = THIS_YEAR

    @property
    def built_to_code(self) -> bool:
        """Whether inspectors looked at rims, hatches, ducts and pipes when the house was built."""
        return self.year_built >= CODE_BUILT

    @property
    def place(self) -> Place:
        """How cold and hot it is where the house stands."""
        return self.known_place or place_of(self.climate)

    @property
    def below(self) -> str:
        """Key of the unheated space under the house, or nothing."""
        spaces = {"basement, not heated": "basement", "crawl space": "crawlspace"}
        return spaces.get(self.foundation, "")

    @property
    def heated_basement(self) -> bool:
        """Whether the basement belongs to the heated rooms."""
        return self.foundation == "basement, heated"

    @property
    def has_ducts(self) -> bool:
        """Whether air goes through ducts to heat or cool."""
        ducted = "furnace" in self.heating or self.heating == "heat pump"
        return ducted or self.cooling == "central"

    @property
    def knee_walls(self) -> bool:
        """Whether there are rooms under the roof."""
        return self.roof == "rooms with knee walls"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """Sizes of a plain rectangular house. [ft, ft2, ft3]"""

    footprint: float
    perimeter: float
    floor_area: float
    volume: float
    stories: float
    window_area: float
    wall_area: float


def questions() -> tuple[Mapping[str, Any], ...]:
    """The questions in order, as the data file has them."""
    return tuple(starting_tables()["question"])


def default_answers() -> dict[str, str]:
    """Answer that is in each question before anyone types."""
    return {row["key"]: row.get("default", "") for row in questions()}


def first_answers(answers: Mapping[str, str]) -> FirstAnswers:
    """Plan that typed answers stand for.

    Raises
    ------
    HouseError
        With one sentence a line for every answer that cannot be used.
    """
    values: dict[str, Any] = {}
    problems: list[str] = []
    for row in questions():
        text = str(answers.get(row["key"], "")).strip()[:MOST_LETTERS]
        try:
            values[row["key"]] = _answer(row, text)
        except InputError as error:
            label = Word("question", row["key"], row["label"], "label")
            problems.append(told("first.of", label=label, why=error))
    if problems:
        raise HouseError(lines(problems))
    return FirstAnswers(**{**values, "stories": float(values["stories"])})


def _answer(row: Mapping[str, Any], text: str) -> Any:
    if not text:
        raise InputError(told("first.open", hint=_hint(row)))
    if row["kind"] == "choice" and text not in row["options"]:
        allowed = [Word("option", option, option) for option in row["options"]]
        raise InputError(told("first.word", text=text, allowed=allowed))
    if row["kind"] == "place":
        find_climate(text)
    return _number(row, text) if row["kind"] == "number" else text


def _number(row: Mapping[str, Any], text: str) -> float:
    if "parameter" in row:
        rule = parameters()[row["parameter"]]
        value = read_typed(text, rule.unit)
        if problem := number_problem("", value, rule):
            raise InputError(problem)
        return value
    value = read_typed(text, row["unit"])
    if not row["low"] <= value <= row["high"]:
        low, high = f"{row['low']:g}", f"{row['high']:g}"
        said = amount(value, row["unit"])
        raise InputError(told("first.range", value=said, low=low, high=high, hint=_hint(row)))
    return value


def _hint(row: Mapping[str, Any]) -> Word:
    """How a question is answered."""
    return Word("question", row["key"], str(row["hint"]), "hint")


def shape_of(first: FirstAnswers) -> Shape:
    """Sizes that follow from the footprint; shared walls are no edge of the house."""
    footprint = first.length * first.width
    exposed = EXPOSED[first.kind]
    perimeter = 2.0 * (first.length + first.width) * exposed
    half = HALF_STORY_FLOOR * footprint if first.knee_walls else 0.0
    above = footprint * first.stories + half
    gables = 2.0 * HALF_STORY_FLOOR * first.width * first.ceiling if first.knee_walls else 0.0
    walls = perimeter * (first.ceiling + 1.0) * first.stories + gables
    share = usual("window_share", first.year_built, first.place)
    windows = share * above * (0.5 + 0.5 * exposed)
    lowest = 1.0 if first.heated_basement else 0.0
    return Shape(
        footprint=footprint,
        perimeter=perimeter,
        floor_area=above + (footprint if first.heated_basement else 0.0),
        volume=footprint * first.stories * first.ceiling
        + 0.85 * half * first.ceiling
        + (footprint * BASEMENT_HEIGHT if first.heated_basement else 0.0),
        stories=min(first.stories + (0.5 if first.knee_walls else 0.0) + lowest, 4.0),
        window_area=windows,
        wall_area=max(walls - windows - 42.0, 0.3 * walls),
    )


def sides(first: FirstAnswers) -> Iterator[tuple[str, float, float]]:
    """Name, direction [degree] and share of the windows of each side; the long sides face south and north."""
    long = first.length / (2.0 * (first.length + first.width))
    short = 0.5 - long
    yield from (
        ("south", 180.0, long),
        ("north", 0.0, long),
        ("east", 90.0, short),
        ("west", 270.0, short),
    )
