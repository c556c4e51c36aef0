"""Why two measures do not add: every pair that matters in the example houses has a sentence of its own mechanism."""

import numpy as np
import pytest
from examples import example

from retrofit_lab.measures.catalogue import catalogue
from retrofit_lab.reference_data import data_path
from retrofit_lab.stacks.explaining import HELP, OVERLAP, reason

LEAST = 2.0
"""Interaction of a pair from which a sentence of its own is asked for. [dollars/year]"""


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
def test_every_pair_that_matters_is_told_by_its_mechanism(name: str) -> None:
    study = example(name)
    one = np.eye(len(study.keys), dtype=bool)
    first, second = np.triu_indices(len(one), 1)

    def saved(masks: np.ndarray) -> np.ndarray:
        cost = study.energy(np.vstack([np.zeros_like(one[:1]), masks])).cost
        return cost[0] - cost[1:]

    alone = saved(one)
    lost = alone[first] + alone[second] - saved(one[first] | one[second])
    told = 0
    for i, j, amount in zip(first, second, lost, strict=True):
        pair = study.offers[i].measure, study.offers[j].measure
        if abs(amount) < LEAST or study.conflict([m.key for m in pair]):
            continue
        told += 1
        sentence = reason(pair[0].tags, pair[1].tags, float(amount))
        assert sentence not in (OVERLAP, HELP), [(m.key, m.tags) for m in pair]
        assert sentence == reason(pair[1].tags, pair[0].tags, float(amount))
    assert told > 100


def test_every_tag_of_a_reason_is_one_of_a_measure() -> None:
    text = data_path("reasons.toml").read_text(encoding="utf-8")
    tags = {tag for measure in catalogue() for tag in measure.tags}
    named = {
        tag
        for line in text.splitlines()
        if line.startswith("touches")
        for tag in line.split('"')[1::2]
    }
    assert named <= tags
