"""The best plan for a budget, a payback, a saving to reach or a loan: questions of the page, in words."""

from retrofit_lab.app.page.asking import Asked, Content
from retrofit_lab.app.shared.wording import dollars, lowered
from retrofit_lab.money.loan import MONTHS_PER_YEAR
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import LoanTerms, Proposal

AIMS = ("life_cycle_cost", "co2", "saving", "cost")
"""What the best plan is best in, in the order of the page's words for them."""


def best_for_budget(asked: Asked) -> Content:
    """The best plan within a budget, a payback and a saving to reach, with a button to use it."""
    values = asked.values
    limits = Limits(
        budget=values["budget"],
        payback=values["payback"] or float("inf"),
        saving=values["saving"] or -float("inf"),
    )
    proposal = asked.advice.best(limits, AIMS[asked.number("aim")])
    return proposed(asked, proposal, _wish(asked))


def _wish(asked: Asked) -> str:
    values = asked.values
    wish = asked.say("panel.budget.wish", budget=dollars(values["budget"]))
    if values["payback"]:
        years = asked.told.count_of_years(values["payback"])
        wish += asked.say("panel.budget.wish_payback", years=years)
    if values["saving"]:
        wish += asked.say("panel.budget.wish_saving", saving=dollars(values["saving"]))
    return wish


def best_for_payment(asked: Asked) -> Content:
    """The best plan that a loan's monthly payment allows."""
    terms = LoanTerms(percent=asked.values["rate"], years=asked.values["term"])
    proposal = asked.advice.best_for_payment(asked.values["payment"], terms)
    wish = asked.say("panel.payment.wish", payment=dollars(asked.values["payment"]))
    content = proposed(asked, proposal, wish)
    content["sentences"] += _loan_sentences(asked, proposal, terms)
    return content


def _loan_sentences(asked: Asked, proposal: Proposal, terms: LoanTerms) -> list[str]:
    """Payment against the fall in bills, a flag where it is above, and what the interest adds."""
    if proposal.cost < 1.0:
        return [asked.say("panel.payment.none")]
    plan = asked.advice.financed(proposal.keys, terms)
    saving = asked.real.of_keys(proposal.keys, proposal.saving)
    pays = asked.say(
        "panel.payment.pays",
        payment=dollars(plan.loan.payment),
        fall=dollars(saving / MONTHS_PER_YEAR),
    )
    years = asked.told.count_of_years(terms.years)
    interest = asked.say("panel.payment.interest", interest=dollars(plan.interest), years=years)
    above = plan.loan.payment > saving / MONTHS_PER_YEAR
    return [pays, *([asked.say("panel.payment.above")] if above else []), interest]


def proposed(asked: Asked, proposal: Proposal, wish: str) -> Content:
    """A plan in words: what it costs and saves, how it was found, what to know before, and what is in it."""
    if not proposal.keys:
        return {"sentences": [asked.say("panel.budget.nothing", wish=wish)]}
    told = asked.told
    best = asked.say(
        "panel.budget.best",
        wish=wish,
        cost=dollars(proposal.cost),
        saving=dollars(asked.real.of_keys(proposal.keys, proposal.saving)),
        co2=told.co2(proposal.co2),
    )
    how = asked.say("panel.budget.exact" if proposal.exact else "panel.budget.searched")
    sentences = [best, how]
    if proposal.held:
        sentences.append(asked.say("panel.budget.held", names=told.names(proposal.held)))
    raised = asked.advice.study.plan(proposal.keys).cautions
    if raised:
        titles = "; ".join(lowered(told.words.names.caution(item.caution)[0]) for item in raised)
        sentences.append(asked.say("panel.budget.cautions", names=titles))
    return {
        "sentences": sentences,
        "heading": asked.say("panel.budget.heading"),
        "items": [_item(asked, proposal, key) for key in proposal.keys],
        "tick": list(proposal.keys),
        "tick_label": asked.say("panel.budget.use"),
    }


def _item(asked: Asked, proposal: Proposal, key: str) -> str:
    title = asked.told.titles[key]
    return asked.say("panel.budget.waits", title=title) if key in proposal.held else title
