"""Numbers that nobody gave are drawn from what is known of such houses: mixtures, lopsided spans, shared causes."""

import numpy as np
import pytest

from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import InputError
from retrofit_lab.house.editing import with_answer
from retrofit_lab.house.first_answers import default_answers, first_answers
from retrofit_lab.house.paths import number_at
from retrofit_lab.house.starting import starting_house
from retrofit_lab.study.advice import setting_of
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.doubt import Doubt, doubts, settled_already
from retrofit_lab.uncertainty.even_points import even_points, normal_at
from retrofit_lab.uncertainty.outcomes import plan_outcome
from retrofit_lab.uncertainty.sampling import as_worked_out, draw

NORMAL = normal_at(even_points(1, 4096)).ravel()
WALLS = "surfaces.walls.missing_fraction"


def house(**changes: str):
    answers = {**default_answers(), "name": "Plum Lane", "climate": "greensboro_nc"}
    return starting_house(first_answers({**answers, "year_built": "1935", **changes}))


@pytest.mark.parametrize("row", read_rows("doubt.csv"), ids=lambda row: row["parameter"])
def test_declared_spread_keeps_the_mean_and_holds_eight_in_ten(row) -> None:
    assert row["parameter"] in parameters()
    doubt = doubts()[row["parameter"]]
    if doubt.how == "either":
        drawn = doubt.drawn(0.35, NORMAL)
        assert set(drawn) == {0.0, 1.0}
        assert drawn.mean() == pytest.approx(0.35, abs=0.001)
        return
    value = 20.0
    drawn = doubt.drawn(value, NORMAL)
    assert drawn.mean() == pytest.approx(value)
    low, high = np.quantile(drawn, (0.1, 0.9))
    if doubt.how == "factor":
        wide = max(doubt.high, doubt.low) / min(doubt.high, doubt.low)
        assert high / low == pytest.approx(wide, rel=0.01)
    else:
        assert high - low == pytest.approx(abs(doubt.high - doubt.low), rel=0.01)


def test_what_is_all_but_sure_is_not_drawn_as_a_mixture() -> None:
    either = doubts()["surface.missing_fraction"]
    assert settled_already(either, 0.05)
    assert settled_already(either, 0.95)
    assert not settled_already(either, 0.5)
    with pytest.raises(InputError, match="no spread"):
        Doubt(how="perhaps", low=1.0, high=2.0, shared="", common=0.0)


def test_old_wall_is_empty_or_filled_until_somebody_looks() -> None:
    old = house()
    chance = number_at(old, WALLS)
    drawn = draw(old, (), ()).numbers[WALLS]
    assert set(drawn.ravel()) == {0.0, 1.0}
    assert drawn.mean() == pytest.approx(chance, abs=0.02)
    looked = with_answer(old, WALLS, "0.3")
    assert 0.2 < np.quantile(draw(looked, (), ()).numbers[WALLS], 0.1) < 0.3


def test_better_kept_houses_are_better_in_more_than_one_way() -> None:
    drawn = draw(house(), (), ()).numbers
    leaks, ducts = (np.log(drawn[p].ravel()) for p in ("leakage.flow", "ducts.supply_leakage"))
    assert 0.4 < np.corrcoef(leaks, ducts)[0, 1] < 0.6
    attic = np.log(drawn["surfaces.attic_floor.r_label"].ravel())
    assert -0.6 < np.corrcoef(leaks, attic)[0, 1] < -0.4
    walls = drawn[WALLS].ravel()
    assert leaks[walls == 1.0].mean() > leaks[walls == 0.0].mean()


def test_people_who_want_it_warm_in_winter_want_it_cool_in_summer_and_use_more() -> None:
    drawn = draw(house(cooling="central"), (), ()).numbers
    warm, cool, plugs = (
        drawn[path].ravel()
        for path in (
            "zones.whole.heating_setpoint",
            "zones.whole.cooling_setpoint",
            "appliances.plugs.use",
        )
    )
    assert np.corrcoef(warm, cool)[0, 1] < -0.3
    assert np.corrcoef(warm, plugs)[0, 1] > 0.3


@pytest.mark.parametrize(
    ("climate", "year", "foundation"),
    [
        ("greensboro_nc", "1935", "basement, not heated"),
        ("miami_fl", "1988", "slab on the ground"),
        ("high_desert_co", "1955", "crawl space"),
    ],
)
def test_saving_of_the_mean_house_lies_in_its_range(
    climate: str, year: str, foundation: str
) -> None:
    """Fans are left out: what they cost bends with the leaks, so its mean lies off that of the mean house."""
    started = house(climate=climate, year_built=year, foundation=foundation, cooling="central")
    study = Study(started)
    setting = setting_of(study)
    fuels = [fuel for fuel, _ in study.uses]
    draws = as_worked_out(draw(study.house, study.offers, fuels, count=512))
    alone = study.plan(()).measures
    for key in (key for key in study.keys if "ventilation" not in key):
        saving = plan_outcome(setting, study.mask([key]), draws).saving
        assert saving.low - 0.01 <= alone[key].alone <= saving.high + 0.01, key
