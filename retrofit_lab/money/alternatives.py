"""Two ways to do a thing, each with its price and yearly cost, against each other over a study period; no house."""

from dataclasses import dataclass

from retrofit_lab.money.factors import modified_uniform_present_value
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.money.worth import (
    adjusted_internal_rate,
    calculable,
    cost_factors_over_life,
    savings_to_investment_ratio,
    simple_payback,
)
from retrofit_lab.texts.refusals import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """What is paid at first [dollars], the energy and the upkeep of a year [dollars/year], and the years it lasts.

    ``escalation`` is the rise of its energy price above inflation. [1/year]
    """

    first_cost: float
    energy: float
    upkeep: float = 0.0
    life: float
    escalation: float = 0.0

    def __post_init__(self) -> None:
        for name in ("first_cost", "energy", "upkeep"):
            if not 0.0 <= getattr(self, name) < float("inf"):
                raise MoneyError(
                    told("alternatives.dollars", name=name, value=f"{getattr(self, name):g}")
                )
        if not 1.0 <= self.life <= 100.0:
            raise MoneyError(told("alternatives.life", life=f"{self.life:g}"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The second of two ways against the first: life-cycle costs of both, and what the difference is worth.

    ``extra_cost`` is its first cost less that of the first. ``net_savings`` is the difference of the life-cycle
    costs. [dollars] ``sir`` and ``adjusted_internal_rate`` are None where it takes no more investment.
    """

    life_cycle_costs: tuple[float, float]
    extra_cost: float
    saved: float
    net_savings: float
    sir: float | None
    adjusted_internal_rate: float | None
    payback: float


def life_cycle_cost(alternative: Alternative, terms: MoneyTerms) -> float:
    """Present worth of buying, again when it wears out, less what is left, with energy and upkeep. [dollars]

    References
    ----------
    10 CFR 436.19 (read).
    """
    return _investment(alternative, terms) + _running(alternative, terms)


def compared(first: Alternative, second: Alternative, terms: MoneyTerms) -> Comparison:
    """The second of two ways to do a thing against the first, which is what happens otherwise.

    References
    ----------
    10 CFR 436.20 and 436.21: net savings and ratio of one building system against its alternative (read).
    """
    extra = _investment(second, terms) - _investment(first, terms)
    worth = _running(first, terms) - _running(second, terms)
    saved = first.energy + first.upkeep - second.energy - second.upkeep
    ratio = float(savings_to_investment_ratio(worth, extra))
    rate, years = terms.discount_rate, terms.period_years
    return Comparison(
        life_cycle_costs=(life_cycle_cost(first, terms), life_cycle_cost(second, terms)),
        extra_cost=second.first_cost - first.first_cost,
        saved=saved,
        net_savings=worth - extra,
        sir=calculable(ratio),
        adjusted_internal_rate=calculable(float(adjusted_internal_rate(ratio, rate, years))),
        payback=float(simple_payback(second.first_cost - first.first_cost, saved)),
    )


def _investment(alternative: Alternative, terms: MoneyTerms) -> float:
    factors = cost_factors_over_life(alternative.life, terms.period_years, terms.discount_rate)
    return alternative.first_cost * sum(factors)


def _running(alternative: Alternative, terms: MoneyTerms) -> float:
    rate, years = terms.discount_rate, float(terms.period_years)
    energy = modified_uniform_present_value(rate, alternative.escalation, years)
    upkeep = modified_uniform_present_value(rate, 0.0, years)
    return float(alternative.energy * energy + alternative.upkeep * upkeep)
