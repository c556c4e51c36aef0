"""What a plan and each of its measures save as a rule in real houses, in numbers that add up; no ranges, no words.

The range of a plan is drawn (`retrofit_lab.study.advice`); what stands beside a line of a list is its middle case,
worked out at once: each kind of measure comes about at the middle of its triangle in ``data/realized.csv``.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.sums import over_last
from retrofit_lab.base.values import FloatArray
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.realizing import come_about, kind_of

MIDDLE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What to expect of one plan. [dollars/year]

    ``lines`` has every measure of the house: its fair share where it is in the plan, and these add up to
    ``saving``; else what it would add. ``alone`` is by itself, ``last`` what would be lost without it or, where
    it is not in the plan, what it would add. ``one_by_one`` is the sum of ``alone`` over the plan. ``ratio`` is
    ``saving`` over the worked-out one [1]; ``left`` is
    what the house costs with the plan, ``payback`` the years until it has paid what it costs extra. [year]
    """

    saving: float
    ratio: float
    one_by_one: float
    left: float
    payback: float
    lines: Mapping[str, float]
    alone: Mapping[str, float]
    last: Mapping[str, float]


class RealHouses:
    """Expected savings of one study's plans."""

    def __init__(self, study: Study) -> None:
        self.study = study
        billed = study.billed is not None and study.billed.fit.used
        self.usual = usual_shares(study, billed=billed)
        self.shares = self.usual * study.case.learned.factor

    def of_plan(self, result: PlanResult) -> Expected:
        """What to expect of a plan; its lines add up.

        Parameters
        ----------
        result : PlanResult
            The plan as worked out.
        """
        keys, rows = self.study.keys, result.measures
        alone, last, share = (
            self._column([getattr(rows[key], name) for key in keys])
            for name in ("alone", "now", "share")
        )
        on = np.array([rows[key].ticked for key in keys], dtype=np.bool_)
        saving = self.saving(result.saved, np.where(on, [rows[key].alone for key in keys], 0.0))
        lines = np.where(on, _adding_up(np.where(on, share, 0.0), saving), last)
        ratio = saving / result.saved if result.saved > 0 else 1.0
        return Expected(
            saving=saving,
            ratio=ratio,
            one_by_one=float(over_last(np.where(on, alone, 0.0))),
            left=result.before.cost - saving,
            payback=result.payback / ratio if ratio > 0 else np.inf,
            lines=dict(zip(keys, lines.tolist(), strict=True)),
            alone=dict(zip(keys, alone.tolist(), strict=True)),
            last=dict(zip(keys, last.tolist(), strict=True)),
        )

    def usual_ratio(self, result: PlanResult) -> float:
        """Share of what a plan saves as worked out that usually comes about, whoever's jobs they are. [1]"""
        rows = [result.measures[key] for key in self.study.keys]
        alone = np.array([row.alone if row.ticked else 0.0 for row in rows])
        usual = come_about(np.array([result.saved]), alone, self.usual[None])
        return float(usual[0]) / result.saved if result.saved > 0 else 1.0

    def saving(self, saved: float, alone: FloatArray) -> float:
        """What comes about of the worked-out saving of a plan; see `come_about`. [dollars/year]"""
        return float(come_about(np.array([saved]), alone, self.shares[None])[0])

    def of_measure(self, key: str, saved: float) -> float:
        """What comes about of a worked-out saving of one measure. [dollars/year]"""
        share = float(self.shares[self.study.keys.index(key)])
        return saved * share if saved > 0 else saved

    def of_keys(self, keys: Sequence[str], saved: float) -> float:
        """The same for a plan of which only its worked-out saving is known. [dollars/year]"""
        cost = self.study.energies.single_costs
        return self.saving(saved, np.where(self.study.mask(keys), cost[0] - cost[1:], 0.0))

    def _column(self, saved: Sequence[float]) -> FloatArray:
        """Single savings as they come about; what a measure costs more is certain."""
        values = np.array(saved, dtype=np.float64)
        return np.where(values > 0, values * self.shares, values)


def usual_shares(study: Study, *, billed: bool) -> FloatArray:
    """Share of each measure's saving that comes about in the middle case. shape (measures,) [1]"""
    place = np.array([MIDDLE])
    kinds = [kind_of(offer.measure) for offer in study.offers]
    return np.array([float((k.billed if billed else k.plain).at(place)[0]) for k in kinds])


def _adding_up(shares: FloatArray, whole: float) -> FloatArray:
    """Shares made to add up to a whole; nothing is shared out where they cancel."""
    total = float(over_last(shares))
    return shares * (whole / total) if abs(total) > 1e-9 else shares
