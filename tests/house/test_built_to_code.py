"""A house built to today's code is not given faults that nobody found: nothing in it is empty, bare, leaky or missing."""

from functools import cache

import numpy as np
import pytest

from retrofit_lab.house.first_answers import default_answers, first_answers, questions
from retrofit_lab.house.starting import starting_house
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.proposals.steps import rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study

FOUNDATIONS = next(row["options"] for row in questions() if row["key"] == "foundation")
PLACES = ("55401", "27401", "33101")
MENDS = (
    "attic_air_sealing", "attic_hatch", "band_joist_foam", "caulk_baseboards", "duct_insulation", "duct_mastic",
    "foundation_air_sealing", "outlet_gaskets", "relay_attic_batts", "seal_boots", "storm_windows", "wall_fill",
    "weatherstrip_doors", "window_weatherstrip",
)  # fmt: skip
"""What mends a fault or finishes what was left undone."""


@cache
def advice(year: str, foundation: str, place: str) -> Advice:
    answers = {**default_answers(), "name": "Plum Lane", "climate": place, "cooling": "central"}
    plan = first_answers({**answers, "year_built": year, "foundation": foundation})
    return Advice(Study(starting_house(plan)))


def mended(study: Study) -> tuple[float, float]:
    """Share of the bills that the largest fix saves by itself, and that all save which go together."""
    keys = [key for key in MENDS if key in study.keys]
    result = study.plan(keys)
    bill = result.before.cost
    return max(result.measures[key].alone for key in keys) / bill, result.saved / bill


def test_every_mend_is_in_the_catalog() -> None:
    assert set(MENDS) <= {measure.key for measure in catalog()}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("foundation", FOUNDATIONS)
def test_nothing_is_empty_bare_or_leaky(foundation: str, place: str) -> None:
    study = advice("2023", foundation, place).study
    house = study.as_found
    assert house.observations == ()
    assert {hazard.key for hazard in study.case.hazards} <= {"combustion_untested"}
    for surface in house.surfaces:
        assert float(np.max(surface.missing_fraction)) == 0.0, surface.key
        assert float(np.max(surface.gap_fraction)) <= 0.02, surface.key
    largest, together = mended(study)
    assert largest < 0.03
    assert together < 0.08


@pytest.mark.parametrize("place", PLACES)
def test_nothing_is_proposed_to_be_mended(place: str) -> None:
    proposed = rater_plan(advice("2023", FOUNDATIONS[0], place), sure=False).ticked
    assert not set(proposed) & set(MENDS)


def test_an_old_house_has_what_a_new_one_has_not() -> None:
    old, new = (mended(advice(year, FOUNDATIONS[0], PLACES[0]).study) for year in ("1935", "2023"))
    assert old[1] > 2.5 * new[1]
