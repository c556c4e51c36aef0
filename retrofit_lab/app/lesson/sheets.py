"""Sheet for students and key for the trainer as self-contained HTML in which all text is escaped."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from retrofit_lab.app.lesson.wording import number, with_minus
from retrofit_lab.base.units import SPELLING
from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units
from retrofit_lab.bills.reading.record import Bill
from retrofit_lab.classroom.bill_parts import COLD, EVERY_DAY, HOT, months_degree_days
from retrofit_lab.classroom.marking import ChoiceQuestion
from retrofit_lab.classroom.months import MONTHS
from retrofit_lab.classroom.scenario import Scenario, sheet_code
from retrofit_lab.classroom.scenario_questions import Asked, counted_in, questions_of
from retrofit_lab.house.paths import parameter_at

TEMPLATES = Path(__file__).parent / "templates"
DEGREE_DAYS = ("Heating degree days", "Cooling degree days")
WHEN = {EVERY_DAY: "every day", COLD: "with cold", HOT: "with heat"}
AS_DESCRIBED = "the same as described"
WIDTH, HEIGHT, GROUND = 620, 160, 138
"""Size of the drawing of a year of bills, and where its bars stand. [px]"""


def students_sheet(made: Scenario) -> str:
    """What the class gets."""
    return _rendered("students.html.j2", made, _student_content(made))


def trainer_key(made: Scenario) -> str:
    """What the trainer gets."""
    return _rendered("trainer.html.j2", made, _trainer_content(made))


def _rendered(template: str, made: Scenario, sheet: dict[str, Any]) -> str:
    key = ": key for the trainer" if template.startswith("trainer") else ": what is wrong here?"
    style = (TEMPLATES / "sheet.css").read_text(encoding="utf-8")
    return (
        environment()
        .get_template(template)
        .render(
            title=f"{made.name}{key}",
            style=Markup(style),  # noqa: S704 - our own file
            sheet=sheet,
        )
    )


@cache
def environment() -> Environment:
    """Templates of the sheets; all text is escaped."""
    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
    )


def _student_content(made: Scenario) -> dict[str, Any]:
    fuels = [_fuel_drawing(fuel, made.bills.usable(fuel)) for fuel in made.bills.fuels]
    return {
        "code": sheet_code(made.seed, made.level, made.place),
        "owner": owner_lines(made),
        "seen": [reading(made), *made.seen],
        "fuels": fuels,
        "bill_rows": bill_rows(made),
        "bill_heads": bill_heads(made),
        "questions": [_question(asked) for asked in questions_of(made)],
    }


def _trainer_content(made: Scenario) -> dict[str, Any]:
    return {
        "code": sheet_code(made.seed, made.level, made.place),
        "command": f"retrofit-lab scenario --seed {made.seed} --level {made.level}",
        "hidden": [_hidden_row(made, place) for place in range(len(made.hidden))],
        "parts": bill_part_rows(made),
        "findings": [f"{finding.sentence} {finding.look_for}" for finding in made.findings],
        "questions": [_question(asked) | _key(asked) for asked in questions_of(made)],
    }


def bill_part_rows(made: Scenario) -> list[tuple[str, str]]:
    """By how much each part of the use exceeds the described."""
    return [
        (
            f"{fuel_names()[fuel].capitalize()}: {WHEN[season]}",
            with_minus(f"{100 * more:+.0f} percent"),
        )
        for (fuel, season), more in made.more.items()
    ]


def owner_lines(made: Scenario) -> list[str]:
    """The house as the owner describes it."""
    first, house = made.first, made.believed
    walls, attic = (_label(made, key) for key in ("walls", "attic_floor"))
    counted = {1.0: "One story", 2.0: "Two stories"}
    stories = counted.get(first.stories, f"{first.stories:g} stories")
    people = "one person" if first.occupants == 1 else f"{first.occupants:g} people"
    prices = [
        f"{fuel_names()[price.key]} ${price.price:,.2f} a {fuel_units()[price.key]}"
        for price in house.prices
    ]
    return [
        f"{stories} from {first.year_built:.0f}, {first.length:g} by {first.width:g} ft, "
        f"ceilings {first.ceiling:g} ft. "
        f"Under it: {first.foundation}. On top: {first.roof}.",
        f"Weather of {made.study.climate.name}.",
        f"In the outside walls {walls}, on the attic floor {attic}, by the labels.",
        f"Heating: {first.heating}. Cooling: {_cooling(made)}. Hot water: {first.hot_water}.",
        f"{first.bedrooms:g} bedrooms, {people}.",
        f"Prices: {', '.join(prices)}.",
    ]


def _cooling(made: Scenario) -> str:
    return "by the heat pump" if made.first.heating == "heat pump" else made.first.cooling


def _label(made: Scenario, key: str) -> str:
    surface = next(s for s in made.believed.surfaces if s.key == key)
    return f"R-{float(surface.r_label):.0f}" if surface.fill != "none" else "nothing"


def reading(made: Scenario) -> str:
    """What the blower door read, beside what is usual."""
    return (
        f"The blower door reads {float(made.true.leakage.flow):,.0f} cfm at 50 Pa. Houses of its age and size "
        f"usually read about {made.usual_flow:,.0f} cfm."
    )


def bill_heads(made: Scenario) -> list[str]:
    """What stands above the columns of the bills."""
    named = [fuel_names()[fuel].capitalize() for fuel in made.bills.fuels]
    counted = [counted_in(fuel) for fuel in made.bills.fuels]
    pairs = zip(named, counted, strict=True)
    columns = [head for name, unit in pairs for head in (f"{name}, {unit}", AS_DESCRIBED)]
    return ["From", "To", "Days", *DEGREE_DAYS, *columns]


def bill_rows(made: Scenario) -> list[list[str]]:
    """The bills as a table: dates, days, degree days, and of each fuel the use, and the use as described."""
    columns = [
        [f"{bill.quantity:,.1f}" for bill in bills.usable(fuel)]
        for fuel in made.bills.fuels
        for bills in (made.bills, made.described_bills)
    ]
    dates = made.bills.usable(made.bills.fuels[0])
    weather = [[f"{day:,.0f}" for day in days] for days in months_degree_days(made.first.climate)]
    return [
        [str(bill.start), str(bill.end), str(bill.days), *cells]
        for bill, *cells in zip(dates, *weather, *columns, strict=True)
    ]


def _fuel_drawing(fuel: str, bills: Sequence[Bill]) -> dict[str, Any]:
    most = max(bill.quantity for bill in bills)
    step = WIDTH / len(bills)
    bars = []
    for place, bill in enumerate(bills):
        height = round((GROUND - 22) * bill.quantity / most, 1)
        bars.append(
            {
                "x": round(place * step + 0.15 * step, 1),
                "y": round(GROUND - height, 1),
                "width": round(0.7 * step, 1),
                "height": height,
                "middle": round((place + 0.5) * step, 1),
                "month": MONTHS[place],
                "amount": f"{bill.quantity:,.0f}",
                "top": round(GROUND - height - 4, 1),
            }
        )
    caption = f"{fuel_names()[fuel].capitalize()}, {counted_in(fuel)} a month"
    return {"caption": caption, "bars": bars, "width": WIDTH, "height": HEIGHT, "ground": GROUND}


def _question(asked: Asked) -> dict[str, Any]:
    question = asked.question
    plain = {
        "key": question.key,
        "points": f"{question.points:g}",
        "text": question.text,
        "given": asked.given,
    }
    if isinstance(question, ChoiceQuestion):
        options = [] if asked.given else list(question.options.items())
        return {**plain, "options": options, "unit": _letters(question)}
    return {**plain, "options": [], "unit": question.unit}


def _letters(question: ChoiceQuestion) -> str:
    return "one letter" if len(question.right) == 1 else "letters"


def _key(asked: Asked) -> dict[str, Any]:
    question, way = asked.question, [with_minus(line) for line in asked.way]
    if isinstance(question, ChoiceQuestion):
        right = ", ".join(sorted(question.right))
        return {"right": right, "way": way, "slips": []}
    return {
        "right": f"{question.answer:,.4g} {question.unit}",
        "way": way,
        "slips": [(number(slip.value), slip.idea) for slip in question.slips],
    }


def _hidden_row(made: Scenario, place: int) -> list[str]:
    item = made.hidden[place]
    path = next(iter(item.changes))
    rule = parameter_at(made.true, path)
    unit = SPELLING[rule.unit]
    was, now = (f"{number(value)} {unit}".strip() for value in (item.was, item.now))
    cost = f"${item.cost:,.0f}"
    return [item.fault.title, rule.label, was, now, cost, item.fault.sign, item.fault.mend]
