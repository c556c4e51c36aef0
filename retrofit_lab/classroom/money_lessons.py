"""Numbers of the lessons on savings that do not add and on worth; the study's own, and the wrong turns."""

from collections.abc import Mapping

from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers
from retrofit_lab.money.factors import single_present_value, uniform_present_value
from retrofit_lab.money.worth import residual_share
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import MeasureResult
from retrofit_lab.study.study import Study

WALLS, FURNACE, BOARDS = "wall_fill", "furnace_upgrade", "wall_sheathing"
ATTIC, FILTER, BASEMENT = "attic_insulation", "clean_filter", "basement_wall_insulation"


def savings_do_not_add(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Two measures alone and together; by hand: a fair share beside a third one. [dollars/year]"""
    result, other = study.plan((WALLS, FURNACE)), study.plan((WALLS, BOARDS))
    walls, furnace = result.measures[WALLS], result.measures[FURNACE]
    boards = other.measures[BOARDS].alone
    both, last = result.saved, other.saved - boards
    return LessonNumbers(
        facts={
            "walls": walls.alone,
            "furnace": furnace.alone,
            "sum": result.sum_alone,
            "both": both,
            "lost": result.lost_to_overlap,
            "walls_last": both - furnace.alone,
            "walls_share": walls.share,
            "furnace_share": furnace.share,
            "boards": boards,
            "walls_and_boards": other.saved,
        },
        guessed=both,
        answer=other.measures[WALLS].share,
        slips={"first": walls.alone, "last": last, "half": other.saved / 2.0},
        plan=result,
    )


def is_it_worth_it(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Payback beside worth over the years; by hand: net savings of a third offer. [dollars]"""
    result = study.plan(()).measures
    ranked = sorted(result.keys() - {BASEMENT}, key=lambda key: result[key].net_savings)
    third, factors = result[BASEMENT], _factors(study, BASEMENT)
    return LessonNumbers(
        facts={
            **_offers(study, result),
            **factors,
            "life_third": study.offer(BASEMENT).measure.life.years,
            "third_cost": third.cost.likely,
            "third_saved": third.alone,
        },
        guessed=result[ATTIC].net_savings,
        answer=third.net_savings,
        slips=_wrong_worth(third.alone, third.cost.likely, factors),
        bars=Bars(
            of="Measure",
            labels=tuple(study.offer(key).measure.title for key in ranked),
            series={"net savings": tuple(result[key].net_savings for key in ranked)},
            unit="dollars of today, more than it costs",
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


def _wrong_worth(saved: float, cost: float, factors: Mapping[str, float]) -> dict[str, float]:
    """Net savings that wrong ideas give for something that saves so much a year. [dollars]"""
    return {
        "no_interest": saved * factors["period"] - cost,
        "no_rest": saved * factors["yearly_factor"] - cost,
        "rest_today": saved * factors["yearly_factor"] - cost * (1.0 - factors["left"] / 100.0),
        "no_cost": saved * factors["yearly_factor"],
        "whole_life": saved * factors["life_factor"] - cost,
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
