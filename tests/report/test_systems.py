"""Numbers of the report in SI units."""

import re
from pathlib import Path

import pytest
from examples import example
from reported import content_of

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.shared.systems import SI_UNITS, fuel_shown, quantity_shown, shown
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.units import FOR_PEOPLE, SPELLING
from retrofit_lab.base.values import InputError
from retrofit_lab.command import main

SI = words("en", "si")
ALIKE = {
    "1", "Pa", "hour", "1/hour", "minute", "second", "W", "year", "degree", "kWh/year", "ppm", "percent",
}  # fmt: skip
"""Units that both systems show alike."""


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (68.0, "degF", "20 °C"), (9.0, "delta_degF", "5 °C difference"), (1000.0, "ft2", "92.9 m²"),
        (2650.0, "cfm", "1,251 L/s"), (13.0, "ft2*hour*delta_degF/Btu", "RSI-2.29"),
        (0.55, "Btu/hour/ft2/delta_degF", "3.12 W/(m²·K)"), (50.0, "gallon", "189 L"),
        (0.75, "inch", "19 mm"), (32000.0, "Btu/hour", "9,378 W"), (3.412, "Btu/W/hour", "1 W/W"),
        (1978.0, "year", "1978"), (50.0, "Pa", "50 Pa"), (5.0, "Btu/ft2/delta_degF", "102 kJ/(m²·K)"),
    ],
)  # fmt: skip
def test_quantities_in_si(value: float, unit: str, text: str) -> None:
    assert SI.quantity(value, unit) == text


def test_every_declared_unit_is_shown_in_both_systems() -> None:
    for unit in {rule.unit for rule in parameters().values()}:
        assert (unit in SI_UNITS) != (unit in ALIKE), unit
        assert shown(unit, "us").spelling == FOR_PEOPLE.get(SPELLING[unit], SPELLING[unit])
        assert shown(unit, "us").number(7.0) == 7.0


def test_fuels_in_si() -> None:
    assert SI.fuel(100.0, "natural_gas") == "2,931 kWh"
    assert SI.fuel(100.0, "heating_oil") == "379 L"
    assert SI.fuel(1.0, "wood") == "4 m³"
    assert SI.fuel(100.0, "electricity") == "100 kWh"
    assert fuel_shown("natural_gas", "us").spelling == "therm"


def test_quantities_of_measures_in_si() -> None:
    assert quantity_shown("ft2 of duct", "si").spelling == "m² of duct"
    assert quantity_shown("ft", "si").number(10.0) == pytest.approx(3.048)
    assert quantity_shown("hole", "si").number(3.0) == 3.0


def test_report_in_si_has_no_numbers_in_trade_units() -> None:
    page = report_html(content_of("wren_cottage"), SI)
    assert "Numbers are in SI units." in page
    text = re.sub(r"<style.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)
    used = text.split("How the house uses energy")[2].split("What we recommend")[0]
    assert not re.search(r"\d (?:therm|ft2|sq ft|cfm|°?F)\b", used)
    found = text.split("Main numbers of the house")[1].split("How the house uses energy")[0]
    assert not re.search(r"\d (?:ft2|ft3|sq ft|cu ft|cfm|°?F)\b", found)


def test_si_and_spanish_by_the_command(tmp_path: Path) -> None:
    house = str(data_path("houses", "wren_cottage.toml"))
    arguments = ["--plan", "wall_fill", "--units", "si", "--language", "es", "--out", str(tmp_path)]
    assert main(["report", "--no-page", house, *arguments]) == 0
    page = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert "Los números están en unidades SI." in page
    assert " L/s" in page
    cost = example("wren_cottage").plan(["wall_fill"]).cost
    assert SI.cost(cost).split(" ")[0] in page


def test_unknown_system_is_refused() -> None:
    with pytest.raises(InputError, match="there are no 'imperial' units; systems are us, si"):
        words("en", "imperial")
