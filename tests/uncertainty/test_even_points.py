"""Evenly spread points against SciPy's, from which their table was made, and the normal places against its own."""

import numpy as np
import pytest
from scipy.special import ndtr, ndtri
from scipy.stats import qmc

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.values import InputError
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.uncertainty.even_points import BITS, MOST, even_points, normal_at, place_of


@pytest.mark.parametrize("count", [2, 64, 1024, MOST])
def test_points_are_those_of_the_library(count: int) -> None:
    engine = qmc.Sobol(256, bits=BITS, rng=np.random.default_rng(1))
    published = engine.random_base2(count.bit_length() - 1)
    assert np.array_equal(even_points(256, count) * MOST - 0.5, np.floor(published * MOST))


def test_every_part_of_every_column_is_met_once() -> None:
    points = even_points(256, MOST)
    assert np.array_equal(np.sort(points, axis=0)[:, 0], (np.arange(MOST) + 0.5) / MOST)
    assert (np.sort(points, axis=0) == np.sort(points, axis=0)[:, :1]).all()


def test_table_has_a_column_for_all_that_can_be_unsure() -> None:
    causes = len(parameters()) + len(catalog()) + len(fuels()) + 2
    assert even_points(causes, 2).shape == (2, causes)
    with pytest.raises(InputError, match=r"257 unsure numbers .* has 256"):
        even_points(257, 2)


def test_normal_places_are_those_of_the_library() -> None:
    # a straight line between two of 4,096 places errs by a second derivative over 8 x 4,096 squared
    places = np.linspace(0.001, 0.999, 3001)
    assert normal_at(places) == pytest.approx(ndtri(places), abs=2.5e-3)
    middle = np.linspace(0.02, 0.98, 2001)
    assert normal_at(middle) == pytest.approx(ndtri(middle), abs=1e-5)
    values = np.linspace(-3.4, 3.4, 2001)
    assert place_of(values) == pytest.approx(ndtr(values), abs=3e-5)
