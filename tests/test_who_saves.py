"""The account of a set: every kind of saving adds up, and agrees with the study that it is about."""

from dataclasses import replace

import numpy as np
import pytest
from examples import example

from retrofit_lab.app.page.asking import Asked
from retrofit_lab.app.page.panels import answered, panel_named
from retrofit_lab.app.page.told import told
from retrofit_lab.app.shared.shown_units import SI, US
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.values import InputError
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.energy_attribution import Saving, who_saves

SETS = {
    "alder_street": ("band_joist_foam", "attic_insulation", "duct_mastic", "heat_pump_upgrade", "led_lamps"),
    "wren_cottage": ("attic_insulation", "wall_fill", "central_heat_pump", "tank_wrap", "shower_heads"),
}  # fmt: skip
houses = pytest.mark.parametrize("name", SETS)


def numbers(saving: Saving) -> np.ndarray:
    return np.array([saving.cost, saving.co2, *saving.energy.values()])


@houses
def test_fair_shares_add_to_the_whole_in_energy_money_and_carbon(name: str) -> None:
    account = who_saves(example(name), SETS[name])
    total = sum(numbers(part.share) for part in account.parts)
    np.testing.assert_allclose(total, numbers(account.whole), rtol=1e-9, atol=1e-9)


@houses
def test_account_is_what_the_study_says(name: str) -> None:
    study = example(name)
    account, result = who_saves(study, SETS[name]), study.plan(SETS[name])
    assert account.whole.cost == pytest.approx(result.saved)
    assert account.whole.co2 == pytest.approx(result.before.co2 - result.after.co2)
    for fuel, saved in account.whole.energy.items():
        before, after = result.before.fuel_total(fuel), result.after.fuel_total(fuel)
        assert saved == pytest.approx(before - after, abs=1e-6)
    for part in account.parts:
        row = result.measures[part.key]
        assert part.alone.cost == pytest.approx(row.alone)
        assert part.last.cost == pytest.approx(row.now)
        assert part.share.cost == pytest.approx(row.share)
    told = {(pair.first, pair.second): (pair.lost.cost, pair.why) for pair in account.pairs}
    assert len(told) == len(result.overlaps)
    for overlap in result.overlaps:
        lost, why = told[overlap.first, overlap.second]
        assert lost == pytest.approx(overlap.lost, abs=1e-6)
        # rounding alone may decide which way a pair leans that neither overlaps nor helps
        assert why == overlap.why or abs(lost) < 1e-6


@houses
def test_two_measures_lose_the_same_within_a_set_of_two(name: str) -> None:
    (pair,) = who_saves(example(name), SETS[name][:2]).pairs
    np.testing.assert_allclose(numbers(pair.lost), numbers(pair.within), rtol=1e-9, atol=1e-9)


@houses
def test_shares_less_what_is_alone_are_halves_of_the_overlaps_within_for_two(name: str) -> None:
    account = who_saves(example(name), SETS[name][:2])
    for part in account.parts:
        lost = numbers(part.alone) - numbers(part.share)
        np.testing.assert_allclose(lost, numbers(account.pairs[0].lost) / 2, rtol=1e-9, atol=1e-9)


def test_too_many_are_refused_with_a_way_out() -> None:
    study = example("alder_street")
    with pytest.raises(
        InputError, match=r"17 measures are in the plan; .* 16 at most\. Take some out"
    ):
        who_saves(study, study.keys[:17])


@houses
@pytest.mark.parametrize("units", [US, SI])
def test_panel_tells_every_kind_of_saving(name: str, units: str) -> None:
    study = example(name)
    asked = Asked(
        advice=Advice(study), result=study.plan(SETS[name]), real=RealHouses(study),
        told=told(study, "en", units), values={},
    )  # fmt: skip
    titles, result = asked.told.titles, asked.result
    used = {fuels()[fuel].key for fuel, _ in study.uses}
    for place in range(2 + len(fuels())):
        content = answered(panel_named("shares"), asked, {"counted": place})
        if place >= 2 and list(fuels())[place - 2] not in used:
            assert content["sentences"][0].startswith("This house uses no ")
            continue
        assert len(content["table"]["rows"]) == len(SETS[name]) + 1
        if place == 0:
            assert content["table"]["rows"][-1][-1] == dollars(result.saved)
            shares = {titles[key]: dollars(row.share) for key, row in result.measures.items()}
            for row in content["table"]["rows"][:-1]:
                assert row[3] == shares[row[0]]
    nothing = answered(panel_named("shares"), replace(asked, result=study.plan(())), {})
    assert nothing["sentences"] == [asked.say("panel.shares.none")]
    many = replace(asked, result=study.plan(allowed_many(study)))
    assert "16 at most" in answered(panel_named("shares"), many, {})["sentences"][0]


def allowed_many(study) -> list[str]:
    """Seventeen measures that go together."""
    chosen: list[str] = []
    for key in study.keys:
        if not study.case.conflict([*chosen, key]):
            chosen.append(key)
    return chosen[:17]
