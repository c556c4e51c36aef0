"""How sure a plan's saving is and what would narrow it: a question of the page, in words."""

from retrofit_lab.app.page.asking import Asked, Content
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.base.parameters import parameters
from retrofit_lab.uncertainty.narrowing import Narrowing
from retrofit_lab.uncertainty.sampling import PRICE


def how_sure(asked: Asked) -> Content:
    """Ranges of the plan in words, and what would narrow them."""
    if not asked.ticked:
        return asked.only("panel.sure.none")
    sure = asked.advice.how_sure(asked.ticked, worked_out=asked.values["counted"] >= 1)
    saving, payback, told = sure.outcome.saving, sure.outcome.payback, asked.told
    low, middle, high = map(dollars, (saving.low, saving.middle, saving.high))
    which = "panel.sure.perfect" if sure.worked_out else "panel.sure.real"
    sentences = [
        asked.say(which, low=low, middle=middle, high=high),
        asked.say("panel.sure.payback", low=told.years(payback.low), high=told.years(payback.high)),
        asked.say("panel.sure.chance", chance=told.chance(sure.outcome.pays_back)),
    ]
    if not sure.worked_out:
        sentences.append(asked.say("panel.sure.why"))
    if sure.air_share:
        sentences.append(asked.say("panel.sure.air", share=f"{sure.air_share:.0%}"))
    items = [_narrow(asked, narrowing) for narrowing in sure.to_measure]
    return {"sentences": sentences, "heading": asked.say("panel.sure.heading"), "items": items}


def _narrow(asked: Asked, narrowing: Narrowing) -> str:
    cause = narrowing.cause
    if cause.startswith(PRICE):
        fuel = asked.say(f"fuel.{cause.removeprefix(f'{PRICE}.')}")
        what = asked.say("panel.sure.price_of", fuel=fuel)
    else:
        what = asked.told.words.names.parameter(parameters()[cause])
        if narrowing.places:
            where = asked.told.words.joined(map(asked.told.words.names.part, narrowing.places))
            what = asked.say("panel.sure.what_at", what=what, where=where)
    return asked.say(
        "panel.sure.narrow",
        what=what,
        share=f"{narrowing.share:.0%}",
        narrower=f"{narrowing.narrower:.0%}",
    )
