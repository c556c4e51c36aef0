"""What the program makes of the fifteen houses, in the terms of what a rater expects of them; no expectation is here."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from fifteen_houses import CLEAN, expected, houses, measures_since, study_of

from retrofit_lab.base.fuels import fuels
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.proposals.steps import SETTLE, Proposal, rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study

USES = {
    "heating": ("heating",),
    "cooling": ("cooling",),
    "heating and cooling": ("heating", "cooling"),
    "hot water": ("hot_water",),
}
"""End uses of the program by the words of the expectations; fans of ducts are counted apart."""
FUELS = {
    "kWh": ("electricity",),
    "therm": ("natural_gas",),
    "gallon": ("heating_oil", "propane"),
    "MMBtu": tuple(fuels()),
}
BTU_PER_MMBTU = 1e6
PHASE_NAMES = {"seal_and_insulate": "shell", "ventilation": "fresh_air", "over_time": "later"}
"""Phases of the program by the names that the expectations have for them, where they differ."""


@dataclass(frozen=True, slots=True)
class Found:
    """A number that came out beside the band that was expected; ``number`` is None where nothing was offered."""

    what: str
    of: str
    low: float
    high: float
    number: float | None

    @property
    def inside(self) -> bool:
        """Whether it lies in the band."""
        return self.number is not None and self.low <= self.number <= self.high

    @property
    def said(self) -> str:
        """What was expected."""
        if self.of in FUELS:
            return f"{self.low:,.0f} to {self.high:,.0f} {self.of}"
        return f"{self.low:.1%} to {self.high:.1%} of {self.of}"

    @property
    def came_out(self) -> str:
        """What came out."""
        if self.number is None:
            return "not offered"
        return f"{self.number:,.0f}" if self.of in FUELS else f"{self.number:.1%}"


def keys_of(names: Iterable[str]) -> tuple[str, ...]:
    """Measures of today's catalog that jobs and keys of the expectations stand for, without repetition."""
    jobs, since = expected()["jobs"], measures_since()
    return todays_keys(key for n in names for key in [*jobs.get(n, ()), *since.get(n, ())] or [n])


def todays_use(study: Study, of: str, unit: str) -> float:
    """Energy of an end use of a house as found. [unit]"""
    used = study.energies.single.energy[0]
    wanted = [i for i, (f, use) in enumerate(study.uses) if use in USES[of] and f in FUELS[unit]]
    contents = {
        "MMBtu": BTU_PER_MMBTU,
        **{fuel.unit: fuel.heat_content for fuel in fuels().values() if fuel.key in study.fuels},
    }
    return float(sum(used[wanted])) / contents[unit]


def saving(study: Study, keys: Sequence[str], of: str) -> float | None:
    """What measures save together: kWh, or the share of an end use or of all energy; None where none is offered."""
    offered = without_rivals(study, keys)
    if not offered:
        return None
    before, after = study.energy(np.array([study.mask(()), study.mask(offered)])).energy
    if of == "kWh":
        wanted = [i for i, (fuel, _) in enumerate(study.uses) if fuel == "electricity"]
        return float(sum(before[wanted] - after[wanted])) / fuels()["electricity"].heat_content
    wanted = [i for i, (_, use) in enumerate(study.uses) if of == "all energy" or use in USES[of]]
    return float(1.0 - sum(after[wanted]) / sum(before[wanted]))


def without_rivals(study: Study, keys: Iterable[str]) -> tuple[str, ...]:
    """Those of some measures that this house is offered, the first of two that cannot go together."""
    chosen: list[str] = []
    for key in keys:
        if key in study.keys and not study.case.rivals[key] & set(chosen):
            chosen.append(key)
    return tuple(chosen)


def today(key: str) -> tuple[Found, ...]:
    """A year's use of a clean house beside what was expected."""
    study = study_of(key, CLEAN)
    return tuple(
        Found(u["of"], u["unit"], u["low"], u["high"], todays_use(study, u["of"], u["unit"]))
        for u in houses()[key]["today"]
    )


def bands(key: str) -> tuple[Found, ...]:
    """Savings of single steps and of the whole plan of a clean house beside what was expected."""
    entry, study = houses()[key][CLEAN], study_of(key, CLEAN)
    rows = [
        Found(b["step"], b["of"], b["low"], b["high"], saving(study, keys_of([b["step"]]), b["of"]))
        for b in entry["band"]
    ]
    plan, band = keys_of(entry["plan"]), entry["plan_band"]
    whole = saving(study, plan, "all energy")
    return (*rows, Found("the plan", "all energy", band["low"], band["high"], whole))


@cache
def proposed(key: str, variant: str) -> Proposal:
    """What the program proposes for a house."""
    return rater_plan(Advice(study_of(key, variant)), sure=False)


def steps(key: str, variant: str) -> tuple[str, ...]:
    """Measures that are proposed, in the order of the work, without what settles a hazard."""
    return tuple(step.key for step in proposed(key, variant).steps if step.phase != SETTLE)


def to_settle(key: str, variant: str) -> tuple[str, ...]:
    """Hazards of a house, if its steps begin with settling them."""
    phases = [step.phase for step in proposed(key, variant).steps]
    there = tuple(hazard.key for hazard in study_of(key, variant).case.hazards)
    return there if phases[:1] == [SETTLE] else ()


def phases_of(key: str, variant: str) -> tuple[str, ...]:
    """Phases of the plan, in order, by the names of the expectations; what the plan shows waiting is in it."""
    there = (s.phase for s in proposed(key, variant).steps if s.in_plan or not s.waits)
    return tuple(dict.fromkeys(PHASE_NAMES.get(phase, phase) for phase in there))


def held(key: str, variant: str) -> Mapping[str, tuple[str, ...]]:
    """Hazards by the measures that wait for them."""
    return {k: tuple(h.key for h in v) for k, v in study_of(key, variant).case.holds.items() if v}
