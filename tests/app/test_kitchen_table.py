"""The kitchen-table page without a browser: state, sentences, places on the scale, and what a hostile page may send."""

import asyncio
import json
import re
from dataclasses import replace

import pytest
from charts import check_chart
from examples import example
from waiting import until

from retrofit_lab.app.page import view
from retrofit_lab.app.page.kitchen_table import KitchenTable, ProblemPage, page_language, show
from retrofit_lab.app.page.now_content import LIVE_LETTERS
from retrofit_lab.app.page.state import KitchenTableState
from retrofit_lab.app.page.told import told
from retrofit_lab.app.shared.figures import (
    bar_parts,
    end_use_figure,
    money_figure,
    overlap_bars,
)
from retrofit_lab.app.shared.scripts import STATIC, together
from retrofit_lab.app.shared.surroundings import HOUSE_VARIABLE, LANGUAGE_VARIABLE, PRICES_VARIABLE
from retrofit_lab.app.shared.wording import as_rounded, dollars, shown_after
from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import Recommendation
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import Range
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES

ALDER = example("alder_street")
REAL = RealHouses(ALDER)
FIVE = ["band_joist_foam", "attic_insulation", "duct_mastic", "night_setback", "tank_wrap"]
TITLES = {offer.key: offer.measure.title for offer in ALDER.offers}
SAID = told(ALDER, "en", "us")
STRIP = ("now", "after", "saves", "costs", "pays", "safety")


@pytest.fixture
def page() -> KitchenTable:
    return KitchenTable(ALDER)


def strip(page: KitchenTable) -> dict[str, tuple[str, str]]:
    """Value and further words of each fact at the top."""
    return {key: tuple(said[1:]) for key, said in zip(STRIP, page.now["strip"], strict=True)}


def amount(text: str) -> float:
    """Dollars of a text."""
    return float(re.sub(r"[^\d.-]", "", text))


def test_pick_changes_the_numbers(page: KitchenTable) -> None:
    before = page.now
    page.ticked = FIVE
    result = ALDER.plan(FIVE)
    expected = REAL.of_plan(result)
    assert page.now["ticked"] == list(result.ticked)
    facts = strip(page)
    assert facts["now"][0] == dollars(result.before.cost)
    assert facts["after"][0] == as_rounded(shown_after(result.before.cost, expected.left))
    assert facts["costs"][0] == dollars(result.cost.likely)
    assert page.now["strip"] != before["strip"]


def test_lines_of_the_plan_add_up_to_its_total(page: KitchenTable) -> None:
    page.ticked = FIVE
    expected = REAL.of_plan(ALDER.plan(FIVE))
    assert sum(expected.lines[key] for key in FIVE) == pytest.approx(expected.saving)
    assert page.now["total"] == dollars(expected.saving)
    shown = sum(amount(page.now["rows"][key][0]) for key in FIVE)
    assert shown == amount(page.now["total"])


def test_range_is_the_number_and_holds_the_middle(page: KitchenTable) -> None:
    page.ticked = FIVE
    span = Advice(ALDER).outcome(FIVE).saving
    assert page.sure["ticked"] == page.now["ticked"]
    assert page.sure["saves"] == f"{dollars(span.low)} to {dollars(span.high)}"
    assert span.low < page.now["saving"] < span.high
    low, high = page.sure["places"]
    real = page.now["picture"]["ends"][1]
    assert low < real < high <= 100


def test_what_is_spoken_is_short_and_names_the_pick(page: KitchenTable) -> None:
    assert page.now["live"] == SAID.say("live.none")
    for keys in ([FIVE[0]], FIVE, FIVE[1:]):
        page.ticked = keys
        assert len(page.now["live"]) <= LIVE_LETTERS
        assert dollars(REAL.of_plan(ALDER.plan(keys)).saving) in page.now["live"]
    assert TITLES["band_joist_foam"] in page.now["live"]


def test_second_pick_tells_the_overlap_without_a_third_number(page: KitchenTable) -> None:
    both = ["attic_insulation", "heat_pump_upgrade"]
    page.ticked = both
    expected = REAL.of_plan(ALDER.plan(both))
    sentence = page.now["picture"]["sentence"]
    alone, together_ = dollars(expected.one_by_one), dollars(expected.saving)
    assert sentence.startswith(f"Added up: {alone}. Together: {together_}. ")
    assert sentence.count("$") == 2
    assert ALDER.plan(both).overlaps[0].why in sentence


def test_bars_stand_on_one_scale_and_end_where_their_numbers_say(page: KitchenTable) -> None:
    page.ticked = FIVE
    expected, picture = REAL.of_plan(ALDER.plan(FIVE)), page.now["picture"]
    promised, real = picture["ends"]
    assert promised / real == pytest.approx(expected.one_by_one / expected.saving, rel=1e-3)
    for name, end in (("promised", promised), ("real", real)):
        parts = picture[name]
        assert parts[0][1] == 0
        assert sum(width for _, _, width in parts) == pytest.approx(end, abs=0.1)
    marks = dict(picture["marks"])
    assert marks["$0"] == 0
    text, place = picture["marks"][1]
    assert amount(text) / place == pytest.approx(expected.saving / real, rel=1e-2)


def test_two_pages_do_not_share_a_choice(page: KitchenTable) -> None:
    other = KitchenTable(ALDER)
    page.ticked = FIVE
    assert other.now["ticked"] == []


def test_unknown_and_wrong_ticks_are_left_out_and_said(page: KitchenTable) -> None:
    page.ticked = ["tank_wrap", "no_such_thing", 7, None, {"a": 1}]
    assert page.now["ticked"] == ["tank_wrap"]
    assert page.said["text"] == SAID.say("note.unknown")
    page.ticked = ["tank_wrap"] * 5000
    assert page.now["ticked"] == ["tank_wrap"]


def test_of_two_that_exclude_each_other_the_newest_stays(page: KitchenTable) -> None:
    page.ticked = ["basement_wall_insulation"]
    page.ticked = ["basement_wall_insulation", "basement_ceiling_insulation"]
    assert page.ticked == ["basement_ceiling_insulation"]
    assert "insulate the basement walls" in page.said["text"]


def test_failure_is_one_sentence_and_a_line_in_the_log(page: KitchenTable, monkeypatch) -> None:
    def broken(_state, _keys):
        raise RuntimeError("inside details")

    monkeypatch.setattr(KitchenTableState, "choose", broken)
    page.ticked = ["tank_wrap"]
    assert page.said["text"] == SAID.say("note.failed")
    assert page.said["problem"] is True
    assert "inside details" not in str(page.get_state())


def test_bad_house_gives_the_sentence_instead_of_a_traceback(tmp_path, monkeypatch) -> None:
    path = tmp_path / "h.toml"
    path.write_text("format = 'x'", encoding="utf-8")
    monkeypatch.setenv(HOUSE_VARIABLE, str(path))
    shown = show()
    assert isinstance(shown, ProblemPage)
    assert shown.page["problem"].startswith("h.toml: format is 'x'")


def test_own_prices_reach_the_page_and_are_no_demo(tmp_path, monkeypatch) -> None:
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
    assert strip(shown)["costs"] == ("$8,500", "")
    assert SAID.say("page.prices_some") in shown.page["about"]
    assert SAID.say("page.prices_demo") in KitchenTable(ALDER).page["about"]
    prices.write_text("[money]\nrate = 3\n", encoding="utf-8")
    assert show().page["problem"].startswith("mine.toml: ")


def test_example_is_shown_by_default_in_the_language_of_the_server(monkeypatch) -> None:
    monkeypatch.delenv(HOUSE_VARIABLE, raising=False)
    monkeypatch.setenv(LANGUAGE_VARIABLE, "es")
    assert show().page["language"] == "es"
    monkeypatch.setenv(LANGUAGE_VARIABLE, "tlh")
    assert page_language() == "en"


def test_every_word_of_the_page_follows_the_language(page: KitchenTable) -> None:
    page.ticked = FIVE
    english = json.dumps([page.page, page.now, page.plan, page.drawing, page.sure, page.choices])
    page.language = "es"
    spanish = json.dumps([page.page, page.now, page.plan, page.drawing, page.sure, page.choices])
    said = told(ALDER, "es", "us")
    assert page.now["ticked"] == list(ALDER.plan(FIVE).ticked)
    assert page.page["texts"]["undo"] == "Deshacer"
    shared = {*sentences_of(said.words.texts), "Retrofit Lab"}
    for text in set(sentences_of(SAID.words.texts)) - shared:
        assert json.dumps(text)[1:-1] not in spanish, text
    assert said.titles["tank_wrap"] in spanish
    assert said.titles["tank_wrap"] not in english


def sentences_of(texts) -> list[str]:
    """Whole sentences of a catalog without blanks, long enough to be told apart."""
    found = []
    for value in texts.values():
        if isinstance(value, str):
            found.append(value)
        else:
            found += sentences_of(value) if hasattr(value, "values") else value
    return [text for text in found if "{" not in text and len(text) > 11]


def test_units_change_physics_and_leave_money(page: KitchenTable) -> None:
    page.ticked = FIVE
    money = page.now["strip"]
    page.units = "si"
    assert page.now["strip"] == money
    air = next(c for c in page.plan["cautions"] if c["air"])
    assert "41 L/s" in air["air"]
    assert "kWh" in page.drawing["heat"]["rows"][0][3]
    titles = " ".join(row["title"] for row in page.page["rows"])
    assert "20 °C" in titles
    assert "RSI-" in titles
    assert not re.search(r"\d ?F\b|R-\d|gallon|\binch", titles)
    page.units = "us"
    assert "million Btu" in page.drawing["heat"]["rows"][0][3]


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_american_unit_stands_alone_in_si(language: str) -> None:
    page = KitchenTable(ALDER, language)
    page.units = "si"
    page.ticked = FIVE
    for row in page.page["rows"]:
        for text in (row["title"], row["why"]):
            assert not re.search(r"\d ?°?F\b|R-\d|\d (gallon|galon|inch|pulgada|feet|pies)", text)
    notes = " ".join(c["text"] for row in page.page["rows"] for c in row["cautions"])
    for found in re.finditer(r"\d (inches|pulgadas|square feet|pies cuadrados)(.{0,4})", notes):
        assert "(" in found.group(2), found.group()


def test_equipment_replaced_anyway_counts_only_what_is_extra(page: KitchenTable) -> None:
    page.ticked = ["heat_pump_upgrade"]
    before = REAL.of_plan(ALDER.plan(["heat_pump_upgrade"])).payback
    page.anyway = ["heat_pumps.heat_pump"]
    assert page.state.anyway == ("heat_pumps.heat_pump",)
    assert page.now["ticked"] == ["heat_pump_upgrade"]
    after = RealHouses(page.state.study).of_plan(page.state.result).payback
    assert after < before
    assert strip(page)["pays"][0] == SAID.years(after)
    page.anyway = []
    assert strip(page)["pays"][0] == SAID.years(before)


@pytest.mark.parametrize("forced", [5, None, ["magic"], [["x"]], {"a": 1}])
def test_unknown_equipment_is_put_back(page: KitchenTable, forced) -> None:
    from_browser(page, anyway=forced)
    assert page.anyway == []
    assert page.said["text"] == SAID.say("note.not_understood")


def test_bars_of_a_lesson_add_to_what_is_said() -> None:
    result = ALDER.plan(FIVE)
    drawn = overlap_bars(result)
    *rows, total = [
        {name: width for name, (_, width) in row["parts"].items()} for row in drawn["rows"]
    ]
    assert len(rows) == 5
    assert sum(row["kept"] + row["won"] for row in rows) == pytest.approx(total["kept"])
    assert total["kept"] / (total["kept"] + total["lost"]) == pytest.approx(
        result.saved / result.sum_alone
    )
    assert drawn["legend"] == ["kept", "lost"]
    assert drawn["zero"] == 0.0


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


def test_chart_library_knows_every_word_of_the_figures() -> None:
    result = ALDER.plan(FIVE)
    uses = {use: use for use in result.after.cost_by_use}
    names = {"now": "now", "then": "then", "axis": "dollars"}
    made = [end_use_figure(result, uses, names), money_figure([-5.0, 3.0], "years", "dollars")]
    for figure in made:
        check_chart(figure)
    with pytest.raises(ValueError, match="colr"):
        check_chart({**made[1], "data": [{**made[1]["data"][0], "colr": "red"}]})


def test_chart_without_picks_is_empty() -> None:
    result = ALDER.plan(())
    assert overlap_bars(result) == {"zero": 0.0, "rows": [], "legend": []}


def test_every_fix_has_a_line_with_its_cautions_under_one_heading(page: KitchenTable) -> None:
    rows = {row["key"]: row for row in page.page["rows"]}
    assert set(rows) == set(ALDER.keys)
    assert any("fire barrier" in c["title"] for c in rows["band_joist_foam"]["cautions"])
    keys = [key for group in page.page["groups"] for key in group["keys"]]
    assert sorted(keys) == sorted(ALDER.keys)


def test_what_matters_first_can_be_started_and_is_worth_most(page: KitchenTable) -> None:
    matter, alone = page.page["matter"], ALDER.plan(()).measures
    assert 8 <= len(matter) <= 12
    for key in matter:
        assert not ALDER.case.holds[key]
        assert not ALDER.offer(key).measure.needed
    others = [
        k
        for g in page.page["groups"]
        if g["key"] not in ("held", "needed", "look")
        for k in g["keys"]
    ]
    waiting = page.page["waiting"]
    assert 0 < len(waiting) <= 3
    assert all(ALDER.case.holds[key] for key in waiting)
    least = min(alone[key].net_savings for key in matter)
    assert all(alone[key].net_savings <= least for key in others if key not in matter)


def test_either_or_are_those_of_which_each_excludes_every_other(page: KitchenTable) -> None:
    groups = [set(group) for group in page.page["either"]]
    assert {"basement_wall_insulation", "basement_ceiling_insulation"} in groups
    for group in groups:
        for key in group:
            assert ALDER.case.rivals[key] & set(ALDER.keys) == group - {key}
        homes = {g["key"] for g in page.page["groups"] if set(g["keys"]) & group}
        assert len(homes - {"held", "needed", "look"}) <= 1


def test_starts_are_told_when_somebody_looks(page: KitchenTable) -> None:
    assert page.starts["items"] == []
    send(page, kind="starts")
    starts = {item["key"]: item for item in page.starts["items"]}
    assert {"rater", "cheap", "nothing"} <= set(starts)
    rater = ALDER.plan(starts["rater"]["keys"])
    after = shown_after(rater.before.cost, REAL.of_plan(rater).left)
    assert as_rounded(after) in page.starts["lead"]
    assert rater.held
    assert "waits until something is settled" in starts["rater"]["text"]
    assert not ALDER.plan(starts["cheap"]["keys"]).held
    assert ALDER.plan(starts["cheap"]["keys"]).cost.likely <= 500
    assert starts["nothing"]["keys"] == []


def test_budget_line_rises_and_is_worked_out_on_request(page: KitchenTable) -> None:
    assert page.line == []
    send(page, kind="line")
    costs, savings = ([plan[name] for plan in page.line] for name in ("cost", "saving"))
    assert costs == sorted(costs)
    assert savings == sorted(savings)
    for plan in page.line[:: max(1, len(page.line) // 5)]:
        expected = REAL.of_plan(ALDER.plan(plan["keys"]))
        assert plan["saving"] == pytest.approx(expected.saving, rel=1e-6)
        assert plan["blanks"]["saving"] == dollars(plan["saving"])


def test_plan_view_has_each_step_once_in_order_with_its_notes(page: KitchenTable) -> None:
    page.ticked = FIVE
    plan = page.plan
    steps = [row for phase in plan["phases"] for row in phase["rows"]]
    assert sorted(row["key"] for row in steps) == sorted(FIVE)
    assert [row["place"] for row in steps] == list(range(1, len(steps) + 1))
    waits = {row["key"]: row["waits"] for row in steps}
    assert waits["attic_insulation"] is True
    assert len(plan["cautions"]) == len(ALDER.plan(FIVE).cautions)
    assert plan["settle"][0]["title"].startswith("Recessed lights")
    assert plan["lead"].startswith("First: ")
    page.ticked = []
    assert page.plan["phases"] == []


def test_what_the_rater_recommends_in_own_words_is_told_beside_the_plan() -> None:
    own = Recommendation(
        key="gutters", label="Clean <b>gutters</b>", who="owner",
        cost_low=0.0, cost_likely=40.0, cost_high=90.0,
    )  # fmt: skip
    page = KitchenTable(Study(replace(ALDER.as_found, recommendations=(own,))))
    page.ticked = FIVE
    assert page.plan["own"] == ["Clean <b>gutters</b>: costs $40 ($0 to $90), by you."]
    keys = {row["key"] for phase in page.plan["phases"] for row in phase["rows"]}
    assert keys == set(FIVE)


def test_air_below_the_standard_is_told_with_both_numbers(page: KitchenTable) -> None:
    page.ticked = FIVE
    fresh = [c for c in page.plan["cautions"] if c["air"]]
    assert "calls for 88 cfm" in fresh[0]["air"]


def test_safety_counts_what_must_be_settled_and_never_clears(page: KitchenTable) -> None:
    page.ticked = FIVE
    value, notes = strip(page)["safety"]
    assert value == f"{len(ALDER.case.hazards)} to settle first"
    assert notes == f"{len(ALDER.plan(FIVE).cautions)} notes"


@pytest.mark.parametrize(
    ("amount", "text"),
    [(0.4, "$0"), (33.4, "$33"), (311.3, "$310"), (3515.8, "$3,520"), (15_730.0, "$15,700"), (-42.0, "-$42"), (-0.2, "$0")],
)  # fmt: skip
def test_money_as_people_say_it(amount: float, text: str) -> None:
    assert dollars(amount) == text


@pytest.mark.parametrize(
    ("span", "text"),
    [(float("inf"), "never"), (0.2, "within months"), (1.2, "about 1 year"), (10.9, "about 11 years"), (99, "more than 60 years")],
)  # fmt: skip
def test_years_as_people_say_them(span: float, text: str) -> None:
    assert SAID.years(span) == text


def test_price_range_words() -> None:
    assert SAID.price_range(Range(low=0, likely=0, high=0)) == "free"
    assert SAID.price_range(Range(low=450, likely=790, high=1110)) == "$790 ($450 to $1,110)"
    assert SAID.price_range(Range(low=500.2, likely=500.2, high=500.4)) == "$500"


@pytest.mark.parametrize(
    ("chance", "text"),
    [(0.0, "very unlikely"), (0.04, "very unlikely"), (0.3, "3 in 10"), (0.96, "almost certain")],
)
def test_no_chance_is_called_certain(chance: float, text: str) -> None:
    assert SAID.chance(chance) == text


def test_typed_markup_stays_text() -> None:
    house = with_numbers(ALDER.as_found, {"name": "<img src=x onerror=alert(1)>"})
    assert KitchenTable(Study(house)).page["title"].startswith("<img src=x")


@pytest.mark.parametrize("path", sorted(STATIC.glob("*.js")), ids=lambda path: path.name)
def test_scripts_set_text_and_never_markup(path) -> None:
    script = path.read_text(encoding="utf-8")
    for word in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval("):
        assert word not in script


def test_modules_together_are_one_that_imports_nothing() -> None:
    script = view.SCRIPT
    assert not re.search(r"^import ", script, re.MULTILINE)
    assert re.findall(r"^export .*", script, re.MULTILINE) == ["export default { render };"]
    names = re.findall(r"^(?:async )?(?:function|const|let|class) (\w+)", script, re.MULTILINE)
    assert len(names) == len(set(names))
    assert "make(" in together("parts.js")


def from_browser(page: KitchenTable, /, **state: object) -> None:
    """What a message that sets widget state does, whoever sends it."""
    page._handle_msg({"content": {"data": {"method": "update", "state": state}}, "buffers": []})


@pytest.mark.parametrize("forced", [5, "x" * 100, None, {"a": 1}, [[["deep"]]], [1e308], True])
def test_ticks_forced_out_of_range_leave_the_page_whole(page: KitchenTable, forced) -> None:
    page.ticked = FIVE
    from_browser(page, ticked=forced)
    assert page.now["ticked"] == []
    assert page.said["text"] == SAID.say("note.unknown")
    page.ticked = FIVE
    assert page.now["ticked"] == list(ALDER.plan(FIVE).ticked)


@pytest.mark.parametrize(
    "name",
    [
        "page",
        "now",
        "plan",
        "starts",
        "line",
        "panels",
        "drawing",
        "choices",
        "said",
        "sure",
        "_esm",
    ],
)
def test_browser_sets_nothing_of_ours(page: KitchenTable, name: str) -> None:
    for forced in (5, None, {"facts": "x"}, []):
        before = page.get_state(name)
        from_browser(page, **{name: forced})
        assert page.get_state(name) == before
        assert page.said.get("text") is None


@pytest.mark.parametrize("forced", [5, None, "furlongs", ["si"], {"si": 1}])
@pytest.mark.parametrize(("trait", "first"), [("units", "us"), ("language", "en")])
def test_unknown_way_of_telling_is_put_back(page: KitchenTable, trait, first, forced) -> None:
    from_browser(page, **{trait: forced})
    assert getattr(page, trait) == first
    assert page.said["text"] == SAID.say("note.not_understood")


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


def send(page: KitchenTable, /, **content: object) -> None:
    page._on_message(page, content, None)


def test_plans_are_kept_compared_renamed_and_removed(page: KitchenTable) -> None:
    page.ticked = ["tank_wrap"]
    send(page, kind="keep", name="tank only")
    page.ticked = FIVE
    send(page, kind="keep", name="tank only")
    assert page.said["text"] == SAID.say("kept.taken", name="tank only")
    assert page.said["problem"] is True
    send(page, kind="keep", name="")
    assert page.choices["names"] == ["tank only", "Plan 1"]
    assert page.choices["ticked"][1] == page.now["ticked"]
    send(page, kind="rename", place=1, name="five")
    assert page.choices["columns"] == ["", "tank only", "five"]
    send(page, kind="remove", place=0)
    assert page.choices["names"] == ["five"]
    send(page, kind="remove", place=5)
    assert page.said["text"] == SAID.say("kept.gone")


def test_link_brings_plans_without_conflicts(page: KitchenTable) -> None:
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
    assert [m["name"] for m in sent] == ["retrofit-lab-plan.json", "retrofit-lab-plan.csv"]
    other = KitchenTable(ALDER)
    send(other, kind="open", text=sent[0]["text"])
    assert other.now["ticked"] == page.now["ticked"]
    assert other.choices == page.choices
    assert other.said["text"] == SAID.say("note.opened")


def test_the_report_of_the_plan_is_handed_out_and_written_nowhere(monkeypatch) -> None:
    asked: list[tuple[object, ...]] = []

    def maker(*how: object) -> tuple[bytes, bool]:
        asked.append(how)
        assert page.reporting
        send(page, kind="report")  # a second press while it is made makes no second one
        return b"packed", True

    page = KitchenTable(ALDER, "es", maker)
    assert page.page["makes_report"]
    sent: list[tuple[dict[str, object], list[bytes]]] = []
    monkeypatch.setattr(page, "send", lambda what, buffers=None: sent.append((what, buffers)))
    page.ticked = FIVE
    send(page, kind="report")
    assert asked == [(ALDER, ALDER.plan(FIVE).ticked, "es", "us")]
    assert sent[0][0]["name"] == "retrofit-lab-report.zip"
    assert sent[0][1] == [b"packed"]
    assert page.reporting is False
    page.ticked = FIVE[:2]
    assert len(asked) == 1


@pytest.mark.parametrize(
    ("failure", "told"),
    [
        (InputError("picture a.png is no picture."), " picture a.png is no picture."),
        (OSError(), ""),
    ],
)
def test_a_report_that_cannot_be_made_is_told_and_can_be_asked_for_again(failure, told) -> None:
    def maker(*_: object) -> tuple[bytes, bool]:
        raise failure

    page = KitchenTable(ALDER, "en", maker)
    send(page, kind="report")
    assert page.said["text"] == f"{SAID.say('note.report_failed')}{told}"
    assert page.said["problem"]
    assert page.reporting is False


def test_a_report_without_a_pdf_says_why(monkeypatch) -> None:
    page = KitchenTable(ALDER, "en", lambda *_: (b"packed", False))
    monkeypatch.setattr(page, "send", lambda what, buffers=None: None)
    send(page, kind="report")
    assert page.said["text"] == SAID.say("note.report_unprinted")


def test_a_page_that_hands_out_no_report_says_so_and_makes_none(page: KitchenTable) -> None:
    assert not page.page["makes_report"]
    send(page, kind="report")
    assert page.reporting is False


@pytest.mark.parametrize("wanted", [None, "exe", ["csv"], 3])
def test_unknown_download_is_not_understood(page: KitchenTable, wanted) -> None:
    send(page, kind="download", format=wanted)
    assert page.said["text"] == SAID.say("note.not_understood")


@pytest.mark.parametrize("text", [None, "x", "x" * 300_000])
def test_file_that_is_no_plan_changes_nothing(page: KitchenTable, text) -> None:
    page.ticked = FIVE
    send(page, kind="open", text=text)
    assert page.said["problem"] is True
    assert page.now["ticked"] == list(ALDER.plan(FIVE).ticked)
