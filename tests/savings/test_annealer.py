"""The product's search against annealing: never beaten by more than a thousandth, nothing refused that exists."""

import numpy as np
import pytest
from annealer import beaten, compare, questions
from examples import example

from retrofit_lab.savings.choosing import AIMS, ChoiceError, Limits, shortfall, within
from retrofit_lab.study.plan_tables import Chooser

HOUSES = ("alder_street", "wren_cottage")


@pytest.mark.slow
@pytest.mark.parametrize("number", range(4))
def test_search_is_not_beaten_by_annealing(number: int) -> None:
    asked = questions(4, 2026, HOUSES)[number]
    ours, theirs = compare(asked, number)
    assert not beaten(ours, theirs), f"{asked}: search {ours}, annealing {theirs}"


def test_a_worse_answer_counts_as_beaten() -> None:
    assert beaten(None, 5.0)
    assert beaten(100.0, 100.2)
    assert not beaten(100.0, 100.05)
    assert not beaten(100.0, None)


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize("share", [0.9, 0.99, 0.9999])
def test_a_saving_that_some_plan_reaches_is_not_refused(name: str, share: float) -> None:
    study = example(name)
    chooser = Chooser(study, study.keys)
    budget = 3_000.0
    most = float(chooser.best(Limits(budget=budget), "saving").saving[0])
    for aim in sorted(AIMS):
        found = chooser.best(Limits(budget=budget, saving=share * most), aim)
        assert found.saving[0] >= share * most * (1.0 - 1e-9)
        assert found.cost[0] <= budget * (1.0 + 1e-9)


@pytest.mark.parametrize("name", HOUSES)
def test_what_no_plan_reaches_is_refused_with_what_can_be_reached(name: str) -> None:
    study = example(name)
    chooser = Chooser(study, study.keys)
    most = float(chooser.best(Limits(budget=3_000.0), "saving").saving[0])
    with pytest.raises(ChoiceError, match=f"at most {most:,.0f}"):
        chooser.best(Limits(budget=3_000.0, saving=1.05 * most))


def test_shortfall_is_zero_where_the_limits_are_kept_and_only_there() -> None:
    study = example("wren_cottage")
    known = Chooser(study, study.keys).known
    rng = np.random.default_rng(3)
    for _ in range(20):
        limits = Limits(
            budget=float(rng.uniform(100, 9_000)),
            payback=float(rng.uniform(2, 30)),
            saving=float(rng.uniform(-50, 1_500)),
        )
        np.testing.assert_array_equal(shortfall(known, limits) == 0.0, within(known, limits))
