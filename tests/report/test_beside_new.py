"""Equipment past its usual life: the report says what its replacement is worth next to new equipment of its kind."""

from dataclasses import replace
from datetime import date

import pytest
from examples import example

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.shared.words import words
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.proposals.content import Maker, ReportContent, report_content
from retrofit_lab.study.study import Study

CHOSEN = ("furnace_upgrade",)
FURNACE = "fuel_heaters.furnace"


def content(study: Study) -> ReportContent:
    return report_content(study, CHOSEN, Maker(made_on=date(2026, 11, 29)))


@pytest.fixture(scope="module")
def told() -> ReportContent:
    return content(example("juniper_street"))


def test_worth_is_that_of_the_difference(told: ReportContent) -> None:
    """The same study in which someone says that the furnace must be replaced anyway."""
    house = example("juniper_street").as_found
    said = Study(house, terms=MoneyTerms(replaced_anyway=(FURNACE,))).plan(CHOSEN)
    whole = Study(house).plan(CHOSEN)
    (step,) = (step for step in told.proposal.steps if step.by_difference)
    asked, usual = (plan.measures["furnace_upgrade"] for plan in (said, whole))
    assert step.key == "furnace_upgrade"
    assert step.sir == pytest.approx(asked.sir)
    assert step.sir > 2.0 * usual.sir


@pytest.mark.parametrize(
    ("language", "opening"),
    [
        ("en", "The equipment it replaces is past its usual life. Compared with"),
        ("es", "El equipo que reemplaza ya pasó su vida normal. Comparado con"),
    ],
)
def test_the_report_says_so_once(told: ReportContent, language: str, opening: str) -> None:
    assert report_html(told, words(language)).count(opening) == 1


def test_nothing_is_said_of_equipment_that_lasts(told: ReportContent) -> None:
    house = example("juniper_street").as_found
    heater = replace(house.fuel_heaters[0], made="2024")
    young = content(Study(replace(house, fuel_heaters=(heater,))))
    assert not any(step.by_difference for step in young.proposal.steps)
    assert "past its usual life" not in report_html(young, words("en"))
