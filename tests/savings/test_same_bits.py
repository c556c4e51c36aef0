"""The same question gives the same answer to the last digit: alone or among many, first or after others."""

import random
from collections.abc import Callable, Sequence
from functools import partial

import numpy as np
import pytest
from bits import exact
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st
from random_houses import houses

from retrofit_lab.base.sums import over_last, over_year, total, weighted
from retrofit_lab.base.values import BoolArray, Value
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import numbers, with_numbers
from retrofit_lab.model.losses import season_losses
from retrofit_lab.model.year import year_energy
from retrofit_lab.physics.conduction import mean_along
from retrofit_lab.physics.elementwise import (
    exponential,
    interpolated,
    logarithm,
    logarithm_of_one_more,
    power,
)
from retrofit_lab.savings import plan_energies as lattice
from retrofit_lab.savings.attribution import fair_share
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.energy_attribution import who_saves
from retrofit_lab.study.study import Study

QUESTIONS = 20
ROWS = 4
NOT_ARRAYS = ("cavity_depth", "label_thickness")
"""Numbers that are the same in all sets of a house: a cavity or a batt of 0 is one that is not known."""


def sets_of(count: int, seed: int, rows: int = ROWS) -> BoolArray:
    """Some sets; among them are measures that all have and that none has, for which the model is quicker."""
    draw = np.random.default_rng(seed)
    offered = draw.random(count) < draw.choice([0.1, 0.4, 1.0])
    return (draw.random((rows, count)) < draw.choice([0.05, 0.2, 0.5, 0.9])) & offered


@given(houses(anything_legal=True), st.integers(0, 2**16))
@settings(deadline=None, max_examples=60)
def test_a_set_alone_is_its_row_among_others(house: House, seed: int) -> None:
    study = Study(house)
    masks = sets_of(len(study.keys), seed)
    every = study.energy(masks)
    for row, mask in enumerate(masks):
        alone = study.energy(mask[None])
        assert exact(alone.energy[0]) == exact(every.energy[row])
        assert exact(alone.ventilation[0]) == exact(every.ventilation[row])


@given(houses(anything_legal=True), st.integers(0, 2**16))
@settings(deadline=None, max_examples=60)
def test_any_number_of_a_house_may_be_plain_or_one_of_many(house: House, seed: int) -> None:
    """What a measure changes is an array beside other sets and plain alone; here it is any number."""
    draw = np.random.default_rng(seed)
    house, climate = Study(house).house, Study(house).climate
    known = {p: float(v) for p, v in numbers(house) if p.rpartition(".")[2] not in NOT_ARRAYS}
    known = {path: value for path, value in known.items() if not path.startswith("prices")}
    chosen = draw.choice(list(known), size=4, replace=False)
    values = {
        path: known[path]
        * np.where(draw.random((ROWS, 1)) < 0.5, 1.0, draw.uniform(0.9, 1.1, (ROWS, 1)))
        for path in chosen
    }
    many = year_energy(with_numbers(house, values), climate)
    losses = season_losses(many)
    for row in range(ROWS):
        here = {path: float(value[row, 0]) for path, value in values.items()}
        one = year_energy(with_numbers(house, here), climate)
        for use in many.monthly:
            found = np.broadcast_to(many.annual(*use), (ROWS,))[row]
            assert exact(float(one.annual(*use))) == exact(float(found)), use
        assert exact(season_losses(one)) == exact(losses.row(row))


@pytest.mark.parametrize("together", [1, 3, 7])
def test_how_many_are_worked_out_together_does_not_matter(
    together: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    study = example("wren_cottage")
    masks = sets_of(len(study.keys), seed=3, rows=20)
    usual = study.energy(masks)
    monkeypatch.setattr(lattice, "CHUNK", together)
    assert exact(study.energy(masks)) == exact(usual)


def test_sums_hang_on_the_numbers_alone() -> None:
    draw = np.random.default_rng(5)
    rows, weights = np.exp(draw.normal(0.0, 9.0, (700, 11))), draw.normal(size=11)
    for layout in (rows, np.asfortranarray(rows), np.repeat(rows, 2, axis=1)[:, ::2]):
        for count in (1, 2, 9, 700):
            for sums in (over_last, partial(weighted, weights=weights)):
                assert exact(sums(layout[:count])) == exact(
                    np.array([sums(row) for row in rows[:count]])
                )
    columns = [float(number) for number in rows[0]]
    assert exact(total(columns)) == exact(total([np.array([number]) for number in columns])[0])
    assert exact(over_year(0.1)) == exact(over_year(np.full((2, 12), 0.1))[1])
    values = np.exp(draw.normal(0.0, 3.0, (2**6, 3)))
    assert exact(fair_share(values)[:, 1]) == exact(fair_share(values[:, 1].copy()))


@pytest.mark.parametrize(
    "function",
    [
        exponential, logarithm, logarithm_of_one_more, mean_along,
        lambda x: power(x, 1.0 / 3.0),
        lambda x: power(x, 0.65),
        lambda x: interpolated(x, (0.1, 1.0, 30.0), (0.3, 0.7, 0.1)),
    ],
)  # fmt: skip
def test_plain_numbers_and_arrays_have_the_same_functions(
    function: Callable[[Value], Value],
) -> None:
    numbers = np.exp(np.random.default_rng(6).uniform(-6.0, 6.0, 3000))
    plain = np.array([function(number) for number in numbers.tolist()])
    assert exact(plain) == exact(function(numbers))
    assert exact(plain[:5]) == exact(function(numbers[:5, None])[:, 0])


def test_what_hardly_tapers_is_level_alone_and_among_others() -> None:
    assert exact(mean_along(np.array([0.0, 1e-13, 2.0]))[:2]) == exact(np.ones(2))
    assert mean_along(1e-13) == 1.0


def questions(study: Study, draw: random.Random) -> dict[str, Callable[[Study], object]]:
    """One question of each kind about a set drawn at random."""
    ticked = draw.sample(study.keys, draw.choice([0, 1, 3, 6]))
    return about(free_of_rivals(study, ticked), draw.choice([1000.0, 4000.0, 15000.0]))


def free_of_rivals(study: Study, keys: Sequence[str]) -> list[str]:
    """Those of some measures that can go with all before them."""
    return [key for i, key in enumerate(keys) if not study.case.rivals[key] & set(keys[:i])]


def about(ticked: Sequence[str], budget: float) -> dict[str, Callable[[Study], object]]:
    """One question of each kind about a set of measures."""
    return {
        "plan": lambda s: s.plan(ticked),
        "fair shares": lambda s: s.energies.fair_shares(ticked),
        "losses": lambda s: s.energies.season_losses(ticked),
        "who saves": lambda s: who_saves(s, ticked),
        "best": lambda s: Advice(s).best(Limits(budget=budget)),
        "next": lambda s: Advice(s).next_steps(ticked),
        "regretted": lambda s: Advice(s).regretted(ticked),
        "ahead": lambda s: s.energies.work_ahead(ticked),
    }


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
@pytest.mark.parametrize("seed", [1, 2])
def test_what_was_asked_before_does_not_matter(name: str, seed: int) -> None:
    """A study that answered other questions answers as one that was never asked."""
    draw = random.Random(seed)
    offers = example(name).offers[::3]
    house, measures = example(name).as_found, [offer.measure for offer in offers]
    asked = Study(house, measures=measures)
    for _ in range(QUESTIONS):
        kinds = questions(asked, draw)
        kind = draw.choice(list(kinds))
        answer = kinds[kind](asked)
        assert exact(answer) == exact(kinds[kind](Study(house, measures=measures))), kind


def test_many_ticked_measures_have_the_same_shares_after_other_questions() -> None:
    """Beyond what is worked out exactly, orders are drawn: the same ones whatever came before."""
    study = example("alder_street")
    free = [k for i, k in enumerate(study.keys) if not study.case.rivals[k] & set(study.keys[:i])][
        :14
    ]
    fresh = Study(study.as_found)
    study.energies.work_ahead(free[:9])
    study.plan(free[3:12])
    assert exact(study.plan(free)) == exact(fresh.plan(free))


REMEMBERING = ("plan", "fair shares", "losses", "who saves", "ahead")
"""Kinds of questions that leave something behind, or find something that another left."""


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
def test_questions_may_be_shuffled(name: str) -> None:
    """The same questions in other orders, each order to a study of its own, have the same answers."""
    house, draw = example(name).as_found, random.Random(8)
    measures = [offer.measure for offer in example(name).offers[::3]]
    free = free_of_rivals(example(name), [measure.key for measure in measures])
    sets = [draw.sample(free, size) for size in (1, 2, 4, 4, 5, 6)]
    asked = [about(ticked, budget=0.0)[kind] for ticked in sets for kind in REMEMBERING]
    answers = []
    for order in (range(len(asked)), *(draw.sample(range(len(asked)), len(asked)) for _ in "123")):
        study = Study(house, measures=measures)
        found = {place: exact(asked[place](study)) for place in order}
        answers.append([found[place] for place in range(len(asked))])
    assert all(found == answers[0] for found in answers)
