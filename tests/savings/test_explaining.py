"""Why two measures do not add: every pair that matters in the example houses has a sentence of its own mechanism."""

import numpy as np
import pytest
from examples import example

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.first_answers import default_answers, first_answers, questions
from retrofit_lab.house.starting import starting_house
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.savings.explaining import PARTS, general, reason, reason_of, same_part
from retrofit_lab.study.study import Study

LEAST = 2.0
"""Interaction of a pair from which a sentence of its own is asked for. [dollars/year]"""
OPTIONS = {row["key"]: row["options"] for row in questions() if row["kind"] == "choice"}
PLACES = ("greensboro_nc", "55401", "33101")
KNOWN = {
    "basement": lambda facts: "basement" in facts,
    "crawl space": lambda facts: "crawlspace" in facts,
    "ducts lie in the cold": lambda facts: facts & {"ducts in basement", "ducts in crawlspace"},
    "heat pump": lambda facts: "heat pump" in facts,
}
"""Words that a sentence may say only of a house that has such a thing."""

SAME = {part: general("same", part) for part in PARTS}
GENERAL = [general("otherwise", key) for key in ("less", "more")]


def starting(place: int) -> Study:
    """One of the starting houses: every kind of foundation, roof, heater and water heater comes up in eight."""

    def option(key: str) -> str:
        return OPTIONS[key][place % len(OPTIONS[key])]

    changes = {
        key: option(key)
        for key in ("foundation", "roof", "heating", "hot_water", "cooling", "stories")
    }
    years = {
        "year_built": ("1921", "1960", "1975", "1990")[place % 4],
        "climate": PLACES[place % 3],
    }
    answers = {**default_answers(), "name": "Plum Lane", **changes, **years}
    return Study(starting_house(first_answers(answers)))


def pairs_that_matter(study: Study) -> list[tuple[Offer, Offer, float]]:
    """Every pair of measures that can go together and overlap or help each other, with the amount."""
    one = np.eye(len(study.keys), dtype=bool)
    first, second = np.triu_indices(len(one), 1)
    pairs = one[first] | one[second]
    saved = study.energies.single.cost[0] - study.energy(pairs).cost
    alone = study.energies.single.cost[0] - study.energies.single.cost[1:]
    lost = alone[first] + alone[second] - saved
    return [
        (study.offers[i], study.offers[j], float(amount))
        for i, j, amount in zip(first, second, lost, strict=True)
        if abs(amount) >= LEAST and not study.case.conflict([study.keys[i], study.keys[j]])
    ]


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage", *range(8)])
def test_every_pair_that_matters_is_told_by_its_mechanism_and_fits_the_house(
    name: str | int,
) -> None:
    study = starting(name) if isinstance(name, int) else example(name)
    pairs = pairs_that_matter(study)
    assert len(pairs) > 40
    unsaid = []
    for first, second, lost in pairs:
        sentence = reason_of(first, second, lost, study.case.facts)
        assert sentence == reason_of(second, first, lost, study.case.facts)
        for word, fits in KNOWN.items():
            assert word not in sentence or fits(study.case.facts), (first.key, second.key, sentence)
        if lost > 0 and same_part(first, second):
            assert sentence in SAME.values()
        if sentence in GENERAL:
            unsaid.append((first.key, second.key, round(lost, 1)))
    assert unsaid == []


def test_same_surface_is_told_before_the_heating_season() -> None:
    study, with_batts = example("wren_cottage"), example("alder_street")
    attic, batts = (with_batts.offer(key) for key in ("attic_insulation", "relay_attic_batts"))
    assert reason_of(attic, batts, 10.0, with_batts.case.facts) == SAME["surfaces"]
    film, storm = study.offer("window_film"), study.offer("storm_windows")
    assert reason_of(film, storm, 10.0, study.case.facts) == SAME["windows"]
    assert (
        reason_of(attic, study.offer("furnace_upgrade"), 10.0, study.case.facts)
        not in SAME.values()
    )


@pytest.mark.parametrize(
    ("kind", "word"), [("basement", "basement"), ("crawlspace", "crawl space")]
)
def test_space_below_has_its_own_name(kind: str, word: str) -> None:
    facts = frozenset({f"ducts in {kind}", kind})
    told = reason(["floor_above_basement"], ["ducts"], -10.0, facts=facts)
    assert f"colder {word}" in told
    assert "colder" not in reason(["floor_above_basement"], ["ducts"], -10.0)


def test_every_tag_of_a_reason_is_one_of_a_measure() -> None:
    text = data_path("reasons.toml").read_text(encoding="utf-8")
    tags = {tag for measure in catalog() for tag in measure.tags}
    named = {
        tag
        for line in text.splitlines()
        if line.startswith("touches")
        for tag in line.split('"')[1::2]
    }
    assert named <= tags
