"""What the command line prints of a proposal: its steps in order, what the house needs, what to look at first."""

from collections.abc import Iterator, Sequence

from retrofit_lab.app.shared.step_wording import StepWords
from retrofit_lab.app.shared.words import words
from retrofit_lab.proposals.look_first import LookFirst
from retrofit_lab.proposals.steps import SETTLE, Proposal, Step
from retrofit_lab.study.study import Study
from retrofit_lab.texts.english_only import sentence

LANGUAGE = "en"
MOST_LOOKED = 8
"""Things to look at that are printed; the others are counted."""
ASKED_OF_A_CHECK = 3


def step_lines(study: Study, proposed: Proposal, *, chosen: bool) -> list[str]:
    """The steps in their order under the names of their phases, and what to look at first; chosen or proposed."""
    told = StepWords(study, words(LANGUAGE))
    head = (
        sentence("commands_step_lines.chosen_plan")
        if chosen
        else sentence("commands_step_lines.what_rater")
    )
    lines = [head] if proposed.steps else []
    phase = ""
    for place, step in enumerate(proposed.steps, 1):
        lines += [told.phase(step.phase)] if step.phase != phase else []
        lines += _step(told, place, step, proposed.steps)
        phase = step.phase
    now = told.startable(proposed)
    return [*lines, *([now] if now else []), *look_lines(study, proposed, MOST_LOOKED)]


def _step(told: StepWords, place: int, step: Step, steps: Sequence[Step]) -> Iterator[str]:
    yield f"{place:3d}. {step.key:28s} {_money(step)}".rstrip()
    where = f" ({'; '.join(step.where)})" if step.where else ""
    said = [*told.why(step), *told.order(step, steps)]
    said += [told.kind(step)] if step.needed or not step.in_plan else []
    yield f"     {told.title(step)}{where}. {' '.join(said)}"


def _money(step: Step) -> str:
    """Cost and saving of a step; a hazard has neither before someone looked."""
    if step.cost is None:
        return ""
    comes = f" ({step.span.low:.0f} to {step.span.high:.0f} in real houses)" if step.span else ""
    saves = f"  saves {step.saving:8.2f}{comes}" if step.saving or step.span else ""
    return f"cost {step.cost.likely:9.2f}{saves}"


def look_lines(study: Study, proposed: Proposal, most: int) -> list[str]:
    """What to look at first, what matters most before the rest."""
    told, found = StepWords(study, words(LANGUAGE)), proposed.look_first
    if not found:
        return []
    title, lead = told.look_heading()
    left = len(found) - most
    more = [f"     and {left} more"] if left > 0 else []
    return [f"{title}. {lead}", *(_look(told, item) for item in found[:most]), *more]


def _look(told: StepWords, item: LookFirst) -> str:
    return f"     {item.key:28s} {' '.join(told.look_at(item))}"


def needs_lines(study: Study, proposed: Proposal) -> list[str]:
    """What a house needs for health or to last, and the first things to look at, as a check says it."""
    told = StepWords(study, words(LANGUAGE))
    needed = [step for step in proposed.steps if step.needed and step.kind != SETTLE]
    lines = [f"needed here: {told.title(s)}. {' '.join(told.why(s))}" for s in needed]
    return [*lines, *look_lines(study, proposed, ASKED_OF_A_CHECK)]
