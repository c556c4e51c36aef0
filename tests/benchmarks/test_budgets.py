"""Budgets, measured in one run and printed with their ratios; asserted only where the machine's speed plays no part.

Run with ``bash tests/run tests/benchmarks -s``. The long ones (a portfolio, the report, the whole form), none of whose
rows can be asserted on a machine of unknown speed, are measured by ``python tests/benchmarks/table.py`` alone.
"""

from collections.abc import Callable

import page_rows
import pytest
from model_rows import MODEL, SIXTEEN
from page_rows import PAGE
from rows import Row, lines

from retrofit_lab.measures.catalog import measure_named

Measure = Callable[[], list[Row]]
FEW_TICKS = 6
"""Ticks here, where none of their times is asserted; the table measures more."""


def named(measure: Measure) -> str:
    return measure.__name__


def told(measure: Measure) -> list[Row]:
    rows = measure()
    print("\n" + "\n".join(lines(rows)[2:]))
    return rows


def hold(rows: list[Row]) -> None:
    assert rows
    assert all(row.measured >= 0 for row in rows)
    missed = [row.cells() for row in rows if row.steady and not row.met]
    assert not missed


@pytest.mark.parametrize("measure", MODEL, ids=named)
def test_budget_of_the_model(measure: Measure) -> None:
    hold(told(measure))


@pytest.mark.browser
@pytest.mark.parametrize("measure", PAGE, ids=named)
def test_budget_of_the_page(measure: Measure, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page_rows, "TICKS", FEW_TICKS)
    hold(told(measure))


def test_sixteen_measures_touch_different_mechanisms() -> None:
    assert len(set(SIXTEEN)) == 16
    touched = [measure_named(key) for key in SIXTEEN]
    assert not any(set(m.excludes) & set(SIXTEEN) for m in touched)
    numbers = {(change.where.split("[")[0], change.field) for m in touched for change in m.changes}
    assert {where.split(".")[0] for where, _ in numbers} == {
        "leakage", "surfaces", "underground", "windows", "ducts", "zones", "heat_pumps",
        "air_conditioners", "water_heaters", "hot_water", "lamps", "standby", "fans",
    }  # fmt: skip
    firsts = [{(c.where, c.field) for c in m.changes} for m in touched]
    assert all(a.isdisjoint(b) for i, a in enumerate(firsts) for b in firsts[i + 1 :])


def test_rows_say_what_is_met() -> None:
    quick = Row(what="a", measured=0.5, unit="s", most=1.0, ratio=3.0, reference="b")
    slow = Row(what="c", measured=1234.5, unit="ms", ratio=2.5, reference="d", most_ratio=2.0)
    plain = Row(what="e", measured=2.0, unit="s")
    shared = Row(what="f", measured=2.0, unit="s", ratio=1.7, reference="g", least_ratio=1.8)
    assert lines([quick, slow, plain, shared])[2:] == [
        "| a | <= 1 s | 0.5 s | 3 x b | yes |",
        "| c | <= 2 x | 1,234 ms | 2.5 x d | NO |",
        "| e |  | 2 s |  |  |",
        "| f | >= 1.8 x | 2 s | 1.7 x g | NO |",
    ]
