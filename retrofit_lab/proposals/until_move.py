"""What a plan has saved and cost by the year in which someone moves; no words."""

from dataclasses import dataclass

from retrofit_lab.proposals.in_real_houses import Expected
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import PlanResult


@dataclass(frozen=True, slots=True, kw_only=True)
class UntilMove:
    """Money saved and spent until then, without interest. [dollars]"""

    saved: float
    spent: float

    @property
    def ahead(self) -> float:
        """Saved less spent; below zero it has not paid for itself. [dollars]"""
        return self.saved - self.spent


def until_move(advice: Advice, result: PlanResult, expected: Expected, years: int) -> UntilMove:
    """What a plan has saved in real houses and cost after some years.

    Parameters
    ----------
    advice : Advice
        The study.
    result, expected : PlanResult, Expected
        The plan, and what to expect of it.
    years : int
        Until the move, within the study period.
    """
    balance = advice.balance_by_year(result.ticked)
    spent = result.saved * years - balance[years]
    return UntilMove(saved=expected.saving * years, spent=spent)
