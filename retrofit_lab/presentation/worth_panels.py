"""What next and what to leave out, and how much saving more money buys: two deeper views of the page, in words."""

from collections.abc import Mapping, Sequence
from typing import Any

from retrofit_lab.advice import Advice, Change, Proposal
from retrofit_lab.presentation.figures import frontier_figure
from retrofit_lab.presentation.shown_units import Telling
from retrofit_lab.presentation.wording import dollars, lowered, yearly
from retrofit_lab.results import StackResult
from retrofit_lab.stacks.combinations import MOST_MEASURES

Content = dict[str, Any]
Values = Mapping[str, float]
EVERY = "The line is worked out from every combination of measures."
SOME = (
    f"The line is worked out from every combination of {MOST_MEASURES} measures: those that are ticked, "
    f"and those that are worth most by themselves."
)
MOST_NEXT = 6
MOST_ROWS = 10


def what_next(advice: Advice, result: StackResult, _values: Values, telling: Telling) -> Content:
    """What is worth adding to the ticked measures, and which of them bring less than they cost."""
    steps = advice.next_steps(result.ticked)[:MOST_NEXT]
    sorry = advice.regretted(result.ticked)
    columns = [
        "",
        "Measure",
        "Costs",
        "Saves a year",
        f"In {result.period_years} years, more than it costs",
    ]
    rows = [_row("add", change, telling) for change in steps]
    rows += [_row("leave out", change, telling) for change in sorry]
    content: Content = {"sentences": _next_sentences(steps, sorry, telling)}
    if rows:
        content["table"] = {"columns": columns, "rows": rows}
    if steps:
        content |= {"tick": [*result.ticked, steps[0].key], "tick_label": "Tick the first of them"}
    return content


def _next_sentences(
    steps: Sequence[Change], sorry: Sequence[Change], telling: Telling
) -> list[str]:
    first = "Nothing more would be worth its cost on top of what is ticked."
    if steps:
        first = (
            f"Next would be: {lowered(telling.titles[steps[0].key])}. The numbers are on top of what "
            f"is ticked; they change with every tick."
        )
    second = "Everything that is ticked brings at least what it costs."
    if sorry:
        names = ", ".join(lowered(telling.titles[change.key]) for change in sorry)
        second = f"Beside the others these bring less than they cost, if money is all that counts: {names}."
    return [first, second]


def _row(what: str, change: Change, telling: Telling) -> list[str]:
    return [
        what,
        telling.titles[change.key],
        dollars(change.cost),
        yearly(change.saving),
        dollars(change.net_savings),
    ]


def more_for_the_money(
    advice: Advice, result: StackResult, _values: Values, telling: Telling
) -> Content:
    """The most that can be saved for each amount of money, with the ticked set beside it."""
    best = advice.frontier(result.ticked)
    sentence = _frontier_sentence(best, result)
    chosen = (result.cost.likely, result.saved) if result.ticked else None
    figure = frontier_figure([(p.cost, p.saving) for p in best], chosen)
    shown = best[:: max(1, -(-len(best) // MOST_ROWS))]
    rows = [
        [
            dollars(proposal.cost),
            dollars(proposal.saving),
            "; ".join(lowered(telling.titles[key]) for key in proposal.keys) or "nothing",
        ]
        for proposal in shown
    ]
    columns = ["Costs", "Saves a year at most", "With"]
    return {
        "sentences": [
            sentence,
            EVERY if not advice.one_by_one else SOME,
        ],
        "chart": {"figure": figure, "sentence": sentence},
        "table": {"columns": columns, "rows": rows, "fold": "Some sets on the line"},
    }


def _frontier_sentence(best: Sequence[Proposal], result: StackResult) -> str:
    if not result.ticked:
        return "The more is spent, the less each further dollar saves."
    most = max((p.saving for p in best if p.cost <= result.cost.likely + 0.5), default=0.0)
    chosen = f"What is ticked costs about {dollars(result.cost.likely)} and saves {dollars(result.saved)} a year"
    if dollars(most) == dollars(result.saved):
        return f"{chosen}; no other set saves more for the same money."
    return f"{chosen}; for the same money as much as {dollars(most)} a year could be saved."
