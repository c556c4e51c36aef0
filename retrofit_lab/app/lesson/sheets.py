"""What stands on the sheet of a scenario for students and on its key for the trainer; templates make pages of it."""

from collections.abc import Sequence
from typing import Any

from retrofit_lab.app.lesson.sheet_pages import sheet_page
from retrofit_lab.app.lesson.wording import number, with_minus, with_unit
from retrofit_lab.app.shared.words import Words, words
from retrofit_lab.bills.reading.record import Bill
from retrofit_lab.classroom.bill_parts import BASE, COLD, EVERY_DAY, HOT, months_degree_days
from retrofit_lab.classroom.faults import HiddenFault
from retrofit_lab.classroom.lesson_units import US_SYSTEM, facts_shown, unit_of
from retrofit_lab.classroom.marking import ChoiceQuestion
from retrofit_lab.classroom.scenario import Scenario
from retrofit_lab.classroom.scenario_questions import Asked, questions_of
from retrofit_lab.classroom.scenario_texts import ScenarioTexts
from retrofit_lab.classroom.sheet_codes import sheet_code
from retrofit_lab.house.paths import parameter_at
from retrofit_lab.texts import LANGUAGES

WHEN = {EVERY_DAY: "every", COLD: "cold", HOT: "hot"}
LABELS = {"walls": "walls", "attic": "attic_floor"}
"""Surfaces whose labels the owner knows, by their blank in the sentence."""
WIDTH, HEIGHT, GROUND = 620, 160, 138
"""Size of the drawing of a year of bills, and where its bars stand. [px]"""
Content = dict[str, Any]


def students_sheet(made: Scenario, said: ScenarioTexts | None = None) -> str:
    """What the class gets, in English and units of the trade unless told otherwise."""
    told = said or ScenarioTexts()
    title = told.say("sheet.title", name=made.name)
    return sheet_page("students.html.j2", title, _common(made, told) | _student_content(made, told))


def trainer_key(made: Scenario, said: ScenarioTexts | None = None) -> str:
    """What the trainer gets."""
    told = said or ScenarioTexts()
    title = told.say("key.title", name=made.name)
    return sheet_page("trainer.html.j2", title, _common(made, told) | _trainer_content(made, told))


def code_of(made: Scenario, told: ScenarioTexts) -> str:
    """The code that joins sheet and key."""
    return sheet_code(made.seed, made.level, made.place, told.system)


def _common(made: Scenario, told: ScenarioTexts) -> Content:
    """What sheet and key both have."""
    return {
        "language": told.language,
        "texts": told.catalog["sheet"],
        "questions": [_question(asked, told) for asked in questions_of(made, told)],
    }


def _student_content(made: Scenario, told: ScenarioTexts) -> Content:
    base = unit_of("F").shown(BASE, told.system)
    return {
        "code": told.say("sheet.code", code=code_of(made, told)),
        "degree_days": told.say("sheet.degree_days", base=base),
        "owner": owner_lines(made, told),
        "seen": [reading(made, told), *seen_lines(made, told)],
        "fuels": [_fuel_drawing(fuel, made.bills.usable(fuel), told) for fuel in made.bills.fuels],
        "bill_rows": bill_rows(made, told),
        "bill_heads": bill_heads(made, told),
    }


def _trainer_content(made: Scenario, told: ScenarioTexts) -> Content:
    asked = questions_of(made, told)
    return {
        "key": told.catalog["key"],
        "code": told.say("key.code", code=code_of(made, told)),
        "command": _command(made, told),
        "hidden": [_hidden_row(made, item, told) for item in made.hidden],
        "parts": bill_part_rows(made, told),
        "findings": [finding.told(told.language) for finding in made.findings],
        "questions": [_question(one, told) | _key(one) for one in asked],
    }


def _command(made: Scenario, told: ScenarioTexts) -> str:
    """What makes the same sheet again."""
    parts = [f"retrofit-lab scenario --seed {made.seed} --level {made.level}"]
    parts += [f'--place "{made.place}"'] if made.place else []
    parts += [f"--language {told.language}"] if told.language != LANGUAGES[0] else []
    parts += [f"--units {told.system}"] if told.system != US_SYSTEM else []
    return " ".join(parts)


def bill_part_rows(made: Scenario, told: ScenarioTexts) -> list[tuple[str, str]]:
    """By how much each part of the use exceeds the described."""
    return [
        (
            told.say(
                "key.part", fuel=_named(fuel, told), when=told.say(f"bills.when.{WHEN[season]}")
            ),
            with_minus(told.say("key.more", share=f"{100 * more:+.0f}")),
        )
        for (fuel, season), more in made.more.items()
    ]


def owner_lines(made: Scenario, told: ScenarioTexts) -> list[str]:
    """The house as the owner describes it."""
    first, say = made.first, told.say
    size = {name: getattr(first, name) for name in ("length", "width", "ceiling")}
    labels = {name: _label(made, key, told) for name, key in LABELS.items()}
    equipment = {name: told.answered(getattr(first, name)) for name in ("heating", "hot_water")}
    one = first.occupants == 1
    return [
        say(
            "owner.size",
            stories=_stories(first.stories, told),
            year=first.year_built,
            foundation=told.answered(first.foundation),
            roof=told.answered(first.roof),
            **facts_shown(size, dict.fromkeys(size, "ft"), told.system),
        ),
        say("owner.weather", place=made.study.climate.name),
        say("owner.labels", **labels),
        say("owner.equipment", cooling=_cooling(made, told), **equipment),
        say(
            "owner.rooms",
            bedrooms=first.bedrooms,
            people=say(f"owner.{'one_person' if one else 'people'}", count=first.occupants),
        ),
        say("owner.prices", prices=", ".join(_prices(made, told))),
    ]


def _stories(count: float, told: ScenarioTexts) -> str:
    key = f"stories_{count:g}"
    return told.say(f"owner.{key if key in told.catalog['owner'] else 'stories'}", count=count)


def _prices(made: Scenario, told: ScenarioTexts) -> list[str]:
    """What a unit of each fuel costs; a kWh of heat to a tenth of a cent."""
    digits = 2 if told.system == US_SYSTEM else 3
    return [
        told.say(
            "owner.price",
            fuel=told.fuel(price.key),
            price=f"{float(price.price) / told.used(1.0, price.key):,.{digits}f}",
            unit=told.fuel_unit(price.key, many=False),
        )
        for price in made.believed.prices
    ]


def _cooling(made: Scenario, told: ScenarioTexts) -> str:
    by_pump = made.first.heating == "heat pump"
    return told.say("owner.by_heat_pump") if by_pump else told.answered(made.first.cooling)


def _label(made: Scenario, key: str, told: ScenarioTexts) -> str:
    surface = next(s for s in made.believed.surfaces if s.key == key)
    if surface.fill == "none":
        return told.say("owner.nothing")
    digits = 0 if told.system == US_SYSTEM else 1
    shown = unit_of("R").shown(float(surface.r_label), told.system)
    return f"{told.units['R']}{shown:.{digits}f}"


def seen_lines(made: Scenario, told: ScenarioTexts) -> list[str]:
    """What was seen, and what the owner mentioned."""
    return [told.told(remark.item, remark.kind) for remark in made.seen]


def reading(made: Scenario, told: ScenarioTexts) -> str:
    """What the blower door read, beside what is usual."""
    flows = {"flow": float(made.true.leakage.flow), "usual": made.usual_flow}
    shown = facts_shown(flows, dict.fromkeys(flows, "cfm"), told.system)
    return told.say("owner.reading", **shown)


def bill_heads(made: Scenario, told: ScenarioTexts) -> list[str]:
    """What stands above the columns of the bills."""
    said = told.catalog["bills"]
    columns = [
        head
        for fuel in made.bills.fuels
        for head in (
            told.say("bills.fuel", fuel=_named(fuel, told), counted=told.fuel_unit(fuel)),
            said["described"],
        )
    ]
    return [*said["columns"], *columns]


def bill_rows(made: Scenario, told: ScenarioTexts) -> list[list[str]]:
    """The bills as a table: dates, days, degree days, and of each fuel the use, and the use as described."""
    columns = [
        [f"{told.used(bill.quantity, fuel):,.1f}" for bill in bills.usable(fuel)]
        for fuel in made.bills.fuels
        for bills in (made.bills, made.described_bills)
    ]
    dates = made.bills.usable(made.bills.fuels[0])
    unit = unit_of("Fday")
    weather = [
        [f"{unit.shown(float(day), told.system):,.0f}" for day in days]
        for days in months_degree_days(made.first.climate)
    ]
    return [
        [str(bill.start), str(bill.end), str(bill.days), *cells]
        for bill, *cells in zip(dates, *weather, *columns, strict=True)
    ]


def _fuel_drawing(fuel: str, bills: Sequence[Bill], told: ScenarioTexts) -> Content:
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
                "month": told.months[place],
                "amount": f"{told.used(bill.quantity, fuel):,.0f}",
                "top": round(GROUND - height - 4, 1),
            }
        )
    caption = told.say("bills.month", fuel=_named(fuel, told), counted=told.fuel_unit(fuel))
    spoken = told.say("sheet.drawn", caption=caption)
    size = {"width": WIDTH, "height": HEIGHT, "ground": GROUND}
    return {"caption": caption, "spoken": spoken, "bars": bars, **size}


def _named(fuel: str, told: ScenarioTexts) -> str:
    return told.fuel(fuel).capitalize()


def _question(asked: Asked, told: ScenarioTexts) -> Content:
    question = asked.question
    points = f"{question.points:g}"
    plain = {
        "head": told.say("sheet.question", key=question.key, points=points),
        "text": question.text,
        "given": asked.given,
    }
    if isinstance(question, ChoiceQuestion):
        options = [] if asked.given else list(question.options.items())
        counted = told.say("sheet.one_letter" if len(question.right) == 1 else "sheet.letters")
        return {**plain, "options": options, "answer": told.say("sheet.answer_in", unit=counted)}
    return {**plain, "options": [], "answer": told.say("sheet.answer_in", unit=question.unit)}


def _key(asked: Asked) -> Content:
    question, way = asked.question, [with_minus(line) for line in asked.way]
    if isinstance(question, ChoiceQuestion):
        right = ", ".join(sorted(question.right))
        return {"right": right, "way": way, "slips": []}
    return {
        "right": with_unit(f"{question.answer:,.4g}", question.unit),
        "way": way,
        "slips": [(number(slip.value), slip.idea) for slip in question.slips],
    }


def _hidden_row(made: Scenario, item: HiddenFault, told: ScenarioTexts) -> list[str]:
    said: Words = words(told.language, told.system)
    rule = parameter_at(made.true, next(iter(item.changes)))
    return [
        told.fault(item.fault, "title"),
        said.names.parameter(rule),
        *(said.quantity(value, rule.unit) for value in (item.was, item.now)),
        f"${item.cost:,.0f}",
        told.fault(item.fault, "sign"),
        told.fault(item.fault, "fix"),
    ]
