"""What the command line prints of hazards before anything else; the sentences are the report's."""

from retrofit_lab.app.shared.words import Words, words
from retrofit_lab.safety.hazards import STOPS, Hazard
from retrofit_lab.study.study import Study

LANGUAGE = "en"


def hazard_lines(study: Study) -> list[str]:
    """A line on what stops and one for each hazard; none where the house shows no hazard."""
    hazards = study.case.hazards
    if not hazards:
        return []
    said = words(LANGUAGE)
    lead = said.say("stop.all" if hazards[0].does == STOPS else "stop.some")
    items = [f"  {' '.join(_item(study, hazard, said))}" for hazard in hazards]
    return [f"{said.say('stop.title').upper()}. {lead}", *items]


def _item(study: Study, hazard: Hazard, said: Words) -> list[str]:
    """What a hazard is, what to do at once, what settles it, its limit, and what waits."""
    told, stops = said.names.hazard(hazard), hazard.does == STOPS
    held = [key for key in study.keys if hazard in study.case.holds[key]]
    parts = [f"{told['title']}.", *([told["text"]] if stops else [])]
    parts.append(said.say("stop.release", release=told["release"], who=told["settled_by"]))
    if hazard.limit:
        parts += [told["limit"], said.say("safety.source", source=told["source"])]
    if stops:
        parts.append(said.say("stop.holds_all"))
    elif held:
        parts.append(said.say("stop.holds", names="; ".join(held)))
    return parts
