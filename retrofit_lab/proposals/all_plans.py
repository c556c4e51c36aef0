"""The measures that the report works out in every combination; no words."""

from dataclasses import dataclass

from retrofit_lab.base.values import BoolArray
from retrofit_lab.savings.combinations import MOST_MEASURES, all_plans
from retrofit_lab.savings.plan_energies import PlanEnergies
from retrofit_lab.study.plan_tables import places_of
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AllSets:
    """Every set of some measures of a house, in the order of set numbers.

    ``keys`` are the measures, a bit each; ``left_out`` those that would make too many sets; ``masks``
    has shape (2**n, offers), ``energy`` a row for each set.
    """

    keys: tuple[str, ...]
    left_out: tuple[str, ...]
    masks: BoolArray
    energy: PlanEnergies


def all_sets(study: Study, first: tuple[str, ...] = ()) -> AllSets:
    """Every set of the measures of a house, or of the sixteen that matter most.

    Parameters
    ----------
    study : Study
        House, weather, prices and measures.
    first : tuple of str
        Measures that are kept whatever they save; after them come those with the largest net savings
        by themselves.
    """
    keys = worth_most(study.plan(()), first)
    masks = study.case.widened(all_plans(len(keys)), places_of(study, keys))
    left_out = tuple(key for key in study.keys if key not in keys)
    return AllSets(keys=keys, left_out=left_out, masks=masks, energy=study.energy(masks))


def worth_most(
    nothing: PlanResult, first: tuple[str, ...] = (), most: int | None = None
) -> tuple[str, ...]:
    """Measures with the largest net savings by themselves, after those named first; in catalog order."""
    ranked = sorted(
        nothing.measures.values(), key=lambda row: (row.key not in first, -row.net_savings)
    )
    kept = {row.key for row in ranked[: MOST_MEASURES if most is None else most]}
    return tuple(key for key in nothing.measures if key in kept)
