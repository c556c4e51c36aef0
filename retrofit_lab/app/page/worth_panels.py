"""What next and what to leave out, and how much saving more money buys: questions of the page, in words."""

from collections.abc import Sequence

from retrofit_lab.app.page.asking import Asked, Content
from retrofit_lab.app.shared.figures import frontier_figure
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.study.advice import Change, Proposal

MOST_NEXT = 6
MOST_ROWS = 10


def what_next(asked: Asked) -> Content:
    """What is worth adding to the plan, and what of it brings less than it costs."""
    steps = asked.advice.next_steps(asked.ticked)[:MOST_NEXT]
    sorry = asked.advice.regretted(asked.ticked)
    rows = [_row(asked, "panel.next.add", change) for change in steps]
    rows += [_row(asked, "panel.next.leave", change) for change in sorry]
    content: Content = {"sentences": _next_sentences(asked, steps, sorry)}
    if rows:
        columns = list(asked.told.all("panel.next.columns"))
        columns[-1] = columns[-1].format(years=asked.result.period_years)
        content["table"] = {"columns": columns, "rows": rows}
    if steps:
        first = (*steps[0].needs, steps[0].key)
        use = asked.say("panel.next.use")
        content |= {"tick": [*asked.ticked, *first], "tick_label": use}
    return content


def _next_sentences(asked: Asked, steps: Sequence[Change], sorry: Sequence[Change]) -> list[str]:
    told, first = asked.told, asked.say("panel.next.none")
    if steps:
        first = asked.say(
            "panel.next.first",
            title=told.name(steps[0].key),
            saving=told.yearly(_saving(asked, steps[0])),
            cost=dollars(steps[0].cost) if steps[0].cost > 0 else asked.say("form.free"),
        )
    sentences = [first]
    if sorry:
        names = told.names(change.key for change in sorry)
        sentences.append(asked.say("panel.next.sorry", names=names))
    elif asked.ticked:
        sentences.append(asked.say("panel.next.all_worth"))
    return sentences


def _saving(asked: Asked, change: Change) -> float:
    return asked.real.of_measure(change.key, change.saving)


def _row(asked: Asked, what: str, change: Change) -> list[str]:
    told = asked.told
    title = told.titles[change.key]
    if change.needs:
        title = asked.say("panel.next.with", title=title, names=told.names(change.needs))
    money = (dollars(change.cost), told.yearly(_saving(asked, change)), dollars(change.net_savings))
    return [asked.say(what), title, *money]


def more_for_the_money(asked: Asked) -> Content:
    """The most that can be saved for each amount of money, with the plan beside it."""
    best, result, told = asked.advice.frontier(asked.ticked), asked.result, asked.told
    sentence = _frontier_sentence(asked, best)
    chosen = (result.cost.likely, result.saved) if result.ticked else None
    names = {name: asked.say(f"chart.{name}") for name in ("best", "plan", "spend", "save")}
    figure = frontier_figure([(p.cost, p.saving) for p in best], chosen, names)
    rows = [
        [dollars(p.cost), dollars(p.saving), told.names(p.keys) or asked.say("panel.more.nothing")]
        for p in best[:: max(1, -(-len(best) // MOST_ROWS))]
    ]
    how = asked.say("panel.more.exact" if best[0].exact else "panel.more.searched")
    fold = asked.say("panel.more.fold")
    return {
        "sentences": [sentence, how],
        "chart": {"figure": figure, "sentence": sentence},
        "table": {"columns": told.all("panel.more.columns"), "rows": rows, "fold": fold},
    }


def _frontier_sentence(asked: Asked, best: Sequence[Proposal]) -> str:
    result = asked.result
    if not result.ticked:
        return asked.say("panel.more.none")
    most = max((p.saving for p in best if p.cost <= result.cost.likely + 0.5), default=0.0)
    blanks = {"cost": dollars(result.cost.likely), "saving": dollars(result.saved)}
    if dollars(most) == dollars(result.saved):
        return asked.say("panel.more.best", **blanks)
    return asked.say("panel.more.better", **blanks, most=dollars(most))
