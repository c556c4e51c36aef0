"""What next and what to leave out, and how much saving more money buys: two deeper views of the page, in words."""

from collections.abc import Mapping, Sequence
from typing import Any

from retrofit_lab.app.shared.figures import frontier_figure
from retrofit_lab.app.shared.shown_units import Telling
from retrofit_lab.app.shared.wording import dollars, lowered, yearly
from retrofit_lab.study.advice import Advice, Change, Proposal
from retrofit_lab.study.results import PlanResult

Content = dict[str, Any]
Values = Mapping[str, float]
EVERY = "The line is worked out from every combination of measures."
SEARCHED = "There are too many combinations to look at each; the line joins the best that were found for each amount."
MOST_NEXT = 6
MOST_ROWS = 10


def what_next(advice: Advice, result: PlanResult, _values: Values, telling: Telling) -> Content:
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
        first = (*steps[0].needs, steps[0].key)
        content |= {"tick": [*result.ticked, *first], "tick_label": "Tick the first of them"}
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
        _with_needs(change, telling),
        dollars(change.cost),
        yearly(change.saving),
        dollars(change.net_savings),
    ]


def _with_needs(change: Change, telling: Telling) -> str:
    """Title of a measure, with what must be done for it too."""
    needs = ", ".join(lowered(telling.titles[key]) for key in change.needs)
    title = telling.titles[change.key]
    return f"{title} (with: {needs})" if needs else title


def more_for_the_money(
    advice: Advice, result: PlanResult, _values: Values, telling: Telling
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
            EVERY if best[0].exact else SEARCHED,
        ],
        "chart": {"figure": figure, "sentence": sentence},
        "table": {"columns": columns, "rows": rows, "fold": "Some sets on the line"},
    }


def _frontier_sentence(best: Sequence[Proposal], result: PlanResult) -> str:
    if not result.ticked:
        return "The more is spent, the less each further dollar saves."
    most = max((p.saving for p in best if p.cost <= result.cost.likely + 0.5), default=0.0)
    chosen = f"What is ticked costs about {dollars(result.cost.likely)} and saves {dollars(result.saved)} a year"
    if dollars(most) == dollars(result.saved):
        return f"{chosen}; no other set was found that saves more for the same money."
    return f"{chosen}; for the same money as much as {dollars(most)} a year could be saved."
