"""Hazards stand on top of page, report and command; what waits is shown with its saving and is no job for a weekend."""

from dataclasses import replace
from datetime import date

import pytest
from examples import example

from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.now_content import now_content
from retrofit_lab.app.page.page_content import page_content
from retrofit_lab.app.page.plan_view import cautions_of
from retrofit_lab.app.page.told import told
from retrofit_lab.app.report.files import Report, pages_to_print
from retrofit_lab.app.report.html import Extras, report_html, stop_html
from retrofit_lab.app.shared.hazard_wording import hazard_lines
from retrofit_lab.app.shared.words import words
from retrofit_lab.command import main
from retrofit_lab.house.file import save_house
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.proposals.content import Maker, ReportContent, report_content
from retrofit_lab.proposals.contractors import scopes
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.proposals.recommend import HELD, NEEDED
from retrofit_lab.study.study import Study
from retrofit_lab.study.working_order import working_order
from retrofit_lab.texts import LANGUAGES

ALDER = replace(example("alder_street").as_found, observations=())
BARE = Study(ALDER)
VERMICULITE = Study(replace(ALDER, observations=("vermiculite",)))
GAS = Study(replace(ALDER, observations=("gas_smell", "vermiculite")))
CHOSEN = ("attic_hatch", "led_lamps", "tank_setpoint")
DAY = Maker(made_on=date(2026, 5, 4))


@pytest.fixture(scope="module")
def content() -> ReportContent:
    return report_content(VERMICULITE, CHOSEN, DAY)


def html(study: Study, found: ReportContent, language: str = "en") -> str:
    pages = scopes(study, found.proposal.steps, found.result.cautions)
    return report_html(found, words(language), pages)


def test_box_is_empty_where_nothing_was_recorded_and_names_what_waits_elsewhere() -> None:
    assert hazard_lines(BARE) == []
    first, *items = hazard_lines(GAS)
    assert first.startswith("STOP")
    assert "do not touch any switch" in items[0]
    assert "attic_hatch" in items[1]


@pytest.mark.parametrize("command", ["check", "savings"])
def test_command_says_it_first(command: str, tmp_path, capsys) -> None:
    path = tmp_path / "house.toml"
    save_house(GAS.as_found, path)
    assert main([command, str(path)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("STOP")
    assert "Gas smell" in lines[1]
    if command == "savings":
        assert all("waits: Gas smell" in line for line in lines if line.startswith("["))


def shown(study: Study, language: str = "en") -> dict:
    said = told(study, language, "us")
    return page_content(said, study.plan(()), HouseDrawing(said).parts)


def test_page_has_the_box_and_each_line_says_what_it_waits_for() -> None:
    page = shown(VERMICULITE)
    assert [item["title"] for item in page["stop"]["items"]] == ["Vermiculite in the attic"]
    assert page["stop"]["stopped"] is False
    rows = {row["key"]: row for row in page["rows"]}
    assert "vermiculite in the attic" in rows["attic_hatch"]["held"]
    assert "asbestos professional" in rows["attic_hatch"]["releases"][0]
    assert rows["led_lamps"]["held"] == ""
    both = {row["key"]: row for row in shown(GAS)["rows"]}
    assert "gas smell; vermiculite in the attic" in both["attic_hatch"]["held"]
    assert shown(GAS)["stop"]["stopped"] is True
    assert shown(BARE)["stop"] == {}
    held = next(group for group in page["groups"] if group["key"] == "held")
    assert set(held["keys"]) == {key for key in VERMICULITE.keys if VERMICULITE.case.holds[key]}


@pytest.mark.parametrize("language", LANGUAGES)
def test_page_says_hazards_in_every_language(language: str) -> None:
    said = words(language)
    (hazard,) = VERMICULITE.case.hazards
    (item,) = shown(VERMICULITE, language)["stop"]["items"]
    assert item["title"] == said.names.hazard(hazard)["title"]
    assert said.names.hazard(hazard)["release"] in item["text"]


def test_numbers_of_the_page_stay_and_cautions_come_by_tier() -> None:
    lines = []
    for study in (VERMICULITE, BARE):
        result = study.plan(CHOSEN)
        said, expected = told(study, "en", "us"), RealHouses(study).of_plan(result)
        lines.append(now_content(said, result, expected)["rows"])
    assert lines[0] == lines[1]
    notes = cautions_of(told(VERMICULITE, "en", "us"), VERMICULITE.plan(CHOSEN))
    tiers = [caution["tier"] for caution in notes]
    assert tiers[0] == "Stops the work"
    assert tiers == sorted(
        tiers, key=["Stops the work", "Test or look first", "While working"].index
    )


def test_report_puts_what_waits_last_in_its_phase_and_keeps_it_from_the_weekend(
    content: ReportContent,
) -> None:
    together = ("attic_hatch", "weatherstrip_doors", "outlet_gaskets")
    assert working_order(VERMICULITE, together)[-1] == "attic_hatch"
    step = next(step for step in content.order.steps if step.key == "attic_hatch")
    assert step.reason == HELD
    assert step.saving > 0
    assert "attic_hatch" not in {step.key for step in content.weekend}
    free = report_content(BARE, CHOSEN, DAY)
    assert "attic_hatch" in {step.key for step in free.weekend}


def test_nothing_is_for_the_weekend_where_all_work_stops() -> None:
    stopped = report_content(GAS, CHOSEN, DAY)
    assert stopped.weekend == ()
    text = html(GAS, stopped)
    assert text.index('id="stop"') < text.index('id="summary"')
    assert words("en").say("summary.first") not in text


@pytest.mark.parametrize("language", LANGUAGES)
def test_report_says_it_in_every_language(content: ReportContent, language: str) -> None:
    text = html(VERMICULITE, content, language)
    said = words(language)
    (hazard,) = VERMICULITE.case.hazards
    assert said.names.hazard(hazard)["release"] in text
    assert said.say("stop.title") in text
    assert said.say("safety.stops_work") in text
    clean = html(BARE, report_content(BARE, CHOSEN, DAY), language)
    assert said.say("stop.title") not in clean


def test_what_is_needed_is_never_judged_by_payback(content: ReportContent) -> None:
    reasons = {item.offer.key: item.reason for item in content.considered}
    assert reasons["exhaust_ventilation"] == NEEDED
    assert reasons["balanced_ventilation"] == NEEDED
    needed = {measure.key for measure in catalog() if measure.needed}
    assert needed >= {"exhaust_ventilation", "bath_fan_outdoors", "dryer_vent_flap"}


@pytest.mark.parametrize(("language", "fan", "hood"), [("en", "20 minutes", "during all cooking"), ("es", "20 minutos", "siempre que cocine")])  # fmt: skip
def test_fans_run_long_enough(language: str, fan: str, hood: str) -> None:
    habits = " ".join(words(language).all("weekend.habit"))
    assert fan in habits
    assert hood in habits


def test_a_remedy_recorded_calls_for_no_work() -> None:
    study = Study(replace(ALDER, observations=("vermiculite", "vermiculite_tested")))
    assert study.case.hazards == ()
    found = report_content(study, CHOSEN, DAY)
    by_key = {item.key: item for item in found.observations}
    assert by_key["vermiculite"].cautions
    assert by_key["vermiculite_tested"].measures == ()
    assert words("en").say("findings.remedy") in html(study, found)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_letter_stops_the_work_where_a_hazard_does(language: str) -> None:
    said = words(language)
    letter = stop_html(report_content(GAS, (), DAY), said)
    assert said.say("letter.stop") in letter
    (gas, *_) = GAS.case.hazards
    assert said.names.hazard(gas)["title"] in letter
    assert said.names.hazard(gas)["release"] in letter


def test_no_letter_where_only_some_work_waits(content: ReportContent) -> None:
    def names(study: Study, found: ReportContent) -> list[str]:
        report = Report(study=study, content=found, words=words("en"), pages=(), extras=Extras())
        return [name for name, _ in pages_to_print(report)]

    assert "stop_work.pdf" in names(GAS, report_content(GAS, (), DAY))
    assert "stop_work.pdf" not in names(VERMICULITE, content)
