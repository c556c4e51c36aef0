"""Numbers of the lessons on money: savings that do not add, worth, a budget, and what to promise."""

from collections.abc import Mapping
from math import isfinite

from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers, drawn
from retrofit_lab.money.factors import single_present_value, uniform_present_value
from retrofit_lab.money.loan import monthly_payment
from retrofit_lab.money.worth import residual_share
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import MeasureResult, PlanResult
from retrofit_lab.study.study import Study

WALLS, BOARDS, FURNACE = "wall_fill", "wall_sheathing", "furnace_upgrade"
ATTIC, FILTER, BASEMENT = "attic_insulation", "clean_filter", "basement_wall_insulation"
NEXT = "basement_ceiling_insulation"
"""What the owner would add to the best plan for the budget."""
PROMISED = ("attic_air_sealing", "attic_insulation", "kneewall_bays", "duct_mastic")
"""The plan whose saving is promised."""
MONTHS_PER_YEAR = 12


def savings_do_not_add(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Two measures on the same walls alone and together; by hand: a fair share beside a third. [dollars/year]"""
    result, other = study.plan((WALLS, BOARDS)), study.plan((WALLS, FURNACE))
    walls, boards, furnace = (
        result.measures[WALLS],
        result.measures[BOARDS],
        other.measures[FURNACE],
    )
    return LessonNumbers(
        facts={
            "walls": walls.alone,
            "boards": boards.alone,
            "sum": result.sum_alone,
            "both": result.saved,
            "overlap": result.lost_to_overlap,
            "overlap_share": 100.0 * result.lost_to_overlap / result.sum_alone,
            "walls_last": result.saved - boards.alone,
            "boards_last": result.saved - walls.alone,
            "walls_share": walls.share,
            "boards_share": boards.share,
            "furnace": furnace.alone,
            "walls_and_furnace": other.saved,
            "furnace_share": furnace.share,
        },
        charts=(result,),
        drawn=drawn(study, (WALLS, BOARDS)),
    )


def is_it_worth_it(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Payback beside worth over the years; by hand: net savings of a third offer. [dollars]"""
    result = study.plan(()).measures
    ranked = sorted(result.keys() - {BASEMENT}, key=lambda key: result[key].net_savings)
    third, factors = result[BASEMENT], _factors(study, BASEMENT)
    left = residual_share(study.offer(ATTIC).measure.life.years, study.terms.period_years)
    rest = left * result[ATTIC].cost.likely * factors["last_factor"]
    return LessonNumbers(
        facts={
            **_offers(study, result),
            **factors,
            "left_attic": 100.0 * left,
            "rest": rest,
            "net_without": result[ATTIC].net_savings - rest,
            "life_third": study.offer(BASEMENT).measure.life.years,
            "third_cost": third.cost.likely,
            "third_saved": third.alone,
            "third_net": third.net_savings,
        },
        charts=(
            Bars(
                of="measure",
                labels=tuple(ranked),
                series={"net": tuple(result[key].net_savings for key in ranked)},
                unit="net_dollars",
                measures=True,
            ),
        ),
    )


def _offers(study: Study, result: Mapping[str, MeasureResult]) -> dict[str, float]:
    attic, filters = result[ATTIC], result[FILTER]
    return {
        "cost": attic.cost.likely,
        "saved": attic.alone,
        "payback": attic.payback,
        "life": study.offer(ATTIC).measure.life.years,
        "net": attic.net_savings,
        "filter_payback": filters.payback,
        "filter_cost": filters.cost.likely,
        "filter_saved": filters.alone,
        "filter_net": filters.net_savings,
    }


def _factors(study: Study, key: str) -> dict[str, float]:
    rate, period = study.terms.discount_rate, study.terms.period_years
    life = study.offer(key).measure.life.years
    return {
        "rate": 100.0 * rate,
        "period": period,
        "yearly_factor": float(uniform_present_value(rate, period)),
        "life_factor": float(uniform_present_value(rate, life)),
        "last_factor": float(single_present_value(rate, period)),
        "left": 100.0 * residual_share(life, period),
    }


def how_sure(study: Study) -> Mapping[str, float]:
    """In which range the attic's saving and payback lie in 8 of 10 cases, and in how many it pays back."""
    outcome = Advice(study).how_sure((ATTIC,), worked_out=True).outcome
    return {
        "saving_low": outcome.saving.low,
        "saving_high": outcome.saving.high,
        "payback_low": outcome.payback.low,
        "payback_high": outcome.payback.high,
        "pays_back": 100.0 * outcome.pays_back,
    }


def choose_under_a_budget(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """The best plan that a budget buys; by hand: payback of one more fix beside that plan. [year]"""
    single = study.plan(()).measures
    chosen = Advice(study).best(Limits(budget=values["budget"]), "saving")
    plan = study.plan(chosen.keys)
    more = study.plan({*chosen.keys, NEXT})
    added, extra = more.saved - plan.saved, more.cost.likely - plan.cost.likely
    quick = _by_payback(study, single, values["budget"])
    return LessonNumbers(
        facts={
            **values,
            "best": plan.saved,
            "best_cost": plan.cost.likely,
            "best_sum": plan.sum_alone,
            "best_count": len(chosen.keys),
            "quick": quick.saved,
            "quick_cost": quick.cost.likely,
            "quick_count": len(quick.ticked),
            "offers": len(single),
            "all_sum": sum(row.alone for row in single.values()),
            "next_cost": extra,
            "next_alone": single[NEXT].alone,
            "plan_saves": plan.saved,
            "more_saves": more.saved,
            "next_payback": extra / added if added > 0 else float("1e6"),
        },
        charts=(plan,),
        before=_offers_by_saving(single),
    )


def _by_payback(study: Study, single: Mapping[str, MeasureResult], budget: float) -> PlanResult:
    """Plan of whoever takes the shortest payback first as long as the money lasts."""
    chosen: list[str] = []
    for key in sorted(single, key=lambda key: single[key].payback):
        if isfinite(single[key].payback) and not study.case.conflict({*chosen, key}):
            wider = study.plan({*chosen, key})
            if wider.cost.likely <= budget:
                chosen.append(key)
    return study.plan(chosen)


def _offers_by_saving(single: Mapping[str, MeasureResult]) -> Bars:
    ranked = sorted(single, key=lambda key: single[key].alone)
    return Bars(
        of="measure",
        labels=tuple(ranked),
        series={
            "cost": tuple(single[key].cost.likely for key in ranked),
            "saved_ten": tuple(10.0 * single[key].alone for key in ranked),
        },
        unit="dollars",
        measures=True,
    )


def what_to_promise(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """A worked-out saving beside what such work saves in real houses; by hand: a month on a loan. [dollars/month]"""
    plan = study.plan(PROMISED)
    expected = RealHouses(study).of_plan(plan)
    months = MONTHS_PER_YEAR * round(values["years"])
    payment = float(monthly_payment(plan.cost.likely, values["interest"] / 100.0, months))
    per_thousand = float(monthly_payment(1000.0, values["interest"] / 100.0, months))
    return LessonNumbers(
        facts={
            **values,
            "worked_out": plan.saved,
            "one_by_one": plan.sum_alone,
            "real": expected.saving,
            "share": 100.0 * expected.saving / plan.saved,
            "cost": plan.cost.likely,
            "per_thousand": per_thousand,
            "payment": payment,
            "monthly": expected.saving / MONTHS_PER_YEAR - payment,
            "bill": plan.before.cost,
        },
        charts=(
            Bars(
                of="said",
                labels=("real", "worked_out", "one_by_one"),
                series={"now": (expected.saving, plan.saved, plan.sum_alone)},
                unit="dollars_year",
            ),
        ),
    )


def how_sure_of_the_plan(study: Study) -> Mapping[str, float]:
    """Range of the plan's saving in 8 of 10 real houses, and in how many of 10 it pays for itself."""
    outcome = Advice(study).how_sure(PROMISED).outcome
    return {
        "low": outcome.saving.low,
        "high": outcome.saving.high,
        "of_ten": 10.0 * outcome.pays_back,
    }
