"""What page and command say of hazards: the box on top, the line of a held measure; the report has its own words."""

from collections.abc import Mapping
from typing import Any

from retrofit_lab.safety.cautions import cautions
from retrofit_lab.safety.hazards import STOPS, Hazard
from retrofit_lab.study.study import Study

TITLE = "Stop: settle these first"
ALL_STOPS = "Stop all work. Settle the first danger below before anything else starts."
SOME_WAIT = "Some of the work must wait. What is named here comes before it."


def stop_box(study: Study, titles: Mapping[str, str]) -> dict[str, Any]:
    """Title, lead and one item for each hazard of the house; empty where it shows none."""
    if not study.case.hazards:
        return {}
    stopped = study.case.hazards[0].does == STOPS
    return {
        "title": TITLE,
        "lead": ALL_STOPS if stopped else SOME_WAIT,
        "items": [_item(study, hazard, titles) for hazard in study.case.hazards],
    }


def _item(study: Study, hazard: Hazard, titles: Mapping[str, str]) -> dict[str, Any]:
    held = [titles[key] for key in study.keys if hazard in study.case.holds[key]]
    urgent = f"{cautions()[hazard.caution].text} " if hazard.does == STOPS else ""
    limit = f" {hazard.limit} Source: {hazard.source} ({hazard.mark})." if hazard.limit else ""
    names = "; ".join(held) if hazard.does != STOPS else "everything"
    waits = f" Waits for it: {names}." if names else ""
    return {
        "title": hazard.title,
        "text": f"{urgent}{_released(hazard)}{limit}",
        "waits": waits.strip(),
        "open": hazard.does == STOPS,
    }


def _released(hazard: Hazard) -> str:
    return f"What releases it: {hazard.release} Who settles it: {hazard.settled_by}."


def hazard_lines(study: Study) -> list[str]:
    """Lines that the command prints before anything else; none where the house shows no hazard."""
    box = stop_box(study, {key: key for key in study.keys})
    if not box:
        return []
    items = [f"  {item['title']}. {item['text']} {item['waits']}".rstrip() for item in box["items"]]
    return [f"{box['title'].upper()}. {box['lead']}", *items]
