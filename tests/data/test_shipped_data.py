"""Every row of the shipped data lies within physical bounds and names its source."""

import csv
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.shipped_files import data_path, read_rows
from retrofit_lab.base.units import SPELLING
from retrofit_lab.climate.daily_csv import shipped_weather, site_rows
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.file import load_house
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.selecting import select
from retrofit_lab.safety.cautions import cautions

HOUSES = ["alder_street", "wren_cottage"]
MARKS = {"read", "memory", "common practice, no source"}
CLEARING_WORDS = (
    "is safe",
    "are safe",
    "no danger",
    "harmless",
    "no risk",
    "cannot hurt",
    "safely",
)
PARTS = {
    "under the house",
    "living rooms",
    "attic",
    "heating and cooling",
    "hot water",
    "outdoors",
}


@pytest.mark.parametrize("rule", parameters().values(), ids=lambda rule: rule.name)
def test_parameter(rule) -> None:
    assert rule.legal_low <= rule.typical_low <= rule.typical_high <= rule.legal_high
    assert rule.unit in SPELLING
    assert rule.source
    assert rule.mark in MARKS
    assert rule.way_out.endswith(".")
    if rule.default is not None:
        assert rule.legal_low <= rule.default <= rule.legal_high


@pytest.mark.parametrize("key", site_rows())
def test_site(key: str) -> None:
    weather = shipped_weather(key)
    assert weather.days == 365
    assert weather.temperature.min() > -60
    assert weather.temperature.max() < 115
    assert weather.wind.min() >= 0
    assert weather.wind.max() < 60
    for plane, sun in weather.sun.items():
        assert sun.min() >= 0, plane
        assert sun.max() < 3600, plane
    assert weather.humidity_ratio.min() > 0
    assert weather.humidity_ratio.max() < 0.03
    assert site_rows()[key]["license"]


@pytest.mark.parametrize("row", read_rows("leak_sites.csv"), ids=lambda row: row["key"])
def test_leak_site(row) -> None:
    low, likely, high = (float(row[f"{name}_in2"]) for name in ("low", "likely", "high"))
    assert 0 < low <= likely <= high < 40
    assert row["mark"] in MARKS


@pytest.mark.parametrize("fuel", fuels().values(), ids=lambda fuel: fuel.key)
def test_fuel(fuel) -> None:
    assert 3000 < fuel.heat_content < 3e7
    assert 0 <= fuel.co2 < 15
    assert 0 < fuel.demo_price < 500
    assert fuel.price_as_of[:4].isdigit()
    assert fuel.price_source


@pytest.mark.parametrize("name", HOUSES)
def test_example_house_has_nothing_odd(name: str) -> None:
    assert check_house(load_house(data_path("houses", f"{name}.toml"))) == ()


@pytest.mark.parametrize("measure", catalog(), ids=lambda measure: measure.key)
def test_measure(measure) -> None:
    house = load_house(data_path("houses", "alder_street.toml"))
    for change in measure.changes:
        select(house, change.where)
    assert measure.tags
    assert measure.rests_on
    assert set(measure.cautions) <= set(cautions())
    assert measure.cautions
    assert measure.findings
    assert measure.part in PARTS
    assert measure.why.endswith(".")
    assert len(measure.why) > 60
    assert measure.cost.source
    assert 2015 <= measure.cost.year <= 2030
    assert measure.life.source
    assert not set(measure.after) & set(measure.excludes)
    if measure.may_cost:
        assert "cost" in measure.why
    for word in CLEARING_WORDS:
        assert word not in f"{measure.title} {measure.why}".lower()


def test_catalog_is_wide_and_its_titles_differ() -> None:
    titles = [measure.title for measure in catalog()]
    assert len(titles) >= 38
    assert len(set(titles)) == len(titles)


def test_work_comes_in_an_order_without_circles() -> None:
    before = {measure.key: measure.after for measure in catalog()}
    assert tuple(TopologicalSorter(before).static_order())


def test_what_tightens_the_house_asks_for_air_and_for_tested_burners() -> None:
    for measure in catalog():
        if "air_leakage" in measure.tags:
            assert "minimum_ventilation" in measure.cautions, measure.key
            assert "combustion_spillage" in measure.cautions, measure.key


@pytest.mark.parametrize("caution", cautions().values(), ids=lambda caution: caution.key)
def test_caution_informs_and_never_clears(caution) -> None:
    known = {row["key"] for row in read_rows("observations.csv")}
    assert set(caution.observations) <= known
    assert caution.mark in MARKS
    assert caution.source
    assert bool(caution.edition) == (caution.mark != "common practice, no source")
    assert caution.text.endswith(".")
    for word in CLEARING_WORDS:
        assert word not in f"{caution.title} {caution.text}".lower()


def test_every_caution_can_appear() -> None:
    raised = {key for measure in catalog() for key in measure.cautions}
    alone = {c.key for c in cautions().values() if c.observations}
    never = set(cautions()) - raised - alone
    assert not never, (
        f"no measure and no observation raises {sorted(never)}: name them under cautions or observations"
    )


def test_observations_of_the_examples_are_known() -> None:
    known = {row["key"] for row in read_rows("observations.csv")}
    for name in HOUSES:
        assert set(load_house(data_path("houses", f"{name}.toml")).observations) <= known


TABLES = sorted(data_path().rglob("*.csv"))


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.name)
def test_every_table_tells_its_source(path: Path) -> None:
    """In a column, at its head, or, for weather, in the list of sites with their licenses."""
    lines = path.read_text(encoding="utf-8").splitlines()
    head = " ".join(line for line in lines if line.startswith("#")).lower()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert rows
    if "source" in rows[0]:
        assert all(row["source"] for row in rows)
    elif path.parent.name == "climates" and "source:" not in head:
        sites = {row["key"]: row for row in read_rows("climates", "sites.csv")}
        assert sites[path.stem]["source"]
        assert sites[path.stem]["license"]
    else:
        assert any(word in head for word in ("invented", "source:", "made by", "words are ours"))
