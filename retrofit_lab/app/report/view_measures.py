"""Turns what a report says about measures into sentences and cells: order, overlaps, the rest, weekend, bids."""

from collections.abc import Iterator, Sequence
from typing import Any

from retrofit_lab.app.shared.wording import adding_up, as_rounded, dollars, rounded
from retrofit_lab.app.shared.words import Words
from retrofit_lab.proposals.bids import Bid, BidTable
from retrofit_lab.proposals.content import ReportContent
from retrofit_lab.proposals.recommend import (
    HELD,
    NEEDED,
    OPEN,
    TOO_DEAR,
    Considered,
    Step,
    paid_back,
)
from retrofit_lab.proposals.steps import LOOK_FIRST
from retrofit_lab.safety.hazards import Hazard
from retrofit_lab.study.results import Overlap

Titles = dict[str, str]


def titles_of(content: ReportContent, words: Words) -> Titles:
    """Title of every measure that the report speaks of, and of what the rater recommends in own words."""
    offers = [step.offer for step in content.order.steps] + [c.offer for c in content.considered]
    own = {step.key: step.title for step in content.proposal.steps if step.title}
    return {offer.key: words.names.title(offer.measure) for offer in offers} | own


def saves(content: ReportContent) -> bool:
    """Whether a plan lowers the bills at all; some hold only what the house needs."""
    return content.order.saving.high >= 1.0


def recommended(content: ReportContent, words: Words, titles: Titles) -> dict[str, Any]:
    """The steps in their order, as a table and with their reasons."""
    result, terms = content.result, content.terms
    note = words.say(
        "recommended.sir_note", years=terms.period_years, rate=f"{terms.discount_rate:.1%}"
    )
    paid = words.years(paid_back(result, content.order.saving)), words.ratio(result.sir)
    total = (
        words.cost(result.cost),
        words.saving(content.order.saving),
        *(paid if saves(content) else ("", "")),
    )
    order = content.order.steps
    costs = adding_up([step.cost.likely for step in order], rounded(result.cost.likely))
    comes = adding_up([step.span.middle for step in order], rounded(content.order.saving.middle))
    steps = [
        {
            "number": number,
            "cost": words.cost(step.cost, as_rounded(cost)),
            "saving": words.saving(step.span, as_rounded(saving)),
        }
        | _step(step, content, words, titles)
        for number, (step, cost, saving) in enumerate(zip(order, costs, comes, strict=True), 1)
    ]
    return {"steps": steps, "total": total, "sir_note": note}


def _step(step: Step, content: ReportContent, words: Words, titles: Titles) -> dict[str, Any]:
    measure = step.offer.measure
    judged = not measure.needed  # payback does not judge what the house needs
    tenths = words.say("recommended.chance", tenths=round(10 * step.chance))
    return {
        "title": titles[step.key],
        "payback": words.years(step.payback) if judged else words.say("owner.needed"),
        "sir": words.ratio(step.sir) if judged else "",
        "life": life(measure.life.years, words),
        "who": words.say(f"doer.{measure.doer}"),
        "why": words.names.why(measure),
        "held": bool(step.held_by),
        "order": _reason(step, content, words, titles),
        "beside": _beside_new(step.key, content, words),
        "chance": tenths if judged and step.cost.likely > 0 else "",
    }


def _reason(step: Step, content: ReportContent, words: Words, titles: Titles) -> str:
    if step.held_by:
        return waits_for(step.held_by, content, words)
    names = words.listed(titles[key] for key in step.named) if step.named else ""
    return words.say(f"recommended.{step.reason}", names=names, years=content.terms.period_years)


def _beside_new(key: str, content: ReportContent, words: Words) -> str:
    """What a step is worth next to new equipment that would be bought anyway; empty where the old one lasts."""
    judged = {step.key: step for step in content.proposal.steps if step.by_difference}
    if key not in judged:
        return ""
    worth = judged[key]
    if worth.sir is None:
        return words.say("recommended.beside_free")
    paid, sir = words.years(worth.payback), words.ratio(worth.sir)
    return words.say("recommended.beside", payback=paid, sir=sir)


def marks_of(content: ReportContent) -> dict[str, str]:
    """Letter of each hazard, by which plan and pages say what waits for it."""
    return {hazard.key: chr(ord("A") + at) for at, hazard in enumerate(content.result.hazards)}


def waits_for(held_by: Sequence[Hazard], content: ReportContent, words: Words) -> str:
    """The hazards that a measure waits for, by their letters; empty where nothing holds it."""
    marks = [marks_of(content)[hazard.key] for hazard in held_by]
    return words.say("recommended.held", marks=words.joined(marks)) if marks else ""


def life(years: float, words: Words) -> str:
    """Years that a thing lasts."""
    return words.say("form.one_year") if years == 1 else words.say("form.years", count=f"{years:g}")


def together(content: ReportContent, words: Words, titles: Titles) -> dict[str, Any]:
    """Why the savings do not add up."""
    result, say = content.result, words.say
    lost = result.lost_to_overlap
    lead = say("together.lead", alone=dollars(result.sum_alone), saved=dollars(result.saved))
    more = say("together.even")
    if abs(lost) >= 1:
        more = say("together.lost", lost=dollars(lost)) if lost > 0 else say("together.won")
    return {
        "text": f"{lead} {more}",
        "pairs": [_pair(pair, words, titles) for pair in content.overlaps],
    }


def _pair(pair: Overlap, words: Words, titles: Titles) -> str:
    return words.say(
        "together.pair_lost" if pair.lost > 0 else "together.pair_won",
        first=words.say("form.quoted", name=titles[pair.first]),
        second=words.say("form.quoted", name=titles[pair.second]),
        amount=dollars(abs(pair.lost)),
        why=words.names.word(pair.why),
    )


def considered(content: ReportContent, words: Words, titles: Titles) -> list[dict[str, Any]]:
    """Tables of measures that are no steps, each under its heading: cost, saving and the reason.

    What is needed for health or durability and what waits for a hazard is never called not recommended,
    and what the house needs beside the plan stands there alone.
    """
    tables: dict[str, list[Considered]] = {"needed": [], "held": [], "title": []}
    for item in content.left_out:
        tables[item.reason if item.reason in tables else "title"].append(item)
    return [
        {
            "title": words.say(f"considered.{_HEADS[name]}"),
            "groups": _by_reason(items, content, words, titles),
        }
        for name, items in tables.items()
        if items
    ]


_HEADS = {NEEDED: "needed_title", HELD: "held_title", "title": "title"}


def _by_reason(
    items: Sequence[Considered], content: ReportContent, words: Words, titles: Titles
) -> list[dict[str, Any]]:
    """Measures under the reason that they share; first those that have one of their own, each with it."""
    found: dict[str, list[Considered]] = {}
    for item in items:
        found.setdefault(why_not(item, content, words, titles), []).append(item)
    alone = [(some[0], why) for why, some in found.items() if len(some) == 1]
    shared = [(why, some) for why, some in found.items() if len(some) > 1]
    groups = [("", alone), *((why, [(item, "") for item in some]) for why, some in shared)]
    return [
        {"why": why, "rows": [_other(item, own, words, titles) for item, own in rows]}
        for why, rows in groups
        if rows
    ]


def _other(item: Considered, why: str, words: Words, titles: Titles) -> dict[str, str]:
    """One measure that is no step, with the reason that is its own."""
    in_short = words.names.in_short(item.offer.measure)
    return {
        "title": words.say("considered.named", title=titles[item.offer.key], in_short=in_short),
        "why": why,
        "cost": words.cost(item.result.cost),
        "saves": dollars(item.result.now),
    }


def why_not(item: Considered, content: ReportContent, words: Words, titles: Titles) -> str:
    """Sentence on why a measure is not recommended."""
    if item.reason == HELD:
        return waits_for(item.result.held_by, content, words)
    if content.proposal.not_chosen.get(item.offer.key) == LOOK_FIRST:
        return words.say("considered.look_first")
    ratio = item.result.sir or 0.0
    if item.reason == TOO_DEAR and ratio < 0.05:
        return words.say("considered.never_pays")
    if item.reason == OPEN and item.result.cost.likely <= 0:
        return words.say("considered.free" if item.result.now >= 1 else "considered.never_pays")
    names = words.listed(titles[key] for key in item.named) if item.named else ""
    sir, years = f"{ratio:.2f}", content.terms.period_years
    return words.say(f"considered.{item.reason}", names=names, sir=sir, years=years)


def weekend(content: ReportContent, words: Words, titles: Titles) -> list[tuple[str, ...]]:
    """What the owner can do alone: the job, its money, what it needs, when it is done, what to read first."""
    return [
        (
            titles[step.key],
            words.say(
                "weekend.numbers", cost=dollars(step.cost.likely), saving=dollars(step.span.middle)
            ),
            words.names.materials(step.offer.measure),
            words.names.done_when(step.offer.measure),
            "; ".join(_heed(step, content, words)),
        )
        for step in content.weekend
    ]


def _heed(step: Step, content: ReportContent, words: Words) -> list[str]:
    """Titles of the cautions that a step raises."""
    cautions = content.result.cautions
    return [
        words.names.caution(raised.caution)[0] for raised in cautions if step.key in raised.measures
    ]


BLANK_BIDDERS = 3
"""Empty columns of a table of bids that is filled by hand."""


def bid_table(
    content: ReportContent, bids: BidTable | None, words: Words, titles: Titles
) -> dict[str, Any]:
    """Bids side by side, or an empty table to fill."""
    given = bids.bids if bids else ()
    names = [bid.bidder for bid in given] or [
        words.say("bids.bidder", number=number) for number in range(1, BLANK_BIDDERS + 1)
    ]
    rows = [
        (
            titles[step.key],
            dollars(step.offer.cost_likely),
            *([_bid_cell(bid, step.key) for bid in given] or [""] * BLANK_BIDDERS),
        )
        for step in content.order.steps
    ]
    beside = [
        (
            titles[step.key],
            dollars(step.cost.likely) if step.cost else "",
            *([_bid_cell(bid, step.key) for bid in given] or [""] * BLANK_BIDDERS),
        )
        for step in content.proposal.beside
    ]
    heads = [words.say("bids.step"), words.say("bids.estimate"), *names]
    return {
        "given": bool(given),
        "text": " ".join(_about_bids(given=bool(given), beside=bool(beside), words=words)),
        "heads": heads,
        "rows": [*rows, *beside, *_bid_totals(content, given, words)],
        "numeric": tuple(range(1, len(heads))),
    }


def _about_bids(*, given: bool, beside: bool, words: Words) -> Iterator[str]:
    """What the table of bids shows, and what its payback leaves out."""
    yield words.say("bids.lead" if given else "bids.blank")
    if given and beside:
        yield words.say("bids.beside")


def _bid_cell(bid: Bid, key: str) -> str:
    price = f"${bid.prices[key]:,.0f}"
    return f"({price})" if key in bid.open else price


def _bid_totals(
    content: ReportContent, given: Sequence[Bid], words: Words
) -> list[tuple[str, ...]]:
    result, say = content.result, words.say
    blank = [""] * (0 if given else BLANK_BIDDERS)
    years = result.period_years
    totals = [f"${bid.total + bid.beside:,.0f}" for bid in given]
    whole = content.proposal.cost.likely
    rows = [(say("bids.total"), f"${whole:,.0f}", *totals, *blank)]
    if given:
        paid = [words.years(bid.payback) for bid in given]
        ratios = [words.ratio(bid.sir) for bid in given]
        net = [dollars(bid.net_savings) for bid in given]
        rows.append((say("bids.payback"), words.years(result.payback), *paid))
        rows.append((say("bids.sir"), words.ratio(result.sir), *ratios))
        rows.append((say("bids.net", years=years), dollars(result.net_savings), *net))
        rows.append((say("bids.open"), "", *(str(len(bid.open)) for bid in given)))
    return rows
