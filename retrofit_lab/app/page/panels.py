"""The questions of the kitchen-table page: what each asks for, where it stands, and who answers it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from retrofit_lab.app.page.asking import Asked, Content
from retrofit_lab.app.page.best_panels import AIMS, best_for_budget, best_for_payment
from retrofit_lab.app.page.bill_panel import bills_against_model
from retrofit_lab.app.page.rater_panels import behind_the_numbers, shares, sizing, where_it_goes
from retrofit_lab.app.page.sure_panel import how_sure
from retrofit_lab.app.page.time_panels import if_we_move, money_over_time, over_the_years
from retrofit_lab.app.page.told import Told
from retrofit_lab.app.page.worth_panels import more_for_the_money, what_next
from retrofit_lab.app.shared.fields import Field, checked_numbers, field_content
from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.values import InputError
from retrofit_lab.proposals.pace import BUDGET, LOAN, PAYMENT, YEARLY
from retrofit_lab.savings.choosing import ChoiceError
from retrofit_lab.study.explanation import TOPICS, topic_named
from retrofit_lab.texts.refusals import in_language

HOME, RATER = "home", "rater"
"""Where a question stands: among the four that a homeowner sees, or for the rater."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One question of the page and what answers it; ``of_ticks`` where the answer depends on the plan."""

    key: str
    place: str
    fields: tuple[Field, ...] = ()
    answer: Callable[[Asked], Content]
    of_ticks: bool = True


def _number(name: str, value: float, low: float, high: float, step: float = 1.0) -> Field:
    """A number to ask for; its label is in the catalog."""
    return Field(name=name, label="", value=value, low=low, high=high, step=step)


def _choice(name: str, count: int) -> Field:
    return Field(name=name, label="", value=0, low=0, high=count - 1, step=1)


PANELS: tuple[Panel, ...] = (
    Panel(key="next", place=HOME, answer=what_next),
    Panel(
        key="budget",
        place=HOME,
        fields=(
            _number("budget", BUDGET, 0, 200_000, 100),
            _number("payback", 0, 0, 60),
            _number("saving", 0, 0, 20_000, 50),
            _choice("aim", len(AIMS)),
        ),
        answer=best_for_budget,
        of_ticks=False,
    ),
    Panel(
        key="years",
        place=HOME,
        fields=(_number("yearly", YEARLY, 0, 100_000, 100), _number("years", 5, 1, 10)),
        answer=over_the_years,
    ),
    Panel(key="sure", place=HOME, fields=(_choice("counted", 2),), answer=how_sure),
    Panel(key="move", place=RATER, fields=(_number("years", 6, 1, 15),), answer=if_we_move),
    Panel(
        key="payment",
        place=RATER,
        fields=(
            _number("payment", PAYMENT, 0, 5000, 5),
            _number("rate", LOAN.percent, 0, 36, 0.25),
            _number("term", LOAN.years, 1, 30),
        ),
        answer=best_for_payment,
        of_ticks=False,
    ),
    Panel(key="more", place=RATER, answer=more_for_the_money),
    Panel(key="shares", place=RATER, fields=(_choice("counted", 2 + len(fuels())),), answer=shares),
    Panel(key="money", place=RATER, answer=money_over_time),
    Panel(
        key="bills",
        place=RATER,
        fields=(_choice("fuel", len(fuels())),),
        answer=bills_against_model,
    ),
    Panel(key="uses", place=RATER, answer=where_it_goes),
    Panel(key="sizing", place=RATER, answer=sizing),
    Panel(
        key="numbers",
        place=RATER,
        fields=(_choice("topic", len(TOPICS)),),
        answer=behind_the_numbers,
        of_ticks=False,
    ),
)


def checked_values(panel: Panel, sent: Any) -> dict[str, float]:
    """Numbers that a page sent for a panel; see `checked_numbers`."""
    return checked_numbers(panel.fields, sent)


def panel_named(key: Any) -> Panel | None:
    """Panel of a key, or None for anything else that a page may send."""
    return next((panel for panel in PANELS if panel.key == key), None)


def described(told: Told) -> list[dict[str, Any]]:
    """What the page needs to know of the panels to draw their forms."""
    return [
        {
            "key": panel.key,
            "place": panel.place,
            "title": told.say(f"panel.{panel.key}.title"),
            "fields": [_described(told, panel, field) for field in panel.fields],
        }
        for panel in PANELS
    ]


def _described(told: Told, panel: Panel, field: Field) -> dict[str, Any]:
    label = told.say(f"panel.{panel.key}.{field.name}")
    return {
        **field_content(field),
        "label": label,
        "choices": _choices(told, panel.key, field.name),
    }


def _choices(told: Told, panel: str, name: str) -> list[str]:
    """Words of a field that is a choice; none for a number."""
    named = [told.say(f"fuel.{fuel}") for fuel in fuels()]
    lists: dict[tuple[str, str], Callable[[], list[str]]] = {
        ("sure", "counted"): lambda: told.all("panel.sure.counted_choices"),
        ("budget", "aim"): lambda: told.all("panel.budget.aims"),
        ("shares", "counted"): lambda: [
            told.say("panel.shares.dollars"), told.say("panel.shares.co2"), *named
        ],
        ("bills", "fuel"): lambda: named,
        ("numbers", "topic"): lambda: [topic_named(topic, told.words.language) for topic in TOPICS],
    }  # fmt: skip
    return lists[panel, name]() if (panel, name) in lists else []


def answered(panel: Panel, asked: Asked, sent: Any) -> Content:
    """Content of a panel; limits that nothing keeps become its sentence."""
    values = checked_values(panel, sent)
    try:
        content = panel.answer(replace(asked, values=values))
    except ChoiceError:
        content = {"sentences": [asked.say("panel.budget.impossible")]}
    except InputError as error:
        content = {"sentences": [in_language(error, asked.told.words.language)]}
    return {"values": values, **content}
