"""Readings of the walk and design loads in the report: as read, beyond which limit, and on the page of the trade."""

from dataclasses import replace
from datetime import date
from functools import cache

import pytest
from examples import example

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.shared.words import words
from retrofit_lab.house.measured import (
    NOTHING_MEASURED,
    AirHandlerReading,
    BurnerReading,
    DuctReading,
    GasReading,
    InfraredNote,
    PanReading,
)
from retrofit_lab.proposals.content import Maker, ReportContent, report_content
from retrofit_lab.proposals.contractors import scopes
from retrofit_lab.study.study import Study

MEASURED = replace(
    NOTHING_MEASURED,
    burners=(BurnerReading(key="tank", label="Tank <b>", co_room=12.0, spillage=20.0),),
    ducts=DuctReading(outside=143.0),
    air_handler=AirHandlerReading(static_supply=0.31, static_return=0.42),
    pans=(PanReading(key="den", label="Den", pressure=0.4),),
    gas=GasReading(found="no leak", where="meter"),
    infrared=(InfraredNote(key="eave", label="Eave", note="cold stripe", picture="ir_4.jpg"),),
)
TON = 12_000.0


@cache
def content(*, measured: bool) -> ReportContent:
    house = example("alder_street").as_found
    house = replace(house, job=replace(house.job, budget=12_345.0))
    study = Study(replace(house, measured=MEASURED) if measured else house)
    return report_content(study, ("duct_mastic",), Maker(made_on=date(2026, 11, 28)))


def page(language: str, *, measured: bool = True) -> str:
    return report_html(content(measured=measured), words(language))


def test_readings_stand_as_read_with_the_limit_that_they_are_beyond() -> None:
    text = page("en")
    for said in (
        "12 ppm",
        "20 s",
        "0.4 Pa",
        "beyond 9 ppm",
        "code office",
        "Eave: cold stripe ir_4.jpg",
    ):
        assert said in text
    assert "Tank &lt;b&gt;" in text
    assert "Tank <b>" not in text
    assert text.count("beyond 9 ppm") == 1
    assert "nothing about the rest of the house" in text


def test_the_test_sheet_starts_from_what_was_read() -> None:
    sheet = page("en").partition('id="tests"')[2].partition("Readings of the walk")[0]
    assert "143 cfm" in sheet
    assert "0.73 in. wc" in sheet


def test_what_the_owner_can_spend_stands_nowhere() -> None:
    assert "12,345" not in page("en")
    assert "12345" not in page("en")


def test_without_readings_nothing_is_said_of_them() -> None:
    assert "Readings of the walk" not in page("en", measured=False)


def test_spanish_says_the_same() -> None:
    text = page("es")
    for said in (
        "Lecturas de la visita",
        "fuera de 9 ppm",
        "oficina local de códigos",
        "Cargas para elegir",
    ):
        assert said in text


@pytest.mark.parametrize("language", ["en", "es"])
def test_loads_are_those_of_the_study(language: str) -> None:
    found, done = content(measured=False).sizing
    text = page(language, measured=False)
    for load in (found.loads.heating, done.loads.heating, found.loads.cooling, done.loads.cooling):
        assert f"{round(load, -2):,.0f} Btu/h" in text
    assert f"{done.loads.cooling / TON:.1f} to" in text


def test_who_sizes_equipment_is_told_the_loads() -> None:
    study = example("alder_street")
    told = content(measured=False)
    found = [
        scope
        for scope in scopes(study, told.proposal.steps, told.result.cautions)
        if scope.trade == "heating"
    ]
    text = report_html(told, words("en"), found)
    load = f"{round(told.sizing[1].loads.heating, -2):,.0f} Btu/h"
    assert found
    assert text.count(load) >= 2
