"""Even points and the normal distribution against SciPy, to the last digit or nearly so."""

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ndtr, ndtri
from scipy.stats import qmc

from retrofit_lab.measures.catalogue import catalogue
from retrofit_lab.money.terms import fuels
from retrofit_lab.parameters import parameters
from retrofit_lab.ranges.normal import OUTERMOST, normal_place, normal_share, share_below
from retrofit_lab.ranges.sobol import sobol_points
from retrofit_lab.reference_data import read_rows
from retrofit_lab.values import InputError

DRAW = """import sys
from retrofit_lab.advice import Advice
from retrofit_lab.house.file import load_house
from retrofit_lab.reference_data import data_path
from retrofit_lab.study import Study
advice = Advice(Study(load_house(data_path("houses", "alder_street.toml"))))
advice.how_sure(("attic_insulation", "duct_mastic"), realistic=True)
print(sorted(name for name in sys.modules if name.partition(".")[0] in ("scipy", "pandas", "pint")))
"""


@given(st.integers(1, 256), st.integers(1, 9), st.integers(0, 2**32))
@settings(deadline=None, max_examples=30)
def test_points_are_those_of_scipy(columns: int, power: int, seed: int) -> None:
    theirs = qmc.Sobol(columns, rng=np.random.default_rng(seed)).random_base2(power)
    assert (sobol_points(columns, 2**power, seed) == theirs).all()


def test_every_part_of_a_column_holds_one_point() -> None:
    points = sobol_points(40, 1024, 3)
    for column in points.T:
        assert sorted(np.floor(column * 1024).astype(int).tolist()) == list(range(1024))


@pytest.mark.parametrize(("columns", "count", "words"), [
    (3, 100, "must be a power of two"), (3, 1, "must be a power of two"),
    (257, 64, "at most 256 can be"),
])  # fmt: skip
def test_impossible_points_are_refused(columns: int, count: int, words: str) -> None:
    with pytest.raises(InputError, match=words):
        sobol_points(columns, count, 1)


def test_there_is_a_column_for_every_cause_that_a_house_can_have() -> None:
    most = len(parameters()) + len(catalogue()) + len(fuels()) + 2
    assert most <= len(read_rows("sobol_directions.csv"))


def test_normal_places_and_shares_are_those_of_scipy() -> None:
    rng = np.random.default_rng(5)
    near = 10.0 ** rng.uniform(-11, 0, 2000)
    share = np.concatenate([rng.random(5000), near, 1.0 - near, [0.5, 0.075, 0.925]])
    share = np.minimum(np.maximum(share, OUTERMOST), 1.0 - OUTERMOST)
    np.testing.assert_allclose(normal_place(share), ndtri(share), rtol=1e-13, atol=1e-15)
    place = rng.normal(0.0, 4.0, (40, 50))
    np.testing.assert_allclose(normal_share(place), ndtr(place), rtol=1e-12)
    assert share_below(-1.3) == pytest.approx(ndtr(-1.3), rel=1e-14)


def test_ends_have_no_infinite_place() -> None:
    ends = normal_place(np.array([0.0, 1.0]))
    assert np.isfinite(ends).all()
    assert ends == pytest.approx(ndtri([OUTERMOST, 1.0 - OUTERMOST]), rel=1e-12)


def test_ranges_load_none_of_the_slow_libraries() -> None:
    told = subprocess.run([sys.executable, "-c", DRAW], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
