"""Turns what a report knows about the house into sentences and cells: summary, safety, findings, end uses, basis."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from retrofit_lab.app.report.view_measures import life, marks_of, saves
from retrofit_lab.app.report.view_trades import quantity_of
from retrofit_lab.app.shared.carbon_wording import carbon_worth
from retrofit_lab.app.shared.wording import adding_up, as_rounded, dollars, rounded, shown_after
from retrofit_lab.app.shared.words import Words
from retrofit_lab.base.units import R_UNIT
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.proposals.content import (
    NumberRow,
    PriceRow,
    ReportContent,
    Seen,
    ShellRow,
    UseRow,
)
from retrofit_lab.proposals.recommend import HELD, NEEDED, Considered, paid_back
from retrofit_lab.safety.cautions import TIERS, Raised
from retrofit_lab.safety.hazards import STOPS, Hazard
from retrofit_lab.uncertainty.learning import Learned
from retrofit_lab.uncertainty.sampling import DRAWS

MOST_OWNERS = 2
"""Items of the house that a default is named for; more are counted."""

GRID = "electricity"
ORIGINS = {"own": "basis.price_own", "house": "basis.price_house"}


def summary(content: ReportContent, words: Words) -> dict[str, Any]:
    """The facts at the top of the report."""
    result, say = content.result, words.say
    now = (say("summary.now"), dollars(result.before.cost), say("summary.now_more"))
    if not result.ticked:
        return {"facts": [now], "texts": [say("summary.none")]}
    low, high = dollars(result.cost.low), dollars(result.cost.high)
    more = say("summary.cost_more", low=low, high=high)
    costs = (say("summary.cost"), dollars(result.cost.likely), more)
    count = len(result.ticked)
    steps = say("summary.count_one") if count == 1 else say("summary.count", count=count)
    first = say("summary.stopped" if result.stops else "summary.first")
    if not saves(content):
        return {"facts": [now, costs], "texts": [steps, say("summary.needed"), first]}
    after, paid = _saving_facts(content, words)
    return {"facts": [now, after, costs, paid], "texts": [steps, first]}


def _saving_facts(content: ReportContent, words: Words) -> tuple[tuple[str, str, str], ...]:
    """What the year costs after the work, and when it has paid for itself."""
    result, say = content.result, words.say
    saving = words.saving(content.order.saving)
    more = say("summary.after_more", saving=saving, worked_out=dollars(result.saved))
    after = as_rounded(shown_after(result.before.cost, result.after.cost))
    worth = say("summary.paid_free")
    if result.cost.likely > 0:
        sir = f"{result.sir or 0.0:.2f}"
        worth = say("summary.paid_more", sir=sir, years=result.period_years)
    paid = words.years(paid_back(result, content.order.saving))
    return (
        (say("summary.after"), after, more),
        (say("summary.paid"), paid, worth),
    )


def stop_work(content: ReportContent, words: Words) -> dict[str, Any]:
    """The red box that tops a report: what stops or holds the work, and what releases it; empty without hazards."""
    result = content.result
    if not result.hazards:
        return {}
    lead = "stop.all" if result.stops else "stop.some"
    items = [_hazard(hazard, content, words) for hazard in result.hazards]
    return {"lead": words.say(lead), "stops": result.stops, "items": items}


def _hazard(hazard: Hazard, content: ReportContent, words: Words) -> dict[str, str]:
    said, mark = words.names.hazard(hazard), marks_of(content)[hazard.key]
    released = words.say("stop.release", release=said["release"], who=said["settled_by"])
    limit = f"{said['limit']} {words.say('safety.source', source=said['source'])}"
    return {
        **said,
        "mark": mark,
        "urgent": said["text"] if hazard.does == STOPS else "",
        "held": _held(hazard, mark, content, words),
        "released": released,
        "limit": limit if said["limit"] else "",
    }


def _held(hazard: Hazard, mark: str, content: ReportContent, words: Words) -> str:
    count = sum(hazard in step.held_by for step in content.order.steps)
    if hazard.does == STOPS:
        return words.say("stop.holds_all")
    if not count:
        return words.say("stop.holds_none")
    return words.say("stop.holds_one" if count == 1 else "stop.holds_count", count=count, mark=mark)


def safety(content: ReportContent, words: Words) -> dict[str, Any]:
    """Cautions by tier, in each those of the house itself first, and the outdoor air."""
    raised = sorted(content.result.cautions, key=lambda item: bool(item.measures))
    tiers = [
        {
            "title": words.say(f"safety.{key}"),
            "items": [_caution(item, content, words) for item in raised if item.tier == tier],
        }
        for tier, key in zip(TIERS, ("stops_work", "test_first", "while_working"), strict=True)
    ]
    return {"tiers": [tier for tier in tiers if tier["items"]], "air": _air(content, words)}


def _caution(item: Raised, content: ReportContent, words: Words) -> dict[str, str]:
    title, text, source = words.names.caution(item.caution)
    steps = enumerate(content.order.steps, 1)
    numbers = [str(number) for number, step in steps if step.key in item.measures]
    belongs = words.say("safety.house")
    if numbers:
        key = "safety.because_one" if len(numbers) == 1 else "safety.because"
        belongs = words.say(key, numbers=words.joined(numbers))
    source = words.say("safety.source", source=source)
    return {"title": title, "text": text, "belongs": belongs, "source": source}


def _air(content: ReportContent, words: Words) -> str:
    result = content.result
    air, minimum = words.flow(result.after.outdoor_air), words.flow(result.minimum_air)
    below = result.after.outdoor_air < result.minimum_air
    comment = words.say("safety.air_below" if below else "safety.air_enough")
    return f"{words.say('safety.air', air=air, minimum=minimum)} {comment}"


def findings(content: ReportContent, words: Words) -> dict[str, Any]:
    """What was seen and measured."""
    return {
        "seen": [_seen(item, content, words) for item in content.observations],
        "numbers": [_number(row, words) for row in content.numbers],
        "shell": _halves([_shell(row, words) for row in content.shell]),
    }


def _halves(rows: list[tuple[str, ...]]) -> list[list[tuple[str, ...]]]:
    """Rows as two tables that stand beside each other."""
    half = (len(rows) + 1) // 2
    return [part for part in (rows[:half], rows[half:]) if part]


def _shell(row: ShellRow, words: Words) -> tuple[str, ...]:
    label = "" if row.r_label is None else words.quantity(row.r_label, R_UNIT)
    standing = words.quantity(row.r_effective, R_UNIT)
    return words.names.part(row.label), words.quantity(row.area, "ft2"), label, standing


def _seen(item: Seen, content: ReportContent, words: Words) -> tuple[str, str]:
    """What was seen, and what to read or do about it."""
    if item.cautions:
        titles = "; ".join(words.names.caution(caution)[0] for caution in item.cautions)
        return words.names.observation(item.key), words.say("findings.read_first", titles=titles)
    if item.remedy:
        return words.names.observation(item.key), words.say("findings.remedy")
    named = [_named(key, content, words) for key in item.measures]
    if not named:
        return words.names.observation(item.key), words.say("findings.calls_for_none")
    return words.names.observation(item.key), words.say(
        "findings.calls_for", names="; ".join(named)
    )


def _named(key: str, content: ReportContent, words: Words) -> str:
    """A measure with the number of its step, or that it is none."""
    for number, step in enumerate(content.order.steps, 1):
        if step.key == key:
            title = words.names.title(step.offer.measure)
            return words.say("findings.as_step", title=title, number=number)
    row = next(row for row in content.considered if row.offer.key == key)
    return words.say(
        f"findings.{_stands_as(row, content)}", title=words.names.title(row.offer.measure)
    )


def _stands_as(row: Considered, content: ReportContent) -> str:
    """How a measure that is no step is in the report: needed, waiting, or not recommended."""
    needed = row.offer.measure.needed and row.reason in (NEEDED, HELD)
    if needed or row not in content.left_out:
        return "as_needed"
    return "as_held" if row.reason == HELD else "not_a_step"


def _number(row: NumberRow, words: Words) -> tuple[str, str, str]:
    origin = words.say("form.default") if row.assumed else ""
    return _what(row, words), words.quantity(row.value, row.rule.unit), origin


def _what(row: NumberRow, words: Words) -> str:
    name = _first_up(words.names.parameter(row.rule))
    return f"{name} ({', '.join(map(words.names.part, row.owners))})" if row.owners else name


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]


def uses(content: ReportContent, words: Words) -> dict[str, Any]:
    """End uses with their cost, and what the bills say."""
    result = content.result
    largest = content.uses[0]
    lead = words.say(
        "uses.lead",
        cost=dollars(result.before.cost),
        use=words.say(f"use.{largest.use}"),
        share=f"{largest.share:.0%}",
    )
    co2 = words.say(
        "uses.co2", before=f"{result.before.co2:,.0f}", after=f"{result.after.co2:,.0f}"
    )
    paid_now = rounded(result.before.cost)
    paid_then = shown_after(result.before.cost, result.after.cost)
    before = [row.cost_before for row in content.uses] + [result.before.fixed]
    after = [row.cost_after for row in content.uses] + [result.after.fixed]
    *paid, fixed = zip(
        map(as_rounded, adding_up(before, paid_now)),
        map(as_rounded, adding_up(after, paid_then)),
        strict=True,
    )
    return {
        "lead": lead,
        "rows": [_use(row, cost, words) for row, cost in zip(content.uses, paid, strict=True)],
        "fixed": fixed,
        "total": (as_rounded(paid_now), as_rounded(paid_then)),
        "co2": f"{co2} {carbon_worth(result, content.terms, words)}".rstrip(),
    }


def _use(row: UseRow, cost: tuple[str, str], words: Words) -> dict[str, Any]:
    return {
        "use": words.say(f"use.{row.use}"),
        "fuel": words.say(f"fuel.{row.fuel}"),
        "before": words.fuel(row.before, row.fuel),
        "after": words.fuel(row.after, row.fuel),
        "cost_before": cost[0],
        "cost_after": cost[1],
        "share": f"{row.share:.0%}",
        "width": f"{100 * row.share:.1f}",
    }


def basis(content: ReportContent, words: Words) -> dict[str, Any]:
    """Method, prices, defaults and sources."""
    terms, say = content.terms, words.say
    rate = f"{terms.discount_rate:.1%}"
    blanks = {
        "climate": content.climate,
        "draws": f"{DRAWS:,}",
        "years": terms.period_years,
        "rate": rate,
    }
    offers = [step.offer for step in content.order.steps] + [c.offer for c in content.considered]
    return {
        "method": [
            *(text.format(**blanks) for text in words.all("basis.method_text")),
            *_usual_terms(terms, words),
            *_learned(content.learned, words),
        ],
        "prices_lead": say("basis.prices_lead"),
        "prices": [_price(row, words) for row in content.prices],
        "carbon": [_carbon(row, words) for row in content.prices if row.fuel == GRID],
        "escalation": [
            say("basis.escalation", fuel=say(f"fuel.{fuel}"), rate=f"{rise:.1%}")
            for fuel, rise in terms.escalation.items()
        ],
        "costs": _costs(offers, words),
        "given": [_default(row, words) for row in content.given],
        "assumed": [_default(row, words) for row in content.assumed],
        "unusual": [oddity.said(words.language) for oddity in content.unusual],
        "lives": _lives([step.offer for step in content.order.steps], words),
    }


def _usual_terms(terms: MoneyTerms, words: Words) -> Iterator[str]:
    """Where rate, period and price rises are from that nobody chose."""
    usual = MoneyTerms()
    same = (terms.discount_rate, terms.period_years) == (usual.discount_rate, usual.period_years)
    if same and not terms.escalation:
        yield words.say("basis.usual_terms")


def _learned(learned: Learned, words: Words) -> Iterator[str]:
    """What the rater's finished jobs say, and what is made of it; nothing before there is one."""
    if not learned.jobs:
        return
    off = learned.factor - 1.0
    key = "basis.learned_less" if off < 0 else "basis.learned_more"
    told = {"jobs": learned.jobs, "share": f"{learned.share:.0%}"}
    change = words.say(key, percent=f"{abs(off):.0%}")
    yield words.say(
        "basis.learned_one" if learned.jobs == 1 else "basis.learned", change=change, **told
    )


def _costs(offers: Sequence[Offer], words: Words) -> list[tuple[str, list[tuple[str, ...]]]]:
    """Measures with their costs in this house, by the source of the price, its year and its mark."""
    rows: dict[str, list[tuple[str, ...]]] = {}
    for offer in offers:
        price = offer.measure.cost
        source = words.names.source(price.source, price.mark)
        costs = map(dollars, (offer.cost_low, offer.cost_likely, offer.cost_high))
        row = (words.names.title(offer.measure), *costs, quantity_of(offer, words))
        rows.setdefault(words.say("basis.costs_of", source=source, year=price.year), []).append(row)
    return sorted(rows.items())


def _lives(offers: Sequence[Offer], words: Words) -> list[tuple[str, str]]:
    """Measures with their lives, by the source of the life."""
    measures = [offer.measure for offer in offers]
    return _by_source(
        (
            words.names.source(measure.life.source, measure.life.mark),
            f"{words.names.title(measure)}: {life(measure.life.years, words)}",
        )
        for measure in measures
    )


def _by_source(told: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """What is told from each source, in one line a source."""
    lines: dict[str, list[str]] = {}
    for source, line in told:
        lines.setdefault(source, []).append(line)
    return [(source, "; ".join(some)) for source, some in sorted(lines.items())]


def _price(row: PriceRow, words: Words) -> tuple[str, ...]:
    price = row.price / words.amount(1.0, row.fuel)
    each = words.say("form.each", price=f"${price:,.3f}", unit=words.fuel_unit(row.fuel))
    fixed = words.say("form.a_month", price=f"${row.fixed:,.2f}")
    source = words.names.word(row.source) if row.source else words.say(ORIGINS[row.origin])
    if row.origin not in ORIGINS:
        source = words.say("basis.price_not_given", source=source)
    as_of = row.as_of or words.say("basis.price_no_date")
    return words.say(f"fuel.{row.fuel}"), each, fixed, as_of, source


def _carbon(row: PriceRow, words: Words) -> str:
    """What electricity gives off, and whether someone told it for the house's grid."""
    key = "basis.carbon_given" if row.carbon_given else "basis.carbon_not_given"
    return words.say(key, amount=f"{row.carbon:.2f}")


def _default(row: NumberRow, words: Words) -> tuple[str, str, str]:
    owners = [words.names.part(label) for label in row.owners[:MOST_OWNERS]]
    if len(row.owners) > MOST_OWNERS:
        owners.append(words.say("basis.more", count=len(row.owners) - MOST_OWNERS))
    section = row.rule.name.partition(".")[0]
    where = ", ".join(owners) or words.say(f"section.{section}")
    return (
        _first_up(words.names.parameter(row.rule)),
        where,
        words.quantity(row.value, row.rule.unit),
    )
