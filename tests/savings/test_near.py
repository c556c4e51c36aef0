"""What is kept from one set for the next gives the same numbers as working them out anew."""

import numpy as np
import pytest
from bits import exact
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.measures.fitted_measures import with_offers
from retrofit_lab.model.losses import SeasonLosses, season_losses
from retrofit_lab.model.year import year_energy
from retrofit_lab.savings.combinations import all_plans
from retrofit_lab.savings.neighbors import Near, SetCosts, within_one, within_two
from retrofit_lab.savings.plan_energies import choices

ALDER = example("alder_street")
COUNT = len(ALDER.keys)
FEW = st.lists(st.integers(0, COUNT - 1), unique=True, max_size=6).map(sorted)


def mask_of_places(places) -> np.ndarray:
    mask = np.zeros(COUNT, dtype=np.bool_)
    mask[list(places)] = True
    return mask


def losses_of(masks: np.ndarray) -> SeasonLosses:
    house = with_offers(ALDER.house, ALDER.offers, choices(masks))
    return season_losses(year_energy(house, ALDER.climate))


def near_of(base: np.ndarray) -> Near:
    fans = np.full(1 + COUNT, np.nan)
    energy = ALDER.energy(within_two(base))
    return Near(mask=base, energy=energy, losses=losses_of(within_one(base)), with_fan=fans)


def test_sets_within_one_and_two_ticks() -> None:
    mask = np.array([True, False, False])
    rows = within_two(mask)
    assert rows[0].tolist() == mask.tolist()
    assert (rows ^ mask).sum(axis=1).tolist() == [0, 1, 1, 1, 2, 2, 2]
    assert len({tuple(row) for row in rows.tolist()}) == 7
    assert within_one(mask).tolist() == rows[:4].tolist()


@settings(max_examples=15, deadline=None)
@given(FEW, st.integers(-1, COUNT - 1))
def test_next_tick_is_known_ahead(places, ticked: int) -> None:
    base = mask_of_places(places)
    near = near_of(base)
    after = base.copy()
    if ticked >= 0:
        after[ticked] ^= True
    found, anew = near.around(after), ALDER.energy(within_one(after))
    assert found is not None
    assert exact(found) == exact(anew)
    heat, right = near.losses_of(after), losses_of(after[None])
    assert heat is not None
    assert exact(heat) == exact(right.row(0))


def test_two_ticks_away_nothing_is_known() -> None:
    base = mask_of_places([1])
    near = near_of(base)
    assert near.around(mask_of_places([1, 2, 3])) is None
    assert near.losses_of(mask_of_places([1, 2, 3])) is None


@given(FEW, FEW)
def test_costs_of_sets_are_found_again_in_their_places(before, after) -> None:
    worth = np.random.default_rng(1).normal(size=COUNT)
    kept = SetCosts(places=tuple(before), cost=all_plans(len(before)) @ worth[before])
    found = kept.known(after)
    foreign = all_plans(len(after))[:, [place not in before for place in after]].any(axis=1)
    assert np.isnan(found).tolist() == foreign.tolist()
    right = all_plans(len(after)) @ worth[after]
    np.testing.assert_allclose(found[~foreign], right[~foreign], atol=1e-12)


@pytest.mark.parametrize("ahead", [True, False])
def test_results_do_not_hang_on_what_was_asked_before(ahead: bool) -> None:
    study = example.__wrapped__("alder_street")
    fans = 0
    for ticked in (["seal_sill"], ["seal_sill", "duct_mastic"], ["duct_mastic"], []):
        if ahead:
            study.energies.work_ahead(ticked)
        for more in ([], ["attic_air_sealing"], ["night_setback"]):
            chosen = {*ticked, *more}
            found = study.plan(chosen)
            fans += found.fresh_air is not None
            assert exact(found) == exact(ALDER.plan(chosen))
    assert fans > 2  # what a lacking fan would cost is among what is known ahead
