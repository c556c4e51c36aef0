"""Over several years, until a move, and the money year by year: questions of the page, in words."""

from retrofit_lab.app.page.asking import Asked, Content
from retrofit_lab.app.shared.figures import money_figure
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.proposals.until_move import until_move
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.over_years import PlanOverYears, YearOfPlan

EVERY_NTH = 5


def over_the_years(asked: Asked) -> Content:
    """The plan spread over years with a budget each, money carried forward."""
    if not asked.ticked:
        return asked.only("panel.years.none")
    budgets = [asked.values["yearly"]] * asked.number("years")
    plan, ratio = asked.advice.over_years(asked.ticked, budgets), asked.expected.ratio
    rows = [
        [
            str(year.year),
            _done_in(asked, year),
            *map(dollars, (year.spent, year.left, year.saving * ratio)),
        ]
        for year in plan.years
    ]
    return {
        "sentences": [asked.say("panel.years.lead"), *_left_out(asked, plan)],
        "table": {"columns": asked.told.all("panel.years.columns"), "rows": rows},
    }


def _left_out(asked: Asked, plan: PlanOverYears) -> list[str]:
    named = {"not_reached": plan.not_reached, "held": plan.held, "costs_more": plan.costs_more}
    return [
        asked.say(f"panel.years.{why}", names=asked.told.names(keys), year=len(plan.years))
        for why, keys in named.items()
        if keys
    ]


def _done_in(asked: Asked, year: YearOfPlan) -> str:
    """What is done in a year, and what the money left is kept for."""
    done = [asked.told.names(year.keys)] if year.keys else []
    if year.saving_for:
        title, to_go = asked.told.name(year.saving_for), dollars(year.to_go)
        done.append(asked.say("panel.years.saving_for", title=title, to_go=to_go))
    return "; ".join(done) or asked.say("panel.years.nothing")


def if_we_move(asked: Asked) -> Content:
    """What the plan has brought by the year of a move, and the best plan that pays for itself by then."""
    years = asked.number("years")
    sentences = [asked.say("panel.move.none")]
    if asked.ticked:
        came = until_move(asked.advice, asked.result, asked.expected, years)
        sentences = [_came(asked, came.saved, came.spent, came.ahead)]
    best = asked.advice.best(Limits(payback=float(years)))
    if not best.keys:
        return {"sentences": [*sentences, asked.say("panel.move.best_none")]}
    saving = asked.real.of_keys(best.keys, best.saving)
    told = asked.say(
        "panel.move.best", cost=dollars(best.cost), saving=dollars(saving), years=_years(asked)
    )
    use = asked.say("panel.move.use")
    return {"sentences": [*sentences, told], "tick": list(best.keys), "tick_label": use}


def _years(asked: Asked) -> str:
    return asked.told.count_of_years(asked.number("years"))


def _came(asked: Asked, saved: float, spent: float, ahead: float) -> str:
    return asked.say(
        "panel.move.ahead" if ahead >= 0 else "panel.move.behind",
        years=_years(asked),
        saved=dollars(saved),
        spent=dollars(spent),
        ahead=dollars(ahead),
        behind=dollars(-ahead),
    )


def money_over_time(asked: Asked) -> Content:
    """Money spent and saved, year by year, without interest."""
    if not asked.ticked:
        return asked.only("panel.money.none")
    cost, saving = dollars(asked.result.cost.likely), dollars(asked.result.saved)
    sentence = asked.say("panel.money.sentence", cost=cost, saving=saving)
    balance = asked.advice.balance_by_year(asked.ticked)
    axes = asked.say("panel.money.axis_years"), asked.say("panel.money.axis_dollars")
    rows = [[str(year), dollars(amount)] for year, amount in enumerate(balance)]
    return {
        "sentences": [sentence],
        "chart": {"figure": money_figure(balance, *axes), "sentence": sentence},
        "table": {"columns": asked.told.all("panel.money.columns"), "rows": rows[::EVERY_NTH]},
    }
