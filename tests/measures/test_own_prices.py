"""Own prices: they stand in place of the catalog's, the rest follows the region, and a wrong file is told where."""

import pytest
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.measures.catalog import catalog, measure_named
from retrofit_lab.measures.own_prices import (
    FORMAT,
    OwnPrices,
    PriceError,
    own_prices_from_table,
    with_own_prices,
)
from retrofit_lab.study.opening import own_terms
from retrofit_lab.study.study import Study

HEAD = 'format = "retrofit-lab prices"\nversion = 1\n'
ALDER = example("alder_street").as_found


def table(**content):
    return {"format": FORMAT, "version": 1, **content}


def measure(key: str, own: OwnPrices):
    return next(m for m in with_own_prices(catalog(), own) if m.key == key)


def test_file_of_the_docstring_is_read_and_used(tmp_path) -> None:
    path = tmp_path / "prices.toml"
    path.write_text(
        HEAD
        + 'cost_factor = 1.12\nsource = "My list"\n'
        + "[prices.attic_insulation]\nlow = 1.5\nlikely = 2.1\nhigh = 3.0\nyear = 2026\n"
        + '[prices.heat_pump_upgrade]\nquote = 11250\nsource = "Offer of 3 March"\n',
        encoding="utf-8",
    )
    study = Study(ALDER, measures=own_terms(path)[0])
    attic, pump, mastic = (study.offer(k) for k in ("attic_insulation", "heat_pump_upgrade", "duct_mastic"))  # fmt: skip
    assert attic.cost_likely == pytest.approx(200 + 2.1 * 760)
    assert attic.measure.cost.source == "My list"
    assert attic.measure.cost.year == 2026
    assert (pump.cost_low, pump.cost_likely, pump.cost_high) == (11250, 11250, 11250)
    assert pump.measure.cost.source == "Offer of 3 March"
    usual = Study(ALDER).offer("duct_mastic")
    assert mastic.cost_likely == pytest.approx(1.12 * usual.cost_likely)
    assert mastic.measure.cost.source.endswith("times 1.12 for the region")


def test_savings_do_not_move_with_prices() -> None:
    own = OwnPrices(cost_factor=2.0)
    usual = Study(ALDER).plan(["attic_insulation"])
    dear = Study(ALDER, measures=with_own_prices(catalog(), own)).plan(["attic_insulation"])
    assert dear.saved == pytest.approx(usual.saved)
    assert dear.cost.likely == pytest.approx(2 * usual.cost.likely)


def test_no_file_changes_nothing() -> None:
    assert with_own_prices(catalog(), OwnPrices()) == catalog()
    assert own_prices_from_table(table()) == OwnPrices()


def test_only_likely_keeps_the_distance() -> None:
    old = measure_named("duct_mastic").cost
    new = measure(
        "duct_mastic", own_prices_from_table(table(prices={"duct_mastic": {"likely": 3}}))
    )
    assert new.cost.likely == 3
    assert new.cost.low / new.cost.likely == pytest.approx(old.low / old.likely)
    assert new.cost.high / new.cost.likely == pytest.approx(old.high / old.likely)
    assert new.cost.minimum == old.minimum


def test_likely_for_what_is_free_in_the_catalog() -> None:
    new = measure("cold_wash", own_prices_from_table(table(prices={"cold_wash": {"likely": 12}})))
    assert (new.cost.low, new.cost.likely, new.cost.high) == (12, 12, 12)


@given(st.floats(0.2, 5.0))
@settings(deadline=None, max_examples=30)
def test_region_scales_every_amount_and_keeps_the_order(factor: float) -> None:
    for old, new in zip(catalog(), with_own_prices(catalog(), OwnPrices(cost_factor=factor)), strict=True):  # fmt: skip
        assert new.cost.low <= new.cost.likely <= new.cost.high
        assert new.cost.likely == pytest.approx(factor * old.cost.likely)
        assert new.cost.minimum == pytest.approx(factor * old.cost.minimum)
        assert new.changes == old.changes


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ({"format": "x"}, r"format is 'x'; must be 'retrofit-lab prices'"),
        ({"version": 2}, r"version is 2; this program reads version 1"),
        ({"discount": 3}, r"discount: unknown key. Known here are format, .*prices, rebates, money, fuels"),
        ({"cost_factor": 9}, r"cost_factor is 9; must be a number from 0.2 to 5"),
        ({"cost_factor": True}, r"cost_factor is True; must be a number"),
        ({"cost_factor": "1.1"}, r"cost_factor is '1.1'; must be a number"),
        ({"cost_factor": float("nan")}, r"cost_factor is nan"),
        ({"source": 5}, r"source is 5; must be text"),
        ({"prices": 5}, r"prices is 5; must be tables such as \[prices.attic_insulation\]"),
        ({"prices": {"magic": {"likely": 1}}}, r"prices.magic: there is no such measure. Known are attic_air"),
        ({"prices": {"tank_wrap": 40}}, r"prices.tank_wrap is 40; must be a table with likely or quote"),
        ({"prices": {"tank_wrap": {}}}, r"prices.tank_wrap: no price is given. Add likely or quote"),
        ({"prices": {"tank_wrap": {"likley": 4}}}, r"prices.tank_wrap.likley: unknown key. Known here are quote"),
        ({"prices": {"tank_wrap": {"likely": -4}}}, r"prices.tank_wrap.likely is -4; must be a number from 0"),
        ({"prices": {"tank_wrap": {"likely": "$40"}}}, r"prices.tank_wrap.likely is '\$40'; .*without a sign"),
        ({"prices": {"tank_wrap": {"likely": float("inf")}}}, r"prices.tank_wrap.likely is inf"),
        ({"prices": {"tank_wrap": {"low": 90, "likely": 40, "high": 50}}}, r"low 90, likely 40 and high 50 must rise"),
        ({"prices": {"tank_wrap": {"low": 90}}}, r"prices.tank_wrap: low 90, likely 45 and high 130 must rise"),
        ({"prices": {"tank_wrap": {"quote": 40, "low": 3}}}, r"quote is for the whole job .* Take out low"),
        ({"prices": {"tank_wrap": {"likely": 40, "year": "2026"}}}, r"year is '2026'; must be a whole year"),
        ({"prices": {"tank_wrap": {"likely": 40, "year": 26}}}, r"year is 26; must be a whole year"),
        ({"prices": {"tank_wrap": {"likely": 40, "source": ""}}}, r"prices.tank_wrap.source is ''; must be text"),
    ],
)  # fmt: skip
def test_wrong_content_is_refused_with_key_value_rule_and_way_out(content, words: str) -> None:
    with pytest.raises(PriceError, match=words) as caught:
        own_prices_from_table({**table(), **content})
    assert all(line.endswith(".") for line in str(caught.value).splitlines())


def test_all_problems_are_told_at_once_with_the_file(tmp_path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(HEAD + "cost_factor = 0\n[prices.tank_wrap]\nlikely = -1\n", encoding="utf-8")
    with pytest.raises(PriceError) as caught:
        own_terms(path)
    lines = str(caught.value).splitlines()
    assert len(lines) == 2
    assert all(line.startswith("mine.toml: ") for line in lines)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"format = ", r"mine.toml: it is not a readable price file: .*Fix that line"),
        (b"\xff\xfe", r"mine.toml: it cannot be read .*Choose a price file"),
        (b"#" * 200_001, r"mine.toml: it has 200,001 bytes; a price file has at most 200,000"),
        (None, r"mine.toml: there is no such file"),
    ],
)
def test_broken_file_is_refused(tmp_path, content: bytes | None, words: str) -> None:
    path = tmp_path / "mine.toml"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(PriceError, match=words):
        own_terms(path)
