"""Every sentence and every rounded number that a person reads on the kitchen-table page; no arithmetic on results."""

from collections.abc import Mapping, Sequence
from math import isinf, isnan

from retrofit_lab.app.shared.shown_units import air_flow
from retrofit_lab.safety.cautions import Raised
from retrofit_lab.study.results import MeasureResult, Overlap, PlanResult, Range
from retrofit_lab.uncertainty.outcomes import Outcome

DOERS = {
    "owner": "You can do this yourself.",
    "trade": "Work for a contractor.",
    "licensed trade": "Work for a licensed contractor.",
}
HELP = (
    "Tick what you would do. Each line says what the measure saves a year by itself, and on top of "
    "everything else that is ticked."
)
ABOUT = (
    "The numbers come from a monthly heat balance of this house in a typical year of weather: heat "
    "through every surface, air by wind and warmth from the blower-door reading, sun, people, ducts, "
    "equipment and hot water. They are estimates; what you really save depends on the work and on how "
    "you live.",
    "Prices of the work come from home cost guides or are our judgement, until your auditor enters real ones. "
    "Savings are at the fuel prices of the house file, without inflation.",
    "Cautions inform. Nothing on this page says that something is safe; local codes and licensed people "
    "decide.",
)


def dollars(amount: float) -> str:
    """Money as people say it: whole dollars below 100, tens below 10,000, hundreds above."""
    size = abs(amount)
    step = 1 if size < 100 else 10 if size < 10_000 else 100
    rounded = round(amount / step) * step
    return f"-${-rounded:,.0f}" if rounded < 0 else f"${rounded:,.0f}"


def years(span: float) -> str:
    """A payback as people say it."""
    if isinf(span) or isnan(span):
        return "never"
    if span < 0.5:
        return "within months"
    if span < 1.5:
        return "about a year"
    return f"about {span:.0f} years" if span <= 60 else "more than 60 years"


def price_range(cost: Range) -> str:
    """Cost with its range."""
    if cost.high <= 0:
        return "$0"
    if round(cost.low) == round(cost.high):
        return dollars(cost.likely)
    return f"{dollars(cost.likely)} ({dollars(cost.low)} to {dollars(cost.high)})"


COLUMNS = {
    "alone": "Saves a year, by itself",
    "now": "Saves a year, on top of the others",
    "cost": "Costs",
    "payback": "Paid back after",
}
"""What stands above the numbers of the list, and before each of them where the page is narrow."""
NO_NUMBER = "–"
ORDERS = {
    "saving": "What saves most",
    "payback": "What pays back soonest",
    "cost": "What costs least",
}


def row_texts(result: MeasureResult, titles: Mapping[str, str]) -> dict[str, str]:
    """Numbers beside one measure, one for each of the columns, and what it cannot go with."""
    blocked = ", ".join(titles[key] for key in result.blocked_by)
    return {
        "alone": yearly(result.alone),
        "now": NO_NUMBER if blocked else yearly(result.now),
        "cost": price_range(result.cost).replace(" (", "\n("),
        "payback": NO_NUMBER if blocked else years(result.payback),
        "blocked": f"Cannot go together with: {blocked}. What is ticked last stays."
        if blocked
        else "",
    }


def yearly(amount: float) -> str:
    """A yearly saving under a heading that says so; what costs more says that itself."""
    return f"costs {dollars(-amount)} more" if amount < -0.5 else dollars(max(amount, 0.0))


def saving(amount: float) -> str:
    """A yearly saving, or what it costs more."""
    if amount < -0.5:
        return f"costs {dollars(-amount)} a year more"
    return f"saves {dollars(max(amount, 0.0))} a year"


def facts(result: PlanResult) -> list[dict[str, str]]:
    """The four facts at the top of the page: now, then, cost, worth."""
    count = len(result.ticked)
    after = f"With {count} ticked" if count else "With nothing ticked"
    share = result.saved / result.before.cost if result.before.cost > 0 else 0.0
    return [
        fact("Energy costs now", f"{dollars(result.before.cost)} a year", "in a typical year"),
        fact(
            after,
            f"{dollars(result.after.cost)} a year",
            f"worked out: {saving(result.saved)}, {share:.0%}",
        ),
        fact("The work costs about", dollars(result.cost.likely), _cost_more(result)),
        fact("Paid back after", *_worth(result)),
    ]


def fact(name: str, value: str, more: str) -> dict[str, str]:
    """One fact of the page's top line."""
    return {"name": name, "value": value, "more": more}


def _cost_more(result: PlanResult) -> str:
    if not result.ticked:
        return "tick a measure below"
    return f"between {dollars(result.cost.low)} and {dollars(result.cost.high)}"


def _worth(result: PlanResult) -> tuple[str, str]:
    if not result.ticked:
        return "\N{EN DASH}", "each line below shows its own"
    value = years(result.payback)
    if result.sir is None:
        return value, "it costs nothing to do"
    return value, f"in {result.period_years} years $1 brings back ${result.sir:.2f}"


def sure_texts(outcome: Outcome) -> dict[str, str]:
    """How sure the saving and the worth of a set are, in a few words under each."""
    span = outcome.saving
    return {
        "saving": f"in real houses about {dollars(span.middle)} a year; in 8 of 10 cases "
        f"{dollars(span.low)} to {dollars(span.high)}",
        "worth": f"pays for itself before it wears out in {cases(outcome.pays_back)}",
    }


def cases(chance: float) -> str:
    """A chance as people say it; neither end is certain."""
    tenths = round(10 * chance)
    if tenths in (0, 10):
        return "nearly every case" if tenths else "hardly any case"
    return f"{tenths} of 10 cases"


def live(result: PlanResult) -> str:
    """The one sentence that a screen reader hears after a tick."""
    if not result.ticked:
        return "Nothing is ticked."
    return (
        f"{len(result.ticked)} ticked: {saving(result.saved)}, costs about "
        f"{dollars(result.cost.likely)}, paid back: {years(result.payback)}."
    )


def chart_sentence(result: PlanResult) -> str:
    """What the chart shows, in words."""
    if not result.ticked:
        return "Tick two or more measures to see how they work on each other."
    one_by_one = dollars(result.sum_alone)
    together = dollars(result.saved)
    if abs(result.lost_to_overlap) < 1:
        return f"One by one they promise {one_by_one} a year, and together they keep it."
    if result.lost_to_overlap < 0:
        return (
            f"One by one they promise {one_by_one} a year; together they save {together}, because "
            f"some of them help each other."
        )
    return (
        f"One by one they promise {one_by_one} a year. Together they save {together}: "
        f"{dollars(result.lost_to_overlap)} would be counted twice."
    )


def overlap_texts(pairs: Sequence[Overlap], titles: Mapping[str, str], most: int = 4) -> list[str]:
    """Sentences on the pairs that matter most."""
    return [_overlap(pair, titles) for pair in pairs[:most] if abs(pair.lost) >= 1]


def _overlap(pair: Overlap, titles: Mapping[str, str]) -> str:
    both = f"{titles[pair.first]}, and {lowered(titles[pair.second])}"
    if pair.lost > 0:
        return f"{both}: {dollars(pair.lost)} a year is lost to overlap. {pair.why}"
    return f"{both}: together they save {dollars(-pair.lost)} a year more. {pair.why}"


TIER_TITLES = {
    "stops the work": "Stops the work",
    "test first": "Test or look first",
    "while working": "While working",
}
"""Headings of the cautions by how grave they are."""


def caution_texts(raised: Sequence[Raised], titles: Mapping[str, str]) -> list[dict[str, str]]:
    """Cautions as the page shows them."""
    return [
        {
            "tier": TIER_TITLES[item.tier],
            "title": item.caution.title,
            "text": item.caution.text,
            "belongs": _belongs(item, titles),
            "source": f"Source: {item.caution.source} ({item.caution.mark}).",
        }
        for item in raised
    ]


def _belongs(item: Raised, titles: Mapping[str, str]) -> str:
    if not item.measures:
        return "The house itself calls for this."
    return f"Because of: {', '.join(titles[key] for key in item.measures)}."


def air_caution(result: PlanResult, titles: Mapping[str, str], units: str) -> str:
    """How the outdoor air compares with the published minimum."""
    return (
        f"Counted as the ventilation standard counts it, about "
        f"{air_flow(result.after.outdoor_air, units)} of outdoor air comes in with this "
        f"choice; the standard asks for {air_flow(result.minimum_air, units)}."
        f"{_fan(result, titles, units)}"
    )


def _fan(result: PlanResult, titles: Mapping[str, str], units: str) -> str:
    fan = result.fresh_air
    if fan is None:
        return ""
    return (
        f" What is missing, {air_flow(fan.flow, units)} all day, could come by: "
        f"{lowered(titles[fan.measure])}. {fan.why} It costs {price_range(fan.cost)} to buy and about "
        f"{dollars(fan.yearly)} a year to run."
    )


def caution_fact(titles: Sequence[str]) -> dict[str, str]:
    """The fact that leads to the cautions; having none is never called safe."""
    if not titles:
        return fact("Before the work", "ask", "nothing ticked calls for a caution of this list")
    count = f"{len(titles)} caution" + ("s" if len(titles) > 1 else "")
    return fact("Before the work", count, "read them before anyone starts")


def summary_of(caution_count: int) -> str:
    """Heading of the part of a row that opens."""
    if not caution_count:
        return "Why"
    return f"Why, and {caution_count} caution{'s' if caution_count > 1 else ''}"


def lowered(title: str) -> str:
    """Title inside a sentence: only its first letter becomes small."""
    return title[:1].lower() + title[1:]


def warning_of(titles: Sequence[str]) -> str:
    """The cautions of a ticked measure, by their titles."""
    return f"Before the work: {'; '.join(lowered(title) for title in titles)}." if titles else ""


def kept_note(name: str) -> str:
    """What happened when a choice was kept."""
    return f"'{name}' is kept; it stands in the table of kept choices."


def renamed_note(name: str) -> str:
    """What happened when a kept choice got another name."""
    return f"The choice is called '{name}' now."


def removed_note(name: str) -> str:
    """What happened when a kept choice was removed."""
    return f"'{name}' is removed."


def conflict_note(kept: str, dropped: Sequence[str]) -> str:
    """What happened to a measure that cannot go with the one just ticked."""
    return f"'{', '.join(dropped)}' was unticked: it cannot go together with '{kept}'."


NOT_UNDERSTOOD = "That was not understood; nothing has changed."
UNKNOWN_TICKED = "Something was ticked that this page does not know; it was left out."
FAILED = (
    "That could not be worked out. The rest of the page still holds; details are in the log file."
)
