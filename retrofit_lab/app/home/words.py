"""What the page at home says of a house in one language and one system of units; the sentences stand in the catalog."""

from typing import Any

from retrofit_lab.app.home.numbers import Known, reasons
from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.now_content import sure_content
from retrofit_lab.app.page.page_content import page_content
from retrofit_lab.app.page.plan_view import plan_content
from retrofit_lab.app.page.starts import STARTS, budget_line, starting_plan, starts_content
from retrofit_lab.app.page.told import Told
from retrofit_lab.app.shared.section_layout import anchors, layout_of
from retrofit_lab.app.shared.shown_units import KG_PER_LB
from retrofit_lab.app.shared.wording import lowered
from retrofit_lab.house.parts import LOSING
from retrofit_lab.measures.catalog import PHASES
from retrofit_lab.proposals.dollars_by_part import OTHERS
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.proposals.steps import settles_hazard
from retrofit_lab.proposals.stretches import stretches
from retrofit_lab.safety.cautions import Raised, cautions, cautions_for
from retrofit_lab.safety.hazards import STOPS, Hazard
from retrofit_lab.study.advice import Advice

PANELS = ("next", "budget", "years", "sure", "move", "payment")
"""Questions of the page that need no model."""


def plans_to_start_from(advice: Advice) -> dict[str, tuple[str, ...]]:
    """The plans that a page begins with."""
    return {name: starting_plan(advice, name) for name in STARTS}


def home_page(told: Told, known: Known, plans: dict[str, tuple[str, ...]]) -> dict[str, Any]:
    """What the page is drawn from, its starts and its budgets, and the words for any plan."""
    real, house = RealHouses(told.study), HouseDrawing(told)
    page = page_content(told, told.study.plan(()), house.parts)
    return {
        "page": {**_fitted(page, told), "drawing": house.shape()},
        "starts": starts_content(told, real, plans),
        "line": budget_line(told, real, known.advice),
        "words": _words(told, known, house, plans),
    }


def _fitted(page: dict[str, Any], told: Told) -> dict[str, Any]:
    """The page without what needs the program."""
    panels = [panel for panel in page["panels"] if panel["key"] in PANELS]
    for panel in panels:
        panel["fields"] = [] if panel["key"] == "sure" else panel["fields"]
    about = [*page["about"], told.say("home.about_guess")]
    gone = {"texts": {}, "anyway": [], "files": False, "makes_report": False}
    return {**page, **gone, "panels": panels, "about": about, "note": told.say("home.note")}


def _words(
    told: Told, known: Known, house: HouseDrawing, plans: dict[str, tuple[str, ...]]
) -> dict[str, Any]:
    study, case, proposed = told.study, told.study.case, known.proposed
    return {
        "titles": [told.titles[key] for key in study.keys],
        "who": [told.say(f"doer.{offer.measure.doer}") for offer in study.offers],
        "holds": [
            [lowered(told.hazard(hazard)["title"]) for hazard in case.holds[key]]
            for key in study.keys
        ],
        "hazards": [
            {
                "title": told.hazard(hazard)["title"],
                "text": told.released(hazard),
                "settlers": _settlers(told, hazard),
            }
            for hazard in case.hazards
        ],
        "stopped": any(hazard.does == STOPS for hazard in case.hazards),
        "own": plan_content(told, proposed, RealHouses(study).of_plan(proposed.result))["own"],
        "phases": [told.say(f"phase.{phase}") for phase in PHASES],
        "reasons": [
            told.plain(told.words.names.word(text)) if text else "" for text in reasons(study)
        ],
        "cautions": _cautions(told),
        "known": [_how_sure(told, known, keys) for keys in plans.values() if keys],
        "flow": list(told.words.number(1.0, "cfm")),
        "carbon": list(told.words.number(1.0 / KG_PER_LB, "lb")),
        "parts": _parts(told, house),
    }


def _cautions(told: Told) -> list[dict[str, Any]]:
    """All notes that a plan of this house may call for, the gravest first."""
    study = told.study
    measures = [offer.measure for offer in study.offers]
    there = cautions_for(study.as_found, (), below_minimum_ventilation=False)
    always = {item.caution.key for item in there}
    raised = cautions_for(study.as_found, measures, below_minimum_ventilation=True)
    return [_caution(told, item, own=item.caution.key in always) for item in raised]


def _settlers(told: Told, hazard: Hazard) -> list[int]:
    """Places of the fixes that settle a hazard."""
    study = told.study
    return [
        place
        for place, key in enumerate(study.keys)
        if settles_hazard(study, key)
        and set(study.offer(key).measure.rests_on) == set(hazard.tells)
    ]


def _caution(told: Told, item: Raised, *, own: bool) -> dict[str, Any]:
    only_below = item.caution.only_below_minimum_ventilation and not own
    return {
        "tier": told.say(f"tier.{item.tier}"),
        **told.caution(item.caution),
        "fixes": [told.study.keys.index(key) for key in item.measures],
        "below": only_below,
        "house": own,
        "air": item.caution.key == cautions()["minimum_ventilation"].key,
    }


def _how_sure(told: Told, known: Known, keys: tuple[str, ...]) -> dict[str, Any]:
    """The range of a plan to start from, as the page tells it."""
    result = told.study.plan(keys)
    end = stretches(RealHouses(told.study).of_plan(result), result.ticked).end
    return sure_content(told, result.ticked, known.sure[keys], end)


def _parts(told: Told, house: HouseDrawing) -> dict[str, Any]:
    keys = told.study.keys
    ends = anchors(layout_of(house.section))
    return {
        "shown": house.shown,
        "names": {
            part: house.name(part) for part in dict.fromkeys((*house.shown, *LOSING, *OTHERS))
        },
        "fixes": {
            part: [keys.index(key) for key in keys if part in house.parts[key]]
            for part in house.shown
        },
        "anchors": {
            part: {"start": ends[part].start, "direction": ends[part].direction}
            for part in house.shown
            if part in ends
        },
    }
