"""Heat by part adds up to what heating, sun and people bring, and follows what is done to a part."""

from functools import cache

import numpy as np
import pytest
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.house.paths import with_numbers
from retrofit_lab.measures.fitted_measures import with_offers
from retrofit_lab.model.envelope import sky_radiation
from retrofit_lab.model.losses import SeasonLosses, season_losses
from retrofit_lab.model.year import year_energy

NAMES = ("alder_street", "wren_cottage")
either = pytest.mark.parametrize("name", NAMES)


@cache
def losses(name: str) -> SeasonLosses:
    study = example(name)
    return season_losses(year_energy(study.as_found, study.climate))


def changed(name: str, changes: dict[str, object]) -> SeasonLosses:
    study = example(name)
    return season_losses(year_energy(with_numbers(study.as_found, changes), study.climate))


@either
def test_parts_add_up_to_what_comes_in(name: str) -> None:
    found = losses(name)
    assert found.total == pytest.approx(
        found.demand + found.gains + found.by_part["ducts"], rel=1e-9
    )
    assert all(isinstance(amount, float) for amount in found.by_part.values())


@settings(max_examples=30, deadline=None)
@given(name=st.sampled_from(NAMES), numbers=st.lists(st.booleans(), min_size=80, max_size=80))
def test_parts_add_up_for_any_set_of_measures(name: str, numbers: list[bool]) -> None:
    study = example(name)
    chosen = numbers[: len(study.offers)]
    found = season_losses(
        year_energy(with_offers(study.house, study.offers, chosen), study.climate)
    )
    assert found.total == pytest.approx(
        found.demand + found.gains + found.by_part["ducts"], rel=1e-9
    )


@either
def test_many_stacks_at_once_give_what_each_gives(name: str) -> None:
    study = example(name)
    masks = np.random.default_rng(7).random((5, len(study.offers))) < 0.4
    columns = [masks[:, [place]] for place in range(masks.shape[1])]
    many = season_losses(
        year_energy(with_offers(study.house, study.offers, columns), study.climate)
    )
    for row, mask in enumerate(masks):
        house = with_offers(study.house, study.offers, [bool(on) for on in mask])
        one = season_losses(year_energy(house, study.climate))
        for part, amount in one.by_part.items():
            of_row = np.broadcast_to(many.by_part[part], (5,))[row]
            assert of_row == pytest.approx(amount, rel=1e-9, abs=1e-3), part


def test_season_is_counted_in_days_below_the_base() -> None:
    """By hand: on days of one temperature the loss is days x 24 x conductance x difference."""
    study = example("alder_street")
    year = year_energy(study.as_found, study.climate)
    base = year.heating.state.line.base_temperature(year.heating.rooms.temperature, 0.0)
    days = study.climate.degree_days.days_below(base)
    assert np.all(days <= study.climate.days + 1e-9)
    outdoor = base - study.climate.degree_days.heating(base) / np.maximum(days, 1e-9)
    room = year.heating.rooms.temperature
    film = year.parts.shell.films.outdoor
    more = film - 0.17
    upright_sky = 0.5 * sky_radiation(study.climate)
    glass = sum(w.area / (1 / w.u_value + more) for w in study.as_found.windows)
    by_hand = float((24.0 * days * glass * (room - outdoor + film * upright_sky)).sum())
    assert losses("alder_street").by_part["windows"] == pytest.approx(by_hand, rel=1e-9)
    assert losses("alder_street").days == pytest.approx(days.sum())


@pytest.mark.parametrize(
    ("part", "changes"),
    [
        ("walls", {"surfaces.walls.r_label": 20.0}),
        ("attic", {"surfaces.attic_floor.r_label": 49.0}),
        ("windows", {"windows.north.u_value": 0.25}),
        ("air", {"leakage.flow": 1500.0}),
        ("ducts", {"ducts.supply_leakage": 0.02, "ducts.return_leakage": 0.02}),
        ("knee_walls", {"surfaces.kneewalls.missing_fraction": 0.0}),
        ("floor", {"surfaces.first_floor.r_continuous": 19.0}),
    ],
)
def test_improving_a_part_lowers_its_own_loss_most(part: str, changes: dict[str, object]) -> None:
    before, after = losses("alder_street"), changed("alder_street", changes)
    fell = {key: before.by_part[key] - after.by_part[key] for key in before.by_part}
    assert fell[part] > 0
    assert fell[part] == max(fell.values())


def test_parts_that_a_house_does_not_have_lose_nothing() -> None:
    assert losses("alder_street").by_part["garage"] == 0.0
    assert losses("wren_cottage").by_part["knee_walls"] == 0.0


def test_warm_basement_spares_the_ducts_more_than_the_floor() -> None:
    before = losses("alder_street")
    after = changed("alder_street", {"underground.basement_walls.r_value": 12.0})
    fell = {key: before.by_part[key] - after.by_part[key] for key in before.by_part}
    assert fell["ducts"] > fell["floor"] > 0
