"""The public names: what a notebook asks in a line, and what it gets to see."""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import plotly.graph_objects as go
import pytest

import retrofit_lab as rl
from retrofit_lab.app.lab.house_picture import house_picture
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.study.study import Study

ALDER = rl.open("alder_street")
R_LABEL = "surfaces.attic_floor.r_label"
TWO = ["attic_insulation", "duct_mastic"]
ANSWERS = {
    "lab": ALDER,
    "energy": ALDER.energy(),
    "plan": ALDER.plan(TWO),
    "best": ALDER.best(budget=5000),
    "sweep": ALDER.sweep(R_LABEL, [11, 19, 30, 49]),
    "plans": ALDER.sweep(R_LABEL, [11, 30], TWO),
    "ranges": ALDER.ranges(TWO),
    "bills": rl.open("wren_cottage", bills="wren_cottage").bills(),
}


def test_public_names_are_few_and_there() -> None:
    names = [*rl.__all__, *(name for name in vars(rl.Lab) if not name.startswith("_"))]
    assert len(names) <= 24
    assert all(getattr(rl, name) is not None for name in rl.__all__)
    assert set(rl.__all__) <= set(dir(rl))
    with pytest.raises(AttributeError, match=r"no name 'opne'; it has .*open"):
        rl.opne  # noqa: B018


@pytest.mark.parametrize("name", ANSWERS)
def test_every_answer_shows_itself(name: str) -> None:
    answer = ANSWERS[name]
    assert 20 < len(repr(answer)) < 250
    assert "\n" not in repr(answer)
    table, html = answer.table(), answer._repr_html_()
    assert isinstance(table, pd.DataFrame)
    assert "<table" in html
    assert str(table.columns[-1]) in html
    with_units = [column for column in table if "[" in str(column) and str(column).endswith("]")]
    assert len(with_units) >= len(table.columns) - 1
    figure = answer.plot()
    assert isinstance(figure, go.Figure)
    assert len(figure.data[0].x) == len(figure.data[0].y) > 1


@pytest.mark.parametrize("name", ANSWERS)
def test_every_answer_speaks_spanish(name: str) -> None:
    english, spanish = ANSWERS[name].table(), ANSWERS[name].table("es")
    assert english.shape == spanish.shape
    assert list(english.columns) != list(spanish.columns)
    assert ANSWERS[name].plot("es").layout.title.text


def test_table_of_energy_adds_up() -> None:
    for answer in (ANSWERS["energy"], ALDER.energy(TWO)):
        table = answer.table()
        for column in table:
            assert table[column].iloc[:-1].sum() == pytest.approx(table[column].iloc[-1])
        assert table["bills [$/year]"].iloc[-1] == answer.cost == pytest.approx(answer.bills.sum())


def test_table_of_a_plan_shares_what_the_plan_saves() -> None:
    plan = ANSWERS["best"]
    shares = plan.table()["share of the plan, as calculated [$/year]"]
    assert shares.iloc[:-1].sum() == pytest.approx(shares.iloc[-1])
    assert set(plan.keys) == set(plan.result.ticked)
    assert plan.cost.likely <= 5000


def test_what_is_explained_shows_formula_steps_and_sources() -> None:
    told = ALDER.explain("conduction")
    html = told._repr_html_()
    assert told.formula.split(",")[0] in html
    assert list(told.table().index) == [step.text for step in told.steps]
    assert all(item.path in html for item in told.inputs)
    assert len(told.plot().data[0].x) > 3


def test_picture_of_the_house_tells_where_heat_leaves() -> None:
    svg = house_picture(ALDER)._repr_html_()
    losses = ALDER.study.energies.season_losses(())
    shares = losses.of_hundred(losses.total)
    assert svg.count("<svg") == 1
    for part in ("walls", "windows"):
        assert f'data-part="{part}"' in svg
        assert f">{float(shares[part]):.0f}%<" in svg


def test_bills_and_model_stand_beside_each_other() -> None:
    answer = ANSWERS["bills"]
    assert answer.sentences
    for one in answer.compared:
        # the fit brings the model nearer to the bills, month by month
        assert ((one.after - one.billed) ** 2).sum() <= ((one.before - one.billed) ** 2).sum()
    assert len(answer.table()) == len(answer.fit.moved)
    with pytest.raises(rl.InputError, match="without bills"):
        ALDER.bills()


def test_ranges_are_those_of_the_draws() -> None:
    answer = ANSWERS["ranges"]
    low, high = np.quantile(answer.savings, [0.1, 0.9])
    assert (answer.saving.low, answer.saving.high) == pytest.approx((low, high), rel=0.02)
    assert answer.table().iloc[:, 0].is_monotonic_decreasing
    assert ANSWERS["ranges"].plot().data[0].y.sum() == len(answer.savings)


def test_a_changed_house_is_the_house_with_that_number() -> None:
    changed = ALDER.with_(leakage__flow=3000.0)
    study = Study(with_numbers(ALDER.house, {"leakage.flow": 3000.0, "leakage.readings": ()}))
    assert changed.energy().cost == study.plan(()).before.cost
    assert ALDER.with_({"leakage.flow": "3000 cfm"}).energy().cost == changed.energy().cost
    assert ALDER.energy().cost != changed.energy().cost


@pytest.mark.parametrize(
    "values", [[3000.0, 1500.0], np.array([3000.0, 1500.0]), pd.Series([3000.0, 1500.0])]
)
def test_arrays_stand_wherever_a_number_does(values) -> None:
    several = ALDER.with_(leakage__flow=values)
    one = [ALDER.with_(leakage__flow=value) for value in (3000.0, 1500.0)]
    assert [lab.energy().cost for lab in one] == [answer.cost for answer in several.energy()]
    assert list(several.energy().table()["leakage.flow [cfm]"]) == [3000.0, 1500.0]
    saved = [plan.result.saved for plan in several.plan(TWO)]
    assert saved == [lab.plan(TWO).result.saved for lab in one]
    budgets = ALDER.best(budget=np.array([500, 4000]))
    assert budgets[0].cost.likely <= 500 < budgets[1].cost.likely <= 4000


def test_a_house_is_started_from_a_few_answers() -> None:
    asked = {
        "stories": 1,
        "foundation": "crawl space",
        "heating": "gas furnace",
        "climate": "55401",
    }
    started = rl.start(year_built=1952, floor_area=1400, **asked)
    assert float(started.house.size.floor_area) == pytest.approx(1400)
    assert float(started.house.site.year_built) == 1952
    cold, mild = rl.start(year_built=1952, floor_area=1400, climate=["55401", "94102"]).energy()
    # by carbon, as electricity costs twice as much in the mild place
    assert cold.co2 > 1.1 * mild.co2


@pytest.mark.parametrize("more", [
    {"stories": 2}, {"roof": "rooms with knee walls"}, {"foundation": "basement, heated"},
])  # fmt: skip
def test_floor_area_counts_every_floor(more) -> None:
    house = rl.start(floor_area=2000, climate="55401", **more).house
    assert float(house.size.floor_area) == pytest.approx(2000)


def test_climate_may_be_replaced() -> None:
    there = rl.open("alder_street", climate="55401")
    assert there.energy().cost > ALDER.energy().cost
    assert "Minneapolis" in repr(there)


@pytest.mark.parametrize(("ask", "told"), [
    (lambda: rl.open("alder_stret"), r"no house 'alder_stret'; nearest are? '?alder_street'"),
    (lambda: ALDER.with_(leakage__flw=3000), r"no 'flw' in leakage; nearest are 'flow'"),
    (lambda: ALDER.sweep("surfaces.atic_floor.r_label", [11]), r"no 'atic_floor'; nearest are 'attic_floor'"),
    (lambda: ALDER.sweep("surfaces.attic_floor.r_labl", [11]), r"no 'r_labl' in .*nearest .*'r_label'"),
    (lambda: ALDER.sweep("leakage.flow.more", [11]), "nothing below a number"),
    (lambda: ALDER.plan(["atic_insulation"]), r"no measure 'atic_insulation' for this house; nearest .*'attic_insulation'"),
    (lambda: ALDER.with_(leakage__flow=-3), "must be 50 to 30000"),
    (lambda: ALDER.with_(leakage__flow=[1, 2], size__bedrooms=[1, 2, 3]), "of one length"),
    (lambda: rl.start(yeer_built=1952), r"no question 'yeer_built'; nearest is 'year_built'"),
    (lambda: rl.start(heating="gas furnce", climate="55401"), "'gas furnce' is unknown; use one of"),
    (lambda: ALDER.best(budget=-4), "must be 0 or above"),
])  # fmt: skip
def test_what_is_wrong_is_told_with_what_there_is(ask, told: str) -> None:
    with pytest.raises(rl.InputError, match=told):
        ask()


def test_libraries_wait_until_they_are_asked_for() -> None:
    code = (
        "import sys, json; before = set(sys.modules); import retrofit_lab as rl; first = set(sys.modules) - before\n"
        "s = rl.open('alder_street'); plan = s.plan(['led_lamps']); repr(plan); s.sweep('leakage.flow', [2000, 3000])\n"
        "asked = {'pandas', 'plotly', 'scipy', 'pint', 'ipywidgets'} & set(sys.modules)\n"
        "print(json.dumps([len(first), 'numpy' in first, sorted(asked)]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True,
        cwd=Path(rl.__file__).parents[1],
    )  # fmt: skip
    count, numpy, asked = json.loads(done.stdout)
    assert (count < 20, numpy, asked) == (True, False, [])
