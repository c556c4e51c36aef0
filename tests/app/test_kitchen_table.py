"""The kitchen-table page without a browser: state, sentences, figures, and what a hostile page may send."""

import asyncio

import pytest
from charts import check_chart
from examples import example
from waiting import until

from retrofit_lab.app.page import kitchen_table
from retrofit_lab.app.page.kitchen_table import (
    KitchenTable,
    ProblemPage,
    show,
)
from retrofit_lab.app.page.state import KitchenTableState
from retrofit_lab.app.shared import wording
from retrofit_lab.app.shared.figures import (
    BAR_PARTS,
    bar_amount,
    bar_parts,
    end_use_figure,
    money_figure,
    overlap_bars,
    overlap_table,
)
from retrofit_lab.app.shared.scripts import STATIC
from retrofit_lab.app.shared.surroundings import HOUSE_VARIABLE, PRICES_VARIABLE
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import Range
from retrofit_lab.study.study import Study

ALDER = example("alder_street")
FIVE = ["band_joist_foam", "attic_insulation", "duct_mastic", "night_setback", "tank_wrap"]
TITLES = {offer.key: offer.measure.title for offer in ALDER.offers}


@pytest.fixture
def page() -> KitchenTable:
    return KitchenTable(ALDER)


def test_tick_changes_the_numbers(page: KitchenTable) -> None:
    before = page.now
    page.ticked = FIVE
    expected = ALDER.plan(FIVE)
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


def test_own_prices_reach_the_page(tmp_path, monkeypatch) -> None:
    prices = tmp_path / "mine.toml"
    prices.write_text(
        'format = "retrofit-lab prices"\nversion = 1\n'
        "[prices.heat_pump_upgrade]\nquote = 10000\nsource = 'an offer'\n"
        "[[rebates]]\nname = 'the utility'\namount = 1500\nmeasures = ['heat_pump_upgrade']\n",
        encoding="utf-8",
    )
    monkeypatch.setenv(PRICES_VARIABLE, str(prices))
    shown = show()
    shown.ticked = ["heat_pump_upgrade"]
    assert shown.now["facts"][2]["value"] == "$8,500"
    prices.write_text("[money]\nrate = 3\n", encoding="utf-8")
    assert show().page["problem"].startswith("mine.toml: ")


def test_example_is_shown_by_default(monkeypatch) -> None:
    monkeypatch.delenv(HOUSE_VARIABLE, raising=False)
    assert isinstance(show(), KitchenTable)


def test_bars_add_to_what_is_said() -> None:
    result = ALDER.plan(FIVE)
    drawn = overlap_bars(result, TITLES)
    *rows, total = [
        {name: width for name, (_, width) in row["parts"].items()} for row in drawn["rows"]
    ]
    assert len(rows) == 5
    assert sum(row["kept"] + row["won"] for row in rows) == pytest.approx(total["kept"])
    assert total["kept"] / (total["kept"] + total["lost"]) == pytest.approx(
        result.saved / result.sum_alone
    )
    assert drawn["legend"] == [[name, BAR_PARTS[name]] for name in ("kept", "lost")]
    assert drawn["zero"] == 0.0
    assert len(overlap_table(result, TITLES)) == 6


@pytest.mark.parametrize(
    ("alone", "share", "parts"),
    [
        (100.0, 60.0, {"kept": (0.0, 60.0), "lost": (60.0, 100.0), "won": (60.0, 60.0)}),
        (60.0, 100.0, {"kept": (0.0, 60.0), "lost": (60.0, 60.0), "won": (60.0, 100.0)}),
        (-50.0, -60.0, {"kept": (-50.0, 0.0), "lost": (-60.0, -50.0), "won": (-60.0, -60.0)}),
        (10.0, -5.0, {"kept": (0.0, 0.0), "lost": (-5.0, 10.0), "won": (-5.0, -5.0)}),
    ],
)
def test_parts_of_a_bar_lie_between_saving_alone_and_share(alone, share, parts) -> None:
    assert bar_parts(alone, share) == parts


@pytest.mark.parametrize(
    ("alone", "share", "text"),
    [(100.4, 99.8, "$100"), (180.0, 140.0, "$140 of $180"), (36.0, 41.0, "$41, alone $36")],
)
def test_amount_beside_a_bar(alone, share, text) -> None:
    assert bar_amount(alone, share) == text


def test_chart_library_knows_every_word_of_the_figures() -> None:
    result = ALDER.plan(FIVE)
    made = [end_use_figure(result), money_figure([-5.0, 3.0])]
    for figure in made:
        check_chart(figure)
    with pytest.raises(ValueError, match="colr"):
        check_chart({**made[1], "data": [{**made[1]["data"][0], "colr": "red"}]})


def test_chart_without_ticks_is_empty_and_says_so() -> None:
    result = ALDER.plan(())
    assert overlap_bars(result, TITLES) == {"zero": 0.0, "rows": [], "legend": []}
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
    for name in ("section.js", "choices.js", "parts.js"):
        script += (kitchen_table.STATIC / name).read_text(encoding="utf-8")
    for word in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval("):
        assert word not in script


def from_browser(page: KitchenTable, /, **state: object) -> None:
    """What a message that sets widget state does, whoever sends it."""
    page._handle_msg({"content": {"data": {"method": "update", "state": state}}, "buffers": []})


@pytest.mark.parametrize("forced", [5, "x" * 100, None, {"a": 1}, [[["deep"]]], [1e308], True])
def test_ticks_forced_out_of_range_leave_the_page_whole(page: KitchenTable, forced) -> None:
    page.ticked = FIVE
    from_browser(page, ticked=forced)
    assert page.now["ticked"] == []
    assert page.now["problem"] == wording.UNKNOWN_TICKED
    page.ticked = FIVE
    assert page.now["ticked"] == list(ALDER.plan(FIVE).ticked)


@pytest.mark.parametrize(
    "name", ["page", "now", "panels", "drawing", "choices", "said", "sure", "_esm", "keys"]
)
@pytest.mark.parametrize("forced", [5, None, {"facts": "x"}, []])
def test_browser_sets_nothing_but_ticks_and_units(page: KitchenTable, name: str, forced) -> None:
    before = page.get_state(name)
    from_browser(page, **{name: forced})
    assert page.get_state(name) == before
    assert page.said.get("text") is None


@pytest.mark.parametrize("forced", [5, None, "furlongs", ["SI"], {"SI": 1}])
def test_unknown_units_are_put_back(page: KitchenTable, forced) -> None:
    from_browser(page, units=forced)
    assert page.units == "US"
    assert page.said["text"] == wording.NOT_UNDERSTOOD


def test_units_change_physics_and_leave_money(page: KitchenTable) -> None:
    page.ticked = FIVE
    facts = page.now["facts"]
    page.units = "SI"
    assert page.now["facts"] == facts
    air = next(c for c in page.now["cautions"] if c["title"] == "Fresh air")
    assert "the standard asks for 41 L/s" in air["text"]
    assert "kWh" in page.drawing["rows"][0][3]
    page.units = "US"
    assert "million Btu" in page.drawing["rows"][0][3]


def test_how_sure_the_choice_is_follows_a_tick(page: KitchenTable) -> None:
    page.ticked = FIVE
    outcome = Advice(ALDER).outcome(FIVE)
    assert page.sure["ticked"] == page.now["ticked"]
    span = outcome.saving
    middle, low, high = (wording.dollars(n) for n in (span.middle, span.low, span.high))
    told = f"in real houses about {middle} a year; in 8 of 10 cases {low} to {high}"
    assert page.sure["saving"] == told
    assert "worked out: saves" in page.now["facts"][1]["more"]


def test_question_that_a_tick_comes_before_is_still_answered(page: KitchenTable) -> None:
    async def main() -> None:
        send(page, kind="ask", panel="budget", values={"budget": 500})
        send(page, kind="ask", panel="uses", values={})
        page.ticked = FIVE
        assert page.panels == {}
        await until(lambda: len(page.panels) == 2)
        assert page.panels["budget"]["values"]["budget"] == 500
        before = page.panels["budget"]
        page.ticked = FIVE[:1]
        await until(lambda: page.sure.get("ticked") == list(FIVE[:1]))
        assert page.panels["budget"] is before

    asyncio.run(main())


@pytest.mark.parametrize(
    ("chance", "text"),
    [(0.0, "hardly any case"), (0.04, "hardly any case"), (0.3, "3 of 10 cases"), (0.96, "nearly every case")],
)  # fmt: skip
def test_no_chance_is_called_certain(chance: float, text: str) -> None:
    assert wording.cases(chance) == text


def test_list_can_be_sorted_by_what_each_measure_brings() -> None:
    orders = kitchen_table.page_content(ALDER)["orders"]
    alone = ALDER.plan(()).measures
    assert all(sorted(order["keys"]) == sorted(ALDER.keys) for order in orders)
    saves, pays, costs = (order["keys"] for order in orders)
    assert alone[saves[0]].alone == max(row.alone for row in alone.values())
    assert alone[pays[0]].payback == min(row.payback for row in alone.values())
    assert alone[costs[-1]].cost.likely == max(row.cost.likely for row in alone.values())


def test_cautions_are_counted_among_the_first_facts(page: KitchenTable) -> None:
    page.ticked = FIVE
    fact = page.now["facts"][4]
    assert fact["value"] == f"{len(page.now['cautions'])} cautions"
    assert wording.caution_fact([])["value"] == "ask"
    assert wording.caution_fact(["Fresh air"])["value"] == "1 caution"


def send(page: KitchenTable, /, **content: object) -> None:
    page._on_message(page, content, None)


def test_choices_are_kept_compared_renamed_and_removed(page: KitchenTable) -> None:
    page.ticked = ["tank_wrap"]
    send(page, kind="keep", name="tank only")
    page.ticked = FIVE
    send(page, kind="keep", name="tank only")
    assert "is there already" in page.said["text"]
    assert page.said["problem"] is True
    send(page, kind="keep", name="")
    assert page.choices["names"] == ["tank only", "Choice 1"]
    assert page.choices["ticked"][1] == page.now["ticked"]
    send(page, kind="rename", place=1, name="five")
    assert page.choices["columns"] == ["", "tank only", "five"]
    send(page, kind="remove", place=0)
    assert page.choices["names"] == ["five"]
    send(page, kind="remove", place=5)
    assert "no such choice" in page.said["text"]


def test_link_brings_choices_without_conflicts(page: KitchenTable) -> None:
    clash = ["basement_wall_insulation", "basement_ceiling_insulation", "magic"]
    send(page, kind="link", kept=[{"name": "both", "ticked": clash}])
    assert page.choices["ticked"] == [["basement_ceiling_insulation"]]


def test_download_and_open_again(page: KitchenTable, monkeypatch) -> None:
    sent = []
    monkeypatch.setattr(KitchenTable, "send", lambda _self, content: sent.append(content))
    page.ticked = FIVE
    send(page, kind="keep", name="five")
    send(page, kind="download", format="json")
    send(page, kind="download", format="csv")
    assert [m["name"] for m in sent] == ["retrofit-lab-choice.json", "retrofit-lab-choice.csv"]
    other = KitchenTable(ALDER)
    send(other, kind="open", text=sent[0]["text"])
    assert other.now["ticked"] == page.now["ticked"]
    assert other.ticked == page.ticked
    assert other.choices == page.choices
    assert other.said["text"] == "The choice of the file is ticked."


@pytest.mark.parametrize("wanted", [None, "exe", ["csv"], 3])
def test_unknown_download_is_not_understood(page: KitchenTable, wanted) -> None:
    send(page, kind="download", format=wanted)
    assert page.said["text"] == wording.NOT_UNDERSTOOD


@pytest.mark.parametrize("text", [None, "x", "x" * 300_000])
def test_file_that_is_no_choice_changes_nothing(page: KitchenTable, text) -> None:
    page.ticked = FIVE
    send(page, kind="open", text=text)
    assert page.said["problem"] is True
    assert page.now["ticked"] == list(ALDER.plan(FIVE).ticked)
