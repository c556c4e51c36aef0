"""The deeper views of the kitchen-table page, one step away: each turns a question into sentences and a table.

A panel's content is plain data; the page draws it. No numbers are worked out here.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from retrofit_lab.app.page.best_panels import AIMS, best_for_budget, best_for_payment
from retrofit_lab.app.page.bill_panel import bills_against_model
from retrofit_lab.app.page.share_panel import COUNTED, shares
from retrofit_lab.app.page.worth_panels import more_for_the_money, what_next
from retrofit_lab.app.shared.fields import Field, checked_numbers, field_content
from retrofit_lab.app.shared.figures import end_use_figure, money_figure
from retrofit_lab.app.shared.shown_units import (
    Telling,
    amount,
    fuel_amount,
)
from retrofit_lab.app.shared.wording import cases, dollars, lowered, years
from retrofit_lab.base.values import InputError
from retrofit_lab.money.terms import fuels
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.explanation import TOPICS
from retrofit_lab.study.over_years import YearOfPlan
from retrofit_lab.study.results import PlanResult

REAL_HOUSES = (
    "Field studies found that real houses save less than worked out: work is not always done well, people "
    "keep rooms warmer afterwards, and no calculation knows it all. Lists, overlaps and best plans use the "
    "savings as worked out."
)
"""Which number is which."""
Values = Mapping[str, float]
Content = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One question of the page and what answers it; ``of_ticks`` where the answer hangs on what is ticked."""

    key: str
    title: str
    fields: tuple[Field, ...]
    answer: Callable[[Advice, PlanResult, Values, Telling], Content]
    of_ticks: bool = True


def checked_values(panel: Panel, sent: Any) -> dict[str, float]:
    """Numbers that a page sent for a panel; see `checked_numbers`."""
    return checked_numbers(panel.fields, sent)


def how_sure(advice: Advice, result: PlanResult, values: Values, _telling: Telling) -> Content:
    """Ranges of the ticked set in words, and what would narrow them."""
    if not result.ticked:
        return {"sentences": ["Tick something to see how sure its saving is."]}
    sure = advice.how_sure(result.ticked, worked_out=values["worked_out"] >= 1)
    saving, payback = sure.outcome.saving, sure.outcome.payback
    counted = "If all goes as worked out" if sure.worked_out else "As real houses turn out"
    sentences = [
        f"{counted}, this plan saves about {dollars(saving.middle)} a year; in 8 of 10 cases "
        f"{dollars(saving.low)} to {dollars(saving.high)}.",
        f"It is paid back after {years(payback.low)} at best and {years(payback.high)} at worst of "
        f"those cases.",
        f"It pays for itself before it wears out in {cases(sure.outcome.pays_back)}.",
    ]
    if not sure.worked_out:
        sentences.append(REAL_HOUSES)
    if sure.air_model:
        sentences.append(sure.air_model)
    items = [narrowing.sentence for narrowing in sure.to_measure]
    return {"sentences": sentences, "heading": "What to measure to be surer", "items": items}


def over_the_years(advice: Advice, result: PlanResult, values: Values, telling: Telling) -> Content:
    """The ticked set spread over years with a budget each, money carried forward."""
    if not result.ticked:
        return {"sentences": ["Tick what you want done in the end."]}
    plan = advice.over_years(result.ticked, [values["yearly"]] * int(values["years"]))
    titles = telling.titles
    rows = [
        [
            str(year.year),
            _done_in(year, titles),
            dollars(year.spent),
            dollars(year.left),
            dollars(year.saving),
        ]
        for year in plan.years
    ]
    sentences = ["What saves most comes first; what must come before something else does."]
    if plan.not_reached:
        names = ", ".join(lowered(titles[key]) for key in plan.not_reached)
        sentences.append(f"Not affordable by year {len(plan.years)}: {names}.")
    if plan.held:
        names = ", ".join(lowered(titles[key]) for key in plan.held)
        sentences.append(f"Cannot be started yet; their lines say what releases them: {names}.")
    if plan.costs_more:
        names = ", ".join(lowered(titles[key]) for key in plan.costs_more)
        sentences.append(f"Costs more than it saves, if money is all that counts: {names}.")
    columns = ["Year", "Do", "Spend", "Left over", "Saves a year"]
    return {"sentences": sentences, "table": {"columns": columns, "rows": rows}}


def _done_in(year: YearOfPlan, titles: Mapping[str, str]) -> str:
    """What is done in a year, and what the money left is kept for."""
    done = [lowered(titles[key]) for key in year.keys]
    if year.saving_for:
        goal = lowered(titles[year.saving_for])
        done.append(f"saving for: {goal}, {dollars(year.to_go)} to go")
    return "; ".join(done) or "nothing"


def money_over_time(
    advice: Advice, result: PlanResult, _values: Values, _telling: Telling
) -> Content:
    """Money spent and saved, year by year, without interest."""
    if not result.ticked:
        return {"sentences": ["Tick something to see the money over time."]}
    sentence = (
        f"At first {dollars(result.cost.likely)} are spent; each year {dollars(result.saved)} come back. "
        f"Things that wear out are bought again."
    )
    balance = advice.balance_by_year(result.ticked)
    figure = money_figure(balance)
    rows = [[str(year), dollars(amount)] for year, amount in enumerate(balance)]
    return {
        "sentences": [sentence],
        "chart": {"figure": figure, "sentence": sentence},
        "table": {"columns": ["After year", "Saved less spent"], "rows": rows[::5]},
    }


def where_it_goes(
    _advice: Advice, result: PlanResult, _values: Values, telling: Telling
) -> Content:
    """What the energy is used for, before and after."""
    before, after = result.before.energy, result.after.energy
    rows = [
        [
            f"{use.replace('_', ' ')}, {fuel.replace('_', ' ')}",
            fuel_amount(used, fuel, telling.units),
            fuel_amount(after[fuel, use], fuel, telling.units),
        ]
        for (fuel, use), used in before.items()
        if max(used, after[fuel, use]) >= 0.5
    ]
    sentence = "What the bought energy does in a year, as the house is and with what is ticked."
    return {
        "sentences": [sentence],
        "chart": {"figure": end_use_figure(result), "sentence": sentence},
        "table": {"columns": ["For", "As it is", "With what is ticked"], "rows": rows},
    }


def behind_the_numbers(
    advice: Advice, _result: PlanResult, values: Values, telling: Telling
) -> Content:
    """Formula, inputs with source and steps of one mechanism, for the auditor."""
    topic = list(TOPICS)[int(values["topic"])]
    told = advice.study.explain(topic)
    rows = [
        [
            item.path,
            amount(item.value, item.unit, telling.units),
            "default" if item.assumed else "given",
            item.source,
        ]
        for item in told.inputs
    ]
    return {
        "sentences": [told.formula],
        "heading": "What comes out",
        "items": [
            f"{step.text}: {amount(step.value, step.unit, telling.units)}" for step in told.steps
        ],
        "table": {"columns": ["What goes in", "Value", "From", "Source"], "rows": rows},
    }


PANELS: tuple[Panel, ...] = (
    Panel(
        key="sure",
        title="How sure is that?",
        fields=(
            Field(
                name="worked_out", label="Count savings", value=0, low=0, high=1, step=1,
                choices=("as real houses turn out", "as worked out"),
            ),
        ),
        answer=how_sure,
    ),
    Panel(key="next", title="What next, and what would I leave out?", fields=(), answer=what_next),
    Panel(key="more", title="How much does more money save?", fields=(), answer=more_for_the_money),
    Panel(
        key="budget",
        title="What is best for my budget?",
        fields=(
            Field(name="budget", label="Dollars to spend", value=3000, low=0, high=200_000, step=100),
            Field(
                name="payback", label="Paid back within, years (0: any)", value=0, low=0, high=60, step=1,
            ),
            Field(
                name="saving", label="Save at least, dollars a year", value=0, low=0, high=20_000, step=50,
            ),
            Field(
                name="aim", label="Of what fits, the set with", value=0, low=0, high=len(AIMS) - 1, step=1,
                choices=tuple(AIMS),
            ),
        ),
        answer=best_for_budget,
        of_ticks=False,
    ),
    Panel(
        key="payment",
        title="And with a loan?",
        fields=(
            Field(name="payment", label="Dollars a month", value=50, low=0, high=5000, step=5),
            Field(name="rate", label="Interest, percent a year", value=7, low=0, high=36, step=0.25),
            Field(name="term", label="Years to pay", value=7, low=1, high=30, step=1),
        ),
        answer=best_for_payment,
        of_ticks=False,
    ),
    Panel(
        key="years",
        title="Bit by bit over the years",
        fields=(
            Field(name="yearly", label="Dollars each year", value=1500, low=0, high=100_000, step=100),
            Field(name="years", label="Years", value=5, low=1, high=10, step=1),
        ),
        answer=over_the_years,
    ),
    Panel(
        key="shares",
        title="Who saves what?",
        fields=(
            Field(
                name="counted", label="Counted in", value=0, low=0, high=len(COUNTED) - 1, step=1,
                choices=COUNTED,
            ),
        ),
        answer=shares,
    ),
    Panel(key="money", title="The money over time", fields=(), answer=money_over_time),
    Panel(
        key="bills",
        title="Do the bills agree?",
        fields=(
            Field(
                name="fuel", label="Bills for", value=0, low=0, high=len(fuels()) - 1, step=1,
                choices=tuple(fuel.name for fuel in fuels().values()),
            ),
        ),
        answer=bills_against_model,
    ),
    Panel(key="uses", title="Where does the energy go?", fields=(), answer=where_it_goes),
    Panel(
        key="numbers",
        title="Behind the numbers",
        fields=(
            Field(
                name="topic", label="Show", value=0, low=0, high=len(TOPICS) - 1, step=1,
                choices=tuple(TOPICS),
            ),
        ),
        answer=behind_the_numbers,
        of_ticks=False,
    ),
)  # fmt: skip


def panel_named(key: Any) -> Panel | None:
    """Panel of a key, or None for anything else that a page may send."""
    return next((panel for panel in PANELS if panel.key == key), None)


def described() -> list[dict[str, Any]]:
    """What the page needs to know of the panels to draw their forms."""
    return [
        {"key": p.key, "title": p.title, "fields": [field_content(f) for f in p.fields]}
        for p in PANELS
    ]


def answered(
    panel: Panel, advice: Advice, result: PlanResult, sent: Any, telling: Telling
) -> Content:
    """Content of a panel; limits that nothing keeps become its sentence."""
    values = checked_values(panel, sent)
    try:
        content = panel.answer(advice, result, values, telling)
    except InputError as error:
        content = {"sentences": [str(error)]}
    return {"values": values, **content}
