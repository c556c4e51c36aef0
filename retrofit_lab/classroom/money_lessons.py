"""Numbers of the lessons on savings that do not add and on worth; the study's own, and the wrong turns."""

from collections.abc import Mapping

from retrofit_lab.advice import Advice
from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers
from retrofit_lab.money.factors import single_present_value, uniform_present_value
from retrofit_lab.money.worth import residual_share
from retrofit_lab.study import Study

WALLS, FURNACE = "wall_fill", "furnace_upgrade"
ATTIC, FILTER = "attic_insulation", "clean_filter"


def savings_do_not_add(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Two measures alone and together; by hand: the fair share of the first. [dollars/year]"""
    result = study.stack((WALLS, FURNACE))
    walls, furnace = result.measures[WALLS], result.measures[FURNACE]
    both = result.saved
    last = both - furnace.alone
    return LessonNumbers(
        facts={
            "walls": walls.alone,
            "furnace": furnace.alone,
            "sum": result.sum_alone,
            "both": both,
            "lost": result.lost_to_overlap,
            "walls_last": last,
            "furnace_last": both - walls.alone,
            "walls_share": walls.share,
            "furnace_share": furnace.share,
        },
        guessed=both,
        answer=walls.share,
        slips={
            "first": walls.alone,
            "last": last,
            "half": both / 2.0,
        },
        stack=result,
    )


def is_it_worth_it(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Payback beside worth over the years; by hand: net savings of the attic. [dollars]"""
    rate, period = study.terms.discount_rate, study.terms.period_years
    result = study.stack(())
    attic, filters = result.measures[ATTIC], result.measures[FILTER]
    cost, life = attic.cost.likely, study.offer(ATTIC).measure.life.years
    yearly = float(uniform_present_value(rate, period))
    last_year = float(single_present_value(rate, period))
    left = residual_share(life, period)
    ranked = sorted(result.measures, key=lambda key: result.measures[key].net_savings)
    return LessonNumbers(
        facts={
            "cost": cost,
            "saved": attic.alone,
            "payback": attic.payback,
            "life": life,
            "net": attic.net_savings,
            "filter_payback": filters.payback,
            "filter_life": study.offer(FILTER).measure.life.years,
            "filter_cost": filters.cost.likely,
            "filter_saved": filters.alone,
            "filter_net": filters.net_savings,
            "rate": 100.0 * rate,
            "period": period,
            "yearly_factor": yearly,
            "last_factor": last_year,
            "left": 100.0 * left,
        },
        guessed=attic.net_savings,
        answer=attic.net_savings,
        slips={
            "no_interest": attic.alone * period - cost,
            "no_rest": attic.alone * yearly - cost,
            "rest_today": attic.alone * yearly - cost * (1.0 - left),
            "no_cost": attic.alone * yearly,
            "whole_life": attic.alone * float(uniform_present_value(rate, life)) - cost,
        },
        bars=Bars(
            labels=tuple(study.offer(key).measure.title for key in ranked),
            series={"net savings": tuple(result.measures[key].net_savings for key in ranked)},
            unit="dollars of today, more than it costs",
        ),
    )


def how_sure(study: Study) -> Mapping[str, float]:
    """In which range the attic's saving and payback lie in 8 of 10 cases, and in how many it pays back."""
    outcome = Advice(study).how_sure((ATTIC,)).outcome
    return {
        "saving_low": outcome.saving.low,
        "saving_high": outcome.saving.high,
        "payback_low": outcome.payback.low,
        "payback_high": outcome.payback.high,
        "pays_back": 10.0 * outcome.pays_back,
    }
