"""The one call: what plans save, that nothing depends on the order of ticks, and what is refused."""

import itertools

import numpy as np
import pytest
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.values import InputError
from retrofit_lab.measures.catalog import MeasureError
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.savings.attribution import fair_share
from retrofit_lab.savings.combinations import all_plans
from retrofit_lab.study.study import Study

ALDER = example("alder_street")
WREN = example("wren_cottage")
FIVE = ("band_joist_foam", "attic_insulation", "duct_mastic", "night_setback", "tank_wrap")
studies = pytest.mark.parametrize("study", [ALDER, WREN], ids=["alder", "wren"])


def stacks_of(study, most: int = 8):
    free = [key for key in study.keys if not study.offer(key).measure.excludes]
    return st.lists(st.sampled_from(free), unique=True, max_size=most)


@given(st.data())
@settings(deadline=None, max_examples=25)
def test_tick_order_does_not_matter(data: st.DataObject) -> None:
    study = data.draw(st.sampled_from([ALDER, WREN]))
    ticked = data.draw(stacks_of(study))
    shuffled = data.draw(st.permutations(ticked))
    assert study.plan(ticked) == study.plan(shuffled)


@given(st.data())
@settings(deadline=None, max_examples=25)
def test_fair_shares_sum_to_the_saving(data: st.DataObject) -> None:
    study = data.draw(st.sampled_from([ALDER, WREN]))
    result = study.plan(data.draw(stacks_of(study)))
    shares = sum(row.share for row in result.measures.values())
    assert shares == pytest.approx(result.saved, abs=1e-9 * result.before.cost)


@studies
def test_saving_is_before_less_after_and_overlap_the_rest(study) -> None:
    result = study.plan(FIVE)
    assert result.saved == pytest.approx(result.before.cost - result.after.cost)
    alone = sum(study.plan([key]).saved for key in FIVE)
    assert result.sum_alone == pytest.approx(alone)
    assert result.lost_to_overlap == pytest.approx(alone - result.saved)


@studies
def test_next_and_last_are_differences_of_stacks(study) -> None:
    result = study.plan(FIVE)
    more = study.plan((*FIVE, "led_lamps"))
    assert result.measures["led_lamps"].now == pytest.approx(more.saved - result.saved)
    less = study.plan(FIVE[1:])
    assert result.measures[FIVE[0]].now == pytest.approx(result.saved - less.saved)


@studies
def test_all_sets_by_the_lattice_equal_single_stacks(study) -> None:
    places = [study.keys.index(key) for key in FIVE]
    masks = np.zeros((32, len(study.keys)), dtype=bool)
    masks[:, places] = all_plans(5)
    cost = study.energy(masks).cost
    for number, row in enumerate(all_plans(5)):
        ticked = [key for key, on in zip(FIVE, row, strict=True) if on]
        assert cost[number] == pytest.approx(study.plan(ticked).after.cost, rel=1e-12)
    shares, error = study.energies.fair_shares(FIVE)
    assert error == 0.0
    assert list(shares) == list(FIVE)
    assert list(shares.values()) == pytest.approx(fair_share(-cost), abs=1e-9)


@studies
def test_two_walls_of_heat_loss_add_but_load_and_equipment_do_not(study) -> None:
    pairs = {(p.first, p.second): p.lost for p in study.plan(FIVE).overlaps}
    upgrade = "heat_pump_upgrade" if study is ALDER else "furnace_upgrade"
    both = study.plan(["attic_insulation", upgrade])
    assert both.lost_to_overlap > 1.0
    assert abs(pairs["band_joist_foam", "tank_wrap"]) < 2.0


@studies
def test_every_measure_alone_stays_within_the_bill(study) -> None:
    for key, row in study.plan(()).measures.items():
        assert row.alone < study.plan(()).before.cost, key


@studies
def test_no_measure_alone_costs_more_unless_its_text_says_why(study) -> None:
    losing = {key for key, row in study.plan(()).measures.items() if row.alone < -0.5}
    assert losing <= {key for key in study.keys if study.offer(key).measure.may_cost}


def test_excluded_pair_is_refused_by_name() -> None:
    with pytest.raises(MeasureError, match=r"Insulate the basement walls.*cannot go together"):
        ALDER.plan(["basement_wall_insulation", "basement_ceiling_insulation"])
    blocked = ALDER.plan(["basement_wall_insulation"]).measures["basement_ceiling_insulation"]
    assert blocked.blocked_by == ("basement_wall_insulation",)


def test_unknown_measure_is_refused_with_the_known_ones() -> None:
    with pytest.raises(InputError, match=r"no measure 'magic'.*nearest is"):
        ALDER.plan(["magic"])


def test_many_ticked_get_sampled_shares_with_an_error() -> None:
    ticked = [key for key in ALDER.keys if not ALDER.offer(key).measure.excludes][:15]
    result = ALDER.plan(ticked)
    assert result.share_error > 0
    assert sum(m.share for m in result.measures.values()) == pytest.approx(result.saved)


def test_electric_house_raises_no_burner_cautions_and_gas_house_does() -> None:
    def keys(study):
        return {raised.caution.key for raised in study.plan(FIVE).cautions}

    assert "combustion_spillage" not in keys(ALDER)
    assert {"combustion_spillage", "lead_paint", "old_wiring"} <= keys(WREN)
    assert "minimum_ventilation" in keys(ALDER)


def test_money_follows_the_terms() -> None:
    dear = Study(ALDER.as_found, terms=MoneyTerms(cost_factor=2.0)).plan(FIVE)
    usual = ALDER.plan(FIVE)
    assert dear.cost.likely == pytest.approx(2 * usual.cost.likely)
    assert dear.saved == pytest.approx(usual.saved)
    assert dear.sir == pytest.approx(usual.sir / 2)
    with pytest.raises(MoneyError, match=r"discount rate is 0\.9; must be 0 to 0\.25"):
        MoneyTerms(discount_rate=0.9)


def test_payback_ratio_and_net_savings_by_hand() -> None:
    result = ALDER.plan(["attic_insulation"])
    assert result.payback == pytest.approx(result.cost.likely / result.saved)
    worth = result.saved * sum(1.03**-t for t in range(1, 21))
    paid = result.cost.likely * (1 - (1 - 20 / 25) * 1.03**-20)
    assert result.sir == pytest.approx(worth / paid, rel=1e-9)
    assert result.net_savings == pytest.approx(worth - paid, rel=1e-9)


def test_pairs_are_all_there_and_sorted() -> None:
    overlaps = ALDER.plan(FIVE).overlaps
    assert len(overlaps) == len(list(itertools.combinations(FIVE, 2)))
    sizes = [abs(pair.lost) for pair in overlaps]
    assert sizes == sorted(sizes, reverse=True)
    assert all(pair.why.endswith(".") for pair in overlaps)


def test_losses_of_a_stack_are_those_of_the_changed_house() -> None:
    study = example("alder_street")
    before, after = (
        study.energies.season_losses(()),
        study.energies.season_losses(["attic_insulation"]),
    )
    assert after.by_part["attic"] < 0.6 * before.by_part["attic"]
    assert after.by_part["windows"] == pytest.approx(before.by_part["windows"], rel=0.05)


def test_discounted_payback_and_yearly_return_by_hand() -> None:
    result = ALDER.plan(["attic_insulation"])
    flows = [result.saved * 1.03**-year for year in range(1, 101)]
    whole = next(n for n in range(1, 101) if sum(flows[:n]) >= result.cost.likely)
    assert result.discounted_payback_whole_years == whole
    inside = whole - 1 + (result.cost.likely - sum(flows[: whole - 1])) / flows[whole - 1]
    assert result.discounted_payback == pytest.approx(inside)
    assert result.payback < result.discounted_payback <= whole
    assert result.adjusted_internal_rate == pytest.approx(1.03 * result.sir ** (1 / 20) - 1)


def test_rising_prices_pay_back_sooner() -> None:
    rising = Study(ALDER.as_found, terms=MoneyTerms(escalation={"electricity": 0.03}))
    usual, dearer = (study.plan(["attic_insulation"]) for study in (ALDER, rising))
    assert dearer.discounted_payback < usual.discounted_payback
    assert dearer.adjusted_internal_rate > usual.adjusted_internal_rate


UTILITY = Rebate(name="utility", amount=300.0, measures=("attic_insulation", "duct_mastic"))
CREDIT = Rebate(name="tax credit", percent=30.0, cap=150.0)


def rebated_study(*rebates: Rebate) -> Study:
    return Study(ALDER.as_found, terms=MoneyTerms(rebates=rebates))


def test_rebates_come_off_all_three_costs_and_never_pass_them() -> None:
    usual = ALDER.plan(FIVE)
    result = rebated_study(UTILITY, CREDIT).plan(FIVE)
    for side in ("low", "likely", "high"):
        full, left = getattr(usual.cost, side), getattr(result.cost, side)
        assert left == pytest.approx(full - 300.0 - min(150.0, 0.3 * (full - 300.0)))
    gift = rebated_study(Rebate(name="gift", amount=1e6)).plan(FIVE)
    assert (gift.cost.low, gift.cost.likely, gift.cost.high) == pytest.approx((0.0, 0.0, 0.0))
    assert gift.saved == usual.saved
    assert gift.payback == 0.0


def test_rebate_shared_with_ticked_measures_is_not_given_twice() -> None:
    study = rebated_study(UTILITY)
    mastic = study.offer("duct_mastic").cost_likely
    alone = study.plan(()).measures["duct_mastic"]
    assert alone.cost.likely == pytest.approx(max(mastic - 300.0, 0.0))
    beside = study.plan(["attic_insulation"]).measures["duct_mastic"]
    assert beside.cost.likely == pytest.approx(mastic)
    both = study.plan(["attic_insulation", "duct_mastic"])
    one = study.plan(["attic_insulation"])
    assert both.cost.likely - one.cost.likely == pytest.approx(beside.cost.likely)
    assert both.net_savings - one.net_savings == pytest.approx(beside.net_savings)


def test_rebate_is_given_for_the_first_purchase_only() -> None:
    key = "led_lamps"
    usual, result = (
        ALDER.plan([key]),
        rebated_study(Rebate(name="all", percent=100.0)).plan([key]),
    )
    life, price = ALDER.offer(key).measure.life.years, ALDER.offer(key).cost_likely
    assert life < 20
    assert result.net_savings - usual.net_savings == pytest.approx(price)


def test_rebate_for_a_measure_of_another_house_changes_nothing() -> None:
    study = rebated_study(Rebate(name="utility", amount=100.0, measures=("furnace_upgrade",)))
    assert "furnace_upgrade" not in study.keys
    assert study.plan(FIVE) == ALDER.plan(FIVE)
    with pytest.raises(MoneyError, match=r"rebate 'x': there is no measure 'magic'; "):
        rebated_study(Rebate(name="x", amount=1.0, measures=("magic",)))


def test_tight_stack_is_told_the_fan_it_lacks_and_what_it_costs_to_run() -> None:
    ticked = ["attic_insulation", "band_joist_foam"]
    result = ALDER.plan(ticked)
    fan = result.fresh_air
    assert fan is not None
    assert fan.flow == pytest.approx(result.minimum_air - result.after.outdoor_air)
    assert fan.yearly > 0
    whole = ALDER.plan([*ticked, fan.measure])
    assert whole.fresh_air is None
    assert fan.yearly < whole.after.cost - result.after.cost
