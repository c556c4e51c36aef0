"""The kitchen-table page without a browser: state, sentences, figures, and what a hostile page may send."""

import pytest
from examples import example

from retrofit_lab.house.paths import with_numbers
from retrofit_lab.presentation import kitchen_table, wording
from retrofit_lab.presentation.figures import bars, overlap_figure, overlap_table
from retrofit_lab.presentation.kitchen_table import HOUSE_VARIABLE, KitchenTable, ProblemPage, show
from retrofit_lab.presentation.scripts import STATIC
from retrofit_lab.presentation.state import KitchenTableState
from retrofit_lab.results import Range
from retrofit_lab.study import Study

ALDER = example("alder_street")
FIVE = ["band_joist_foam", "attic_insulation", "duct_mastic", "night_setback", "tank_wrap"]
TITLES = {offer.key: offer.measure.title for offer in ALDER.offers}


@pytest.fixture
def page() -> KitchenTable:
    return KitchenTable(ALDER)


def test_tick_changes_the_numbers(page: KitchenTable) -> None:
    before = page.now
    page.ticked = FIVE
    expected = ALDER.stack(FIVE)
    assert page.now["ticked"] == list(expected.ticked)
    assert page.now["facts"][1]["value"] == f"{wording.dollars(expected.after.cost)} a year"
    assert page.now["facts"][1] != before["facts"][1]
    assert page.now["live"].startswith("5 ticked: saves $")


def test_two_pages_do_not_share_a_choice(page: KitchenTable) -> None:
    other = KitchenTable(ALDER)
    page.ticked = FIVE
    assert other.now["ticked"] == []


def test_unknown_and_wrong_ticks_are_left_out_and_said(page: KitchenTable) -> None:
    page.ticked = ["tank_wrap", "no_such_thing", 7, None, {"a": 1}]
    assert page.now["ticked"] == ["tank_wrap"]
    assert page.now["problem"] == wording.UNKNOWN_TICKED
    page.ticked = ["tank_wrap"] * 5000
    assert page.now["ticked"] == ["tank_wrap"]


def test_of_two_that_exclude_each_other_the_newest_stays(page: KitchenTable) -> None:
    page.ticked = ["basement_wall_insulation"]
    page.ticked = ["basement_wall_insulation", "basement_ceiling_insulation"]
    assert page.ticked == ["basement_ceiling_insulation"]
    assert "Insulate the basement walls' was unticked" in page.now["problem"]


def test_failure_is_one_sentence_and_a_line_in_the_log(page: KitchenTable, monkeypatch) -> None:
    def broken(_state, _keys):
        raise RuntimeError("inside details")

    monkeypatch.setattr(KitchenTableState, "choose", broken)
    page.ticked = ["tank_wrap"]
    assert page.said["text"] == wording.FAILED
    assert page.said["problem"] is True
    assert "inside details" not in str(page.get_state())


def test_client_cannot_break_what_python_wrote(page: KitchenTable) -> None:
    page.now = {}
    page.ticked = ["tank_wrap"]
    assert page.now["ticked"] == ["tank_wrap"]


def test_bad_house_gives_the_sentence_instead_of_a_traceback(tmp_path, monkeypatch) -> None:
    path = tmp_path / "h.toml"
    path.write_text("format = 'x'", encoding="utf-8")
    monkeypatch.setenv(HOUSE_VARIABLE, str(path))
    shown = show()
    assert isinstance(shown, ProblemPage)
    assert shown.page["problem"].startswith("h.toml: format is 'x'")


def test_example_is_shown_by_default(monkeypatch) -> None:
    monkeypatch.delenv(HOUSE_VARIABLE, raising=False)
    assert isinstance(show(), KitchenTable)


def test_figure_bars_add_to_what_is_said() -> None:
    result = ALDER.stack(FIVE)
    *rows, total = bars(result, TITLES)
    assert sum(kept + won for _, kept, _, won in rows) == pytest.approx(result.saved)
    assert total[1] == pytest.approx(result.saved)
    assert total[2] == pytest.approx(result.lost_to_overlap)
    figure = overlap_figure(result, TITLES)
    assert [len(trace.x) for trace in figure.data] == [6, 6, 6]
    assert len({trace.marker.color for trace in figure.data}) == 3
    assert len({trace.marker.pattern.shape for trace in figure.data}) == 3
    assert len(overlap_table(result, TITLES)) == 6


def test_chart_without_ticks_is_empty_and_says_so() -> None:
    result = ALDER.stack(())
    assert len(overlap_figure(result, TITLES).data[0].x) == 0
    assert "Tick two or more" in wording.chart_sentence(result)


def test_every_measure_has_a_row_with_its_cautions() -> None:
    groups = kitchen_table.page_content(ALDER)["groups"]
    rows = {row["key"]: row for group in groups for row in group["rows"]}
    assert set(rows) == set(ALDER.keys)
    assert any("fire barrier" in c["title"] for c in rows["band_joist_foam"]["cautions"])
    assert "foam needs a fire barrier" in rows["band_joist_foam"]["warning"]


def test_air_below_the_standard_is_told_with_both_numbers() -> None:
    page = KitchenTable(ALDER)
    page.ticked = FIVE
    fresh = [c for c in page.now["cautions"] if c["title"] == "Fresh air"]
    assert "the standard asks for 88 cfm" in fresh[0]["text"]


@pytest.mark.parametrize(
    ("amount", "text"),
    [(0.4, "$0"), (33.4, "$33"), (311.3, "$310"), (3515.8, "$3,520"), (15_730.0, "$15,700"), (-42.0, "-$42"), (-0.2, "$0")],
)  # fmt: skip
def test_money_as_people_say_it(amount: float, text: str) -> None:
    assert wording.dollars(amount) == text


@pytest.mark.parametrize(
    ("span", "text"),
    [(float("inf"), "never"), (0.2, "within months"), (1.2, "about a year"), (10.9, "about 11 years"), (99, "more than 60 years")],
)  # fmt: skip
def test_years_as_people_say_them(span: float, text: str) -> None:
    assert wording.years(span) == text


def test_price_range_words() -> None:
    assert wording.price_range(Range(low=0, likely=0, high=0)) == "$0"
    assert wording.price_range(Range(low=450, likely=790, high=1110)) == "$790 ($450 to $1,110)"


def test_typed_markup_stays_text() -> None:
    house = with_numbers(ALDER.as_found, {"name": "<img src=x onerror=alert(1)>"})
    content = kitchen_table.page_content(Study(house))
    assert content["title"].startswith("<img src=x")


@pytest.mark.parametrize("path", sorted(STATIC.glob("*.js")), ids=lambda path: path.name)
def test_scripts_set_text_and_never_markup(path) -> None:
    script = path.read_text(encoding="utf-8")
    for word in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval("):
        assert word not in script
