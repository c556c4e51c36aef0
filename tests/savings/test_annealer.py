"""The product's search against annealing: never beaten by more than a thousandth, nothing refused that exists."""

from functools import cache

import numpy as np
import pytest
from annealer import COLUMN, annealed, beaten, compare, questions
from examples import example
from test_searching import chooser_of, made_up

from retrofit_lab.savings.choosing import AIMS, ChoiceError, Limits, Sets, shortfall, within
from retrofit_lab.savings.searching import best_found, gathered
from retrofit_lab.study.plan_tables import places_of, table_of

HOUSES = ("alder_street", "wren_cottage")
FOUND = {
    ("alder_street", "saving"): (
        "recessed_led_retrofit attic_hatch band_joist_boards foundation_air_sealing seal_boots outlet_gaskets "
        "caulk_baseboards weatherstrip_doors attic_insulation kneewall_floor_insulation kneewall_insulation "
        "wall_sheathing basement_ceiling_insulation storm_windows duct_mastic duct_insulation night_setback "
        "lower_heating_setting higher_cooling_setting cooling_tune_up clean_filter blower_motor tank_setpoint "
        "pipe_insulation tap_aerators shower_heads cold_wash heat_pump_tank led_lamps room_sensors porch_sensors "
        "standby_strips retire_second_refrigerator"
    ),
    ("wren_cottage", "net_savings"): (
        "seal_boots attic_insulation wall_fill night_setback lower_heating_setting tank_setpoint tap_aerators "
        "cold_wash led_lamps fluorescent_to_led standby_strips"
    ),
    ("wren_cottage", "cost"): (
        "attic_hatch band_joist_boards seal_boots night_setback lower_heating_setting higher_cooling_setting "
        "cooling_tune_up burner_tune_up tank_setpoint tank_wrap tap_aerators shower_heads cold_wash led_lamps "
        "fluorescent_to_led standby_strips"
    ),
}
"""Plans by which annealing once beat the search: large measures share a crew, or make small ones needless."""


@cache
def most_saving(name: str) -> float:
    return float(chooser_of(name).best(Limits(budget=3_000.0), "saving").saving[0])


def worth(sets: Sets, aim: str) -> float:
    return float(getattr(sets, COLUMN[aim])[0]) * (-1.0 if aim == "cost" else 1.0)


@pytest.mark.parametrize(("name", "aim"), FOUND)
def test_search_is_not_beaten_by_plans_that_annealing_found(name: str, aim: str) -> None:
    study, keys = example(name), FOUND[name, aim].split()
    theirs = table_of(study, np.ones((1, len(keys)), dtype=bool), places_of(study, keys))
    assert theirs.allowed.all()
    limits = Limits(budget=float(theirs.cost[0]))
    if aim == "cost":
        limits = Limits(saving=float(theirs.saving[0]))
    assert not beaten(worth(chooser_of(name).best(limits, aim), aim), worth(theirs, aim))


@pytest.mark.parametrize("number", range(8))
def test_search_is_not_beaten_by_annealing_among_made_up_measures(number: int) -> None:
    choice, _ = made_up(26, 100 + number, every=False)
    limits, aim = questions(8, 7, HOUSES)[number].limits, questions(8, 7, HOUSES)[number].aim
    theirs = annealed(choice, limits, aim, number)
    try:
        ours = worth(best_found(choice, gathered(choice), limits, aim), aim)
    except ChoiceError:
        ours = None
    assert not beaten(ours, theirs), f"{aim} within {limits}: search {ours}, annealing {theirs}"


@pytest.mark.slow
def test_search_is_not_beaten_by_annealing_in_a_house() -> None:
    asked = questions(4, 2026, HOUSES)[3]
    ours, theirs = compare(asked, 3, steps=200)
    assert theirs is not None
    assert not beaten(ours, theirs), f"{asked}: search {ours}, annealing {theirs}"


def test_a_worse_answer_counts_as_beaten() -> None:
    assert beaten(None, 5.0)
    assert beaten(100.0, 100.2)
    assert not beaten(100.0, 100.05)
    assert not beaten(100.0, None)


@pytest.mark.parametrize("share", [0.9, 0.99, 0.9999])
@pytest.mark.parametrize("seed", range(4))
def test_a_saving_that_some_plan_reaches_is_not_refused(seed: int, share: float) -> None:
    choice, every = made_up(10, seed)
    limits = Limits(budget=0.4 * float(choice.prices.sum()))
    most = float(every.saving[within(every, limits)].max())
    known = gathered(choice)
    for aim in sorted(AIMS):
        asked = Limits(budget=limits.budget, saving=share * most)
        assert within(best_found(choice, known, asked, aim), asked).all()


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize(("share", "aim"), [(0.9, "cost"), (0.99, "net_savings"), (0.9999, "co2")])
def test_a_saving_that_a_plan_of_a_house_reaches_is_not_refused(
    name: str, share: float, aim: str
) -> None:
    asked = Limits(budget=3_000.0, saving=share * most_saving(name))
    assert within(chooser_of(name).best(asked, aim), asked).all()


@pytest.mark.parametrize("name", HOUSES)
def test_what_no_plan_reaches_is_refused_with_what_can_be_reached(name: str) -> None:
    most = most_saving(name)
    with pytest.raises(ChoiceError, match=f"at most {most:,.0f}"):
        chooser_of(name).best(Limits(budget=3_000.0, saving=1.05 * most))


def test_shortfall_is_zero_where_the_limits_are_kept_and_only_there() -> None:
    known = chooser_of("wren_cottage").known
    rng = np.random.default_rng(3)
    for _ in range(20):
        limits = Limits(
            budget=float(rng.uniform(100, 9_000)),
            payback=float(rng.uniform(2, 30)),
            saving=float(rng.uniform(-50, 1_500)),
        )
        np.testing.assert_array_equal(shortfall(known, limits) == 0.0, within(known, limits))
