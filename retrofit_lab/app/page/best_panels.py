"""The best set for a budget, a payback, a saving to reach or a loan: two deeper views of the page, in words."""

from collections.abc import Mapping
from typing import Any

from retrofit_lab.app.shared.shown_units import Telling, carbon_dioxide
from retrofit_lab.app.shared.wording import dollars, lowered
from retrofit_lab.money.loan import MONTHS_PER_YEAR
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice, LoanTerms, Proposal
from retrofit_lab.study.results import PlanResult

Content = dict[str, Any]
Values = Mapping[str, float]
AIMS = {
    "the lowest cost over the years": "life_cycle_cost",
    "the least carbon dioxide": "co2",
    "the most saved each year": "saving",
    "the least to pay at first": "cost",
}
EVERY = "Every set of the measures was looked at."
SEARCHED = (
    "There are too many sets to look at each, so this one was searched for: taking a measure in, leaving one "
    "out or exchanging one for another does not make it better."
)


def best_for_budget(
    advice: Advice, _result: PlanResult, values: Values, telling: Telling
) -> Content:
    """The best set within a budget, a payback and a saving to reach, with a button to tick it."""
    limits = Limits(
        budget=values["budget"],
        payback=values["payback"] or float("inf"),
        saving=values["saving"] or -float("inf"),
    )
    aim = list(AIMS.values())[int(values["aim"])]
    return proposed(advice, advice.best(limits, aim), telling, _wish(values))


def _wish(values: Values) -> str:
    wish = f"for {dollars(values['budget'])}"
    if values["payback"]:
        wish += f", paid back within {values['payback']:g} years"
    if values["saving"]:
        wish += f", that saves {dollars(values['saving'])} a year or more"
    return wish


def best_for_payment(
    advice: Advice, _result: PlanResult, values: Values, telling: Telling
) -> Content:
    """The best set that a loan's monthly payment allows."""
    terms = LoanTerms(percent=values["rate"], years=values["term"])
    proposal = advice.best_for_payment(values["payment"], terms)
    content = proposed(advice, proposal, telling, f"for {dollars(values['payment'])} a month")
    content["sentences"] += _loan_sentences(advice, proposal, terms)
    return content


def _loan_sentences(advice: Advice, proposal: Proposal, terms: LoanTerms) -> list[str]:
    """Payment against the fall in bills, a flag where it is above, and what the interest adds."""
    if proposal.cost < 1.0:
        return ["Nothing has to be borrowed."]
    plan = advice.financed(proposal.keys, terms)
    sentences = [
        f"The loan takes {dollars(plan.loan.payment)} a month; the bills fall by "
        f"{dollars(proposal.saving / MONTHS_PER_YEAR)} a month.",
        f"Interest adds {dollars(plan.interest)} over {terms.years:g} years.",
    ]
    if plan.payment_above_saving:
        sentences.insert(
            1,
            "The payment is above the fall in bills: until the loan is paid off, you pay more each month.",
        )
    return sentences


def proposed(advice: Advice, proposal: Proposal, telling: Telling, wish: str) -> Content:
    """A proposal in words: what it costs and brings, how it was found, what to heed, and what is in it."""
    if not proposal.keys:
        return {"sentences": [f"The best set {wish} is to do nothing."]}
    sentences = [
        f"The best set {wish}: it costs about {dollars(proposal.cost)}, saves {dollars(proposal.saving)} a "
        f"year and {carbon_dioxide(proposal.co2, telling.units)} of carbon dioxide.",
        EVERY if proposal.exact else SEARCHED,
    ]
    if proposal.held:
        waits = "; ".join(lowered(telling.titles[key]) for key in proposal.held)
        sentences.append(
            f"These cannot be started yet; their lines say what releases them: {waits}."
        )
    raised = advice.study.plan(proposal.keys).cautions
    if raised:
        titles = "; ".join(lowered(item.caution.title) for item in raised)
        sentences.append(f"Before the work: {titles}.")
    return {
        "sentences": sentences,
        "heading": "In it, in working order",
        "items": [_item(proposal, key, telling) for key in proposal.keys],
        "tick": list(proposal.keys),
    }


def _item(proposal: Proposal, key: str, telling: Telling) -> str:
    title = telling.titles[key]
    return f"{title} (waits)" if key in proposal.held else title
