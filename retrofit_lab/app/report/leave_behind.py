"""The part of a report that stays alive without Python: every set of measures, worked out and packed into the page.

The browser only looks sets up and adds prices (``static/leave_behind.js``); the model is not in the page.
"""

import base64
import json
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from math import isfinite
from pathlib import Path
from typing import Any

import numpy as np

from retrofit_lab.app.shared.scripts import STATIC
from retrofit_lab.app.shared.surroundings import CHART_LIBRARY
from retrofit_lab.app.shared.words import Words
from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.values import BoolArray, FloatArray, InputError
from retrofit_lab.money.purchase import Anyway, Visit
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.worth import cost_factors_over_life
from retrofit_lab.proposals.all_plans import AllSets
from retrofit_lab.safety.cautions import Caution, cautions_for
from retrofit_lab.safety.hazards import STOPS, Hazard
from retrofit_lab.savings.plan_energies import PlanEnergies
from retrofit_lab.study.study import Study

SCRIPT = "leave_behind.js"
STYLE = "leave_behind.css"
MOST_STEPS = 2**31 - 1
"""Steps in which the saved energy of a fuel is stored: a 32-bit number, finer than a thousandth of a cent."""


@dataclass(frozen=True, slots=True)
class LeaveBehind:
    """Markup of the part that stays alive, and the scripts that the page ends with."""

    markup: str
    scripts: str


def leave_behind(study: Study, sets: AllSets, chosen: tuple[str, ...], words: Words) -> LeaveBehind:
    """The part of a report that a homeowner can tick at home.

    Parameters
    ----------
    study : Study
        House, weather, prices and measures.
    sets : AllSets
        Every set of the measures that the page offers.
    chosen : tuple of str
        Measures that are ticked when the page opens; those that the page does not offer are left out.
    words : Words
        Language.
    """
    data = page_data(study, sets, chosen, words)
    styles = f"<style>{_own(STATIC / STYLE)}</style>"
    notes = [words.say("try.lead")]
    if set(chosen) - set(sets.keys):
        notes.append(words.say("try.not_here"))
    paragraphs = "".join(f"<p>{escape(note)}</p>" for note in notes)
    without = f"<noscript><p>{escape(words.say('try.no_script'))}</p></noscript>"
    scripts = [
        f'<script type="application/json" id="try-data">{_as_json(data)}</script>',
        f"<script>{_own(STATIC / SCRIPT)}</script>",
        f"<script>{_own(CHART_LIBRARY)}</script>",
    ]
    before = f"{styles}{_stop_box(study, sets, words)}{paragraphs}{_left_out(study, sets, words)}"
    return LeaveBehind(
        markup=f'{before}{without}<div id="try-page"></div>',
        scripts="\n".join(scripts),
    )


def _stop_box(study: Study, sets: AllSets, words: Words) -> str:
    """The hazards of the house with what waits for each and what releases it; nothing where it shows none."""
    hazards = study.case.hazards
    if not hazards:
        return ""
    lead = words.say("stop.all" if hazards[0].does == STOPS else "stop.some")
    items = "".join(f"<li>{_hazard(study, sets, hazard, words)}</li>" for hazard in hazards)
    title = escape(words.say("stop.title"))
    return (
        f'<div id="try-stop" class="stop"><h3>{title}</h3><p><strong>{escape(lead)}</strong></p>'
        f"<ul>{items}</ul></div>"
    )


def _hazard(study: Study, sets: AllSets, hazard: Hazard, words: Words) -> str:
    said = words.hazard(hazard)
    held = [key for key in sets.keys if hazard in study.case.holds[key]]
    names = words.listed(words.title(study.offer(key).measure) for key in held) if held else ""
    waits = words.say("stop.holds", names=names) if names else words.say("stop.holds_none")
    if hazard.does == STOPS:
        waits = f"{said['text']} {words.say('stop.holds_all')}"
    how = words.say("stop.release", release=said["release"], who=said["settled_by"])
    return f"<strong>{escape(said['title'])}.</strong> {escape(waits)} {escape(how)}"


def _released(held_by: Sequence[Hazard], words: Words) -> str:
    """Sentences on what a measure waits for and what releases it."""
    said = [words.hazard(hazard) for hazard in held_by]
    return " ".join(
        words.say("try.held", title=one["title"], release=one["release"], who=one["settled_by"])
        for one in said
    )


def _left_out(study: Study, sets: AllSets, words: Words) -> str:
    """Measures that would make too many sets, named where somebody asks for them."""
    if not sets.left_out:
        return ""
    titles = [words.title(study.offer(key).measure) for key in sets.left_out]
    items = "".join(f"<li>{escape(title)}</li>" for title in titles)
    summary = escape(words.say("try.left_out", count=len(titles)))
    return f'<details id="try-left-out"><summary>{summary}</summary><ul>{items}</ul></details>'


def page_data(study: Study, sets: AllSets, chosen: tuple[str, ...], words: Words) -> dict[str, Any]:
    """Everything that the page's script reads."""
    nothing = study.money.year(sets.energy)
    raised, named = _cautions(study, sets, words)
    minimum = study.plan(()).minimum_air
    return {
        "texts": {name: words.texts[name] for name in ("try", "form", "summary")},
        "measures": [_measure(study, sets, key, words, raised[key]) for key in sets.keys],
        "chosen": [place for place, key in enumerate(sets.keys) if key in chosen],
        "before": nothing.cost,
        "years": study.terms.period_years,
        "visits": [_visit(visit, sets) for visit in study.money.purchases.only(sets.keys).visits],
        "rebates": [
            _rebate(rebate, sets) for rebate in study.money.purchases.only(sets.keys).rebates
        ],
        "anyway": [_anyway(study, sets, purchase) for purchase in study.money.purchases.anyway],
        "fuels": [*_fuels(study, sets.energy.energy), *_rest(study, sets.energy)],
        "air": _packed(np.rint(_flows(sets, words)).astype("<u2")),
        "flow_unit": words.number(0.0, "cfm")[1],
        "below": _bits(sets.energy.ventilation < minimum),
        "minimum": words.flow(minimum),
        "cautions": named,
    }


def _flows(sets: AllSets, words: Words) -> FloatArray:
    """Outdoor air of every set in the unit that is shown."""
    return sets.energy.ventilation * words.number(1.0, "cfm")[0]


def _measure(
    study: Study, sets: AllSets, key: str, words: Words, cautions: list[int]
) -> dict[str, Any]:
    offer, terms = study.offer(key), study.terms
    first, later = cost_factors_over_life(
        offer.measure.life.years, terms.period_years, terms.discount_rate
    )
    rivals = [
        place
        for place, other in enumerate(sets.keys)
        if study.case.conflict((key, other)) and other != key
    ]
    return {
        "key": key,
        "title": words.title(offer.measure),
        "why": words.why(offer.measure),
        "who": f"{words.say('recommended.who')}: {words.say(f'doer.{offer.measure.doer}')}",
        "cost": [offer.cost_low, offer.cost_likely, offer.cost_high],
        "first": first,
        "later": later,
        "rivals": rivals,
        "needs": [sets.keys.index(other) for other in offer.measure.needs if other in sets.keys],
        "cautions": cautions,
        "held": _released(study.case.holds[key], words),
        "before": [sets.keys.index(k) for k in study.case.earlier(key) if k in sets.keys],
    }


def _visit(visit: Visit, sets: AllSets) -> dict[str, Any]:
    """Measures that one visit of a trade does, and what coming costs in the price of each."""
    pairs = zip(visit.measures, visit.setups, strict=True)
    there = [(sets.keys.index(key), setup) for key, setup in pairs if key in sets.keys]
    return {
        "measures": [place for place, _ in there],
        "setups": [setup for _, setup in there],
    }


def _rebate(rebate: Rebate, sets: AllSets) -> dict[str, Any]:
    """An entry of rebates; no measures mean all of them."""
    return {
        "amount": rebate.amount,
        "percent": rebate.percent,
        "cap": rebate.cap if isfinite(rebate.cap) else None,
        "measures": [sets.keys.index(key) for key in rebate.measures],
    }


def _anyway(study: Study, sets: AllSets, purchase: Anyway) -> dict[str, Any]:
    """What must be bought anyway: its price, its present worth, and the measures that take its place."""
    return {
        "price": purchase.price,
        "worth": study.money.purchases.present_price(purchase),
        "measures": [sets.keys.index(key) for key in purchase.measures if key in sets.keys],
    }


def _cautions(
    study: Study, sets: AllSets, words: Words
) -> tuple[dict[str, list[int]], list[dict[str, Any]]]:
    """Places of each measure's cautions in the list of all, and that list in the data's order."""
    measures = [study.offer(key).measure for key in sets.keys]
    raised = cautions_for(study.as_found, measures, below_minimum_ventilation=True)
    wanted = [item for item in raised if item.measures]
    places = {
        key: [place for place, item in enumerate(wanted) if key in item.measures]
        for key in sets.keys
    }
    return places, [_caution(item.caution, words) for item in wanted]


def _caution(caution: Caution, words: Words) -> dict[str, Any]:
    """A caution; ``below`` when it belongs only to sets that bring in too little outdoor air."""
    title, text, _ = words.caution(caution)
    return {"title": title, "text": text, "below": caution.only_below_minimum_ventilation}


def _fuels(study: Study, energy: FloatArray) -> list[dict[str, Any]]:
    """Energy that each set saves of each fuel, with what a unit of it is worth."""
    return [row for fuel in study.fuels if (row := _fuel(study, fuel, energy))]


def _fuel(study: Study, fuel: str, energy: FloatArray) -> dict[str, Any] | None:
    mine = np.array([name == fuel for name, _ in study.uses])
    content = fuels()[fuel].heat_content
    saved = (energy[0] - energy)[:, mine].sum(axis=1) / content
    price = _plain_price(study, fuel) * content
    return _saved_row(saved, price, price * study.money.worth_per_dollar(fuel), fuels()[fuel].co2)


def _rest(study: Study, found: PlanEnergies) -> list[dict[str, Any]]:
    """What each set saves of each fuel's bill beside the plain price of its energy, such as its fixed charge."""
    saved, charged = found.energy[0] - found.energy, found.charges[0] - found.charges
    rows = []
    for place, fuel in enumerate(study.fuels):
        mine = [name == fuel for name, _ in study.uses]
        rest = charged[:, place] - _plain_price(study, fuel) * saved[:, mine].sum(axis=1)
        rows.append(_saved_row(np.round(rest, 6), 1.0, study.money.worth_per_dollar(fuel), 0.0))
    return [row for row in rows if row]


def _plain_price(study: Study, fuel: str) -> float:
    """Price of the first use of a fuel, which all have at a plain rate. [dollars/Btu]"""
    return float(study.money.prices[[name for name, _ in study.uses].index(fuel)])


def _saved_row(saved: FloatArray, price: float, worth: float, co2: float) -> dict[str, Any] | None:
    """Amounts that sets save in whole steps, and what one of them is worth; nothing where none saves any."""
    largest = float(np.abs(saved).max())
    if largest == 0.0:
        return None
    step = largest / MOST_STEPS
    packed = _packed(np.rint(saved / step).astype("<i4"))
    return {"price": price, "worth": worth, "co2": co2, "step": step, "saved": packed}


def _bits(values: BoolArray) -> str:
    return _packed(np.packbits(values, bitorder="little"))


def _packed(values: Any) -> str:
    return base64.b64encode(values.tobytes()).decode("ascii")


def _as_json(data: dict[str, Any]) -> str:
    """JSON that cannot end the element it stands in."""
    return json.dumps(data, allow_nan=False, ensure_ascii=False).replace("<", "\\u003c")


def _own(path: Path) -> str:
    """One of our own files, to be placed inside a script or style element."""
    text = path.read_text(encoding="utf-8")
    if "</script" in text.lower() or "</style" in text.lower():
        raise InputError(f"{path.name} would end its element; install the program again.")
    return text
