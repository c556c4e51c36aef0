"""Where what came out of the fifteen houses is not what a rater expected, as plain rows; nothing is argued or printed here."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from came_out import (
    bands,
    held,
    keys_of,
    phases_of,
    steps,
    to_settle,
    today,
)
from fifteen_houses import CLEAN, VARIANTS, differences, houses, study_of

LEADING = 5
COMBUSTION_TEST = "combustion test"
TO_SETTLE = "settle:"


@dataclass(frozen=True, slots=True, order=True)
class Row:
    """One expectation of one house that was not met; ``step`` is a measure, a job, a phase or an end use."""

    house: str
    variant: str
    kind: str
    step: str
    expected: str
    came_out: str

    @property
    def name(self) -> tuple[str, str, str, str]:
        """What an argument about it names."""
        return self.house, self.variant, self.kind, self.step


def numbers_outside(key: str) -> Iterator[Row]:
    """Uses and savings outside their bands."""
    for kind, found in (("use", today(key)), ("band", bands(key))):
        for one in found:
            if not one.inside:
                yield Row(key, CLEAN, kind, one.what, one.said, one.came_out)


def not_as_held(key: str, variant: str) -> Iterator[Row]:
    """Measures that should wait and do not, and those that wait and should not."""
    entry, waits = houses()[key][variant], held(key, variant)
    offered = study_of(key, variant).keys
    for hold in entry["held"]:
        for step in offered if "all" in hold["what"] else keys_of(hold["what"]):
            if step in offered and hold["by"] not in waits.get(step, ()):
                by = ", ".join(waits.get(step, ())) or "not held"
                yield Row(key, variant, "held", step, f"held by {hold['by']}", by)
    for step in keys_of(entry.get("goes_on", ())):
        if step in waits:
            yield Row(key, variant, "goes on", step, "goes on", f"held by {', '.join(waits[step])}")


def proposed_against_reason(key: str, variant: str) -> Iterator[Row]:
    """Steps that a rater would not propose, or not among the first."""
    came = steps(key, variant)
    for rule in houses()[key][CLEAN].get("must_not", ()):
        among = came[:LEADING] if rule.get("leading") else came
        wrong = [step for step in keys_of(rule["what"]) if step in among]
        if variant == CLEAN and _test_is_asked_for(key, rule["what"]):
            wrong.append(COMBUSTION_TEST)
        if rule.get("both") and len(wrong) < len(rule["what"]):
            continue
        for step in wrong:
            yield Row(
                key,
                variant,
                "must not",
                step,
                rule["why"],
                f"proposed as step {_place(step, came)}",
            )


def _test_is_asked_for(key: str, unwanted: list[str]) -> bool:
    """Whether a clean house waits for a combustion test that a rater would not do."""
    return COMBUSTION_TEST in unwanted and "combustion_untested" in to_settle(key, CLEAN)


def _place(step: str, came: tuple[str, ...]) -> str:
    return str(came.index(step) + 1) if step in came else "to settle first"


def out_of_order(key: str, variant: str) -> Iterator[Row]:
    """Phases that are missing or come in another order."""
    wanted, came = houses()[key][variant]["phases"], phases_of(key, variant)
    for phase in wanted:
        if phase not in came:
            yield Row(key, variant, "phases", phase, "a phase of the work", "missing")
    both = [phase for phase in came if phase in wanted]
    if both != [phase for phase in wanted if phase in both]:
        yield Row(key, variant, "phases", "order", ", ".join(wanted), ", ".join(came))


def not_leading(key: str, variant: str) -> Iterator[Row]:
    """First steps of a rater that are not among the first that came out."""
    there, came = to_settle(key, variant), steps(key, variant)
    for step in houses()[key][variant]["first_five"]:
        if step.startswith(TO_SETTLE):
            if step.removeprefix(TO_SETTLE) not in there:
                yield Row(key, variant, "first five", step, "to be settled", "not a hazard here")
        elif not set(keys_of([step])) & set(came[:LEADING]):
            places = [came.index(k) + 1 for k in keys_of([step]) if k in came]
            where = f"step {min(places)}" if places else "no step"
            yield Row(key, variant, "first five", step, "one of the first five steps", where)


STRICT: Mapping[str, Callable[[str, str], Iterator[Row]]] = {
    "held": not_as_held,
    "must not": proposed_against_reason,
    "phases": out_of_order,
}
"""What a test holds; the rest is read and argued."""


def all_rows() -> tuple[Row, ...]:
    """Every difference of all houses and both variants."""
    rows: list[Row] = []
    for key in houses():
        rows += numbers_outside(key)
        for variant in VARIANTS:
            for compare in (*STRICT.values(), not_leading):
                rows += compare(key, variant)
    return tuple(dict.fromkeys(rows))


def argued() -> Mapping[tuple[str, str, str, str], Any]:
    """Arguments by what they are about: house, variant, kind and step."""
    return {
        (house, variant, entry["kind"], step): entry
        for entry in differences()
        for house, variant, step in (place.split(maxsplit=2) for place in entry.get("at", ()))
    }
