"""Energy bills by fuel: fixed charges are due as long as a fuel has any use, and end with the last."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.money.charges import LEAST_USE, Charges

USES = (("electricity", "heating"), ("electricity", "lighting"), ("natural_gas", "heating"), ("natural_gas", "hot_water"))  # fmt: skip
AMOUNTS = st.sampled_from([0.0, 0.0, 2.0 * LEAST_USE, 5e6, 4e7])


def charges(gas: float = 180.0) -> Charges:
    return Charges(
        uses=USES,
        prices=np.array([4e-5, 4e-5, 1.4e-5, 1.4e-5]),
        fixed={"natural_gas": gas, "electricity": 120.0, "propane": 90.0},
    )


@given(st.lists(st.lists(AMOUNTS, min_size=4, max_size=4), min_size=1, max_size=6))
@settings(deadline=None, max_examples=60)
def test_fixed_charge_is_due_exactly_while_any_use_is_left(rows: list[list[float]]) -> None:
    due = charges().fixed_due(np.array(rows))
    for row, (electricity, gas) in zip(rows, due.tolist(), strict=True):
        assert electricity == (120.0 if any(row[:2]) else 0.0)
        assert gas == (180.0 if any(row[2:]) else 0.0)


@given(st.lists(AMOUNTS, min_size=4, max_size=4), st.lists(AMOUNTS, min_size=4, max_size=4))
@settings(deadline=None, max_examples=60)
def test_less_of_everything_never_costs_more(row: list[float], other: list[float]) -> None:
    more, made = np.maximum(row, other), charges()
    for energy in (np.array(row), np.array(other)):
        assert (made.of_energy(energy) <= made.of_energy(more) + 1e-12).all()
        assert (made.fixed_due(energy) <= made.fixed_due(more)).all()


def test_energy_of_each_fuel_by_hand() -> None:
    found = charges().of_energy(np.array([[1e6, 2e6, 3e7, 0.0]]))
    assert found.tolist() == [pytest.approx([120.0, 420.0])]
