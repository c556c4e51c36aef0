"""What the carbon dioxide that a plan keeps from the air is worth, in a sentence; the number is the study's own."""

from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.app.shared.words import Words
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.study.results import PlanResult


def carbon_worth(result: PlanResult, terms: MoneyTerms, words: Words) -> str:
    """The worth at the carbon price that was given, apart from all other numbers; empty without a price."""
    if not terms.carbon_price:
        return ""
    return words.say(
        "uses.carbon_worth",
        price=dollars(terms.carbon_price),
        years=terms.period_years,
        worth=dollars(result.carbon_worth),
    )
