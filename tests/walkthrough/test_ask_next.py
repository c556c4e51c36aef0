"""What the form asks next: worth by a textbook formula, nothing once all is known, and a good plan after few answers."""

from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from drawn_walks import MOST_ANSWERS, WITHIN, asked_first, in_walking_order, started, walk

from retrofit_lab.proposals.ask_next import _known_better, ask_next
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.even_points import even_points, normal_at
from retrofit_lab.uncertainty.one_by_one import open_numbers

NAME = "driftwood_lane"
NORMAL = NormalDist()


@pytest.mark.parametrize(("middle", "spread"), [(0.0, 100.0), (-50.0, 100.0), (80.0, 100.0)])
def test_worth_of_knowing_a_normal_gain_is_the_loss_integral(middle: float, spread: float) -> None:
    """Expected value of perfect information for two acts, normal loss (Raiffa and Schlaifer 1961, memory)."""
    place = normal_at(even_points(1, 4096))
    unit = abs(middle) / spread
    loss = spread * (NORMAL.pdf(unit) - unit * NORMAL.cdf(-unit))
    worth = _known_better((middle + spread * place)[:, 0], place, done=middle > 0.0)
    assert worth == pytest.approx(loss, rel=0.01)


def test_a_number_that_tells_nothing_is_worth_next_to_nothing() -> None:
    source = np.random.default_rng(7)
    gain, other = source.standard_normal((2, 4096))
    known = _known_better(100.0 * gain, gain[:, None], done=False)
    assert _known_better(100.0 * gain, other[:, None], done=False) < 0.02 * known


def test_nothing_is_asked_once_all_is_known() -> None:
    house = started(NAME)
    asking = ask_next(Study(replace(house, assumed=frozenset())))
    assert asking.enough
    assert asking.questions == ()
    assert asking.to_gain == asking.most_lost == 0.0


def test_questions_are_asked_somewhere_open_and_the_best_first() -> None:
    house = started(NAME)
    first = asked_first(house)
    asking = ask_next(Study(house), asked=first.__contains__)
    paths = [question.path for question in asking.questions]
    worth = [question.worth for question in asking.questions]
    assert not asking.enough
    assert set(paths) <= first
    assert worth == sorted(worth, reverse=True)
    assert len(in_walking_order(house, frozenset(paths))) == len(paths)


def test_asks_for_a_number_that_decides_whether_a_measure_is_offered_at_all() -> None:
    house = started(NAME)
    assert "tank_wrap" not in Study(house).keys
    path = "water_heaters.electric_tank.r_tank"
    asking = ask_next(Study(house), asked=lambda asked: asked == path)
    assert [question.path for question in asking.questions] == [path]


def test_open_numbers_move_one_by_one_and_keep_their_mean() -> None:
    house = started(NAME)
    found = open_numbers(house, 4096)
    own = [place for place, path in enumerate(found.paths) if path.endswith(".u_value")]
    assert len(own) > 1
    assert np.abs(np.corrcoef(found.normals[:, own].T) - np.eye(len(own))).max() < 0.08
    flow = found.values["leakage.flow"]
    assert flow.mean() == pytest.approx(float(house.leakage.flow), rel=0.03)
    assert flow.std() > 0.3 * flow.mean()


def test_a_walk_through_a_drawn_house_ends_early_with_nearly_the_plan_of_the_full_record() -> None:
    walked = walk(NAME, 5, every_round=False)
    assert walked.answers[-1] <= MOST_ANSWERS < walked.asked_in_all
    assert walked.full > 1000.0
    assert walked.lost(MOST_ANSWERS) <= WITHIN
