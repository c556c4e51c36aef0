"""The lesson page without a browser: what opens when, what a hostile page may send, and that no name is kept."""

import json
import re
import stat

import plotly.graph_objects as go
import pytest

from retrofit_lab.app.lesson import wording
from retrofit_lab.app.lesson.charts import chart_content
from retrofit_lab.app.lesson.class_view import class_words
from retrofit_lab.app.lesson.content import LEAST_GUESSES
from retrofit_lab.app.lesson.figures import heat_color, spread_figure
from retrofit_lab.app.lesson.guess_box import MOST_GUESSES, GuessBox
from retrofit_lab.app.lesson.lesson_sheet import lesson_sheet
from retrofit_lab.app.lesson.state import TRIES, LessonState
from retrofit_lab.app.lesson.trainer_word import new_word
from retrofit_lab.app.lesson.widget import LessonPage, show
from retrofit_lab.app.shared.surroundings import (
    JOIN_VARIABLE,
    LANGUAGE_VARIABLE,
    PLACE_VARIABLE,
    TRAINER_VARIABLE,
)
from retrofit_lab.classroom.guesses import spread
from retrofit_lab.classroom.lesson_numbers import Bars
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lessons import lesson_numbers, lesson_of, lessons
from retrofit_lab.texts import LANGUAGES, catalog, sentences

WORD = new_word()
NUMBERS = [lesson.number for lesson in lessons()]
SAID_TEXTS = catalog("en", "lessons")["said"]
REFUSED = SAID_TEXTS["refuse_guess"].format(low="0", high="3,000")
SAID = "The answer is 84 cfm."
"""What the third lesson shows after a guess."""


def test_answer_of_the_third_lesson() -> None:
    told, numbers = LessonTexts(lesson_of(3)), lesson_numbers(lesson_of(3))
    assert f"The answer is {wording.answer_said(told, numbers.facts['january'])}." == SAID


@pytest.fixture
def box(tmp_path) -> GuessBox:
    return GuessBox(3, tmp_path)


@pytest.fixture
def page(box: GuessBox) -> LessonPage:
    return LessonPage(3, box)


@pytest.fixture
def opened(page: LessonPage) -> LessonPage:
    send(page, kind="guess", guess=500)
    return page


@pytest.fixture
def alone() -> LessonPage:
    """The third lesson of someone who works alone, opened."""
    page = LessonPage(3, GuessBox(3))
    send(page, kind="guess", guess=500)
    return page


@pytest.fixture
def trainer(box: GuessBox, monkeypatch) -> LessonPage:
    monkeypatch.setenv(TRAINER_VARIABLE, WORD)
    page = LessonPage(3, box)
    assert send(page, kind="trainer", word=WORD) == ""
    return page


def send(page: LessonPage, **message) -> str:
    page._on_message(page, message, [])
    return page.said.get("problem", "")


def drawn(chart) -> list:
    """What a chart draws: the traces of a figure, or the bars of overlaps."""
    return chart["bars"]["rows"] if "bars" in chart else chart["figure"]["data"]


def solved(page: LessonPage) -> None:
    """Open everything, past a puzzle too."""
    send(page, kind="watch")
    if page.state.lesson.puzzle:
        send(page, kind="answer_now")


@pytest.mark.parametrize("number", NUMBERS)
def test_lesson_from_guess_to_the_steps(number: int) -> None:
    page = LessonPage(number, GuessBox(number))
    assert page.revealed == page.later == page.explored == page.marked == {}
    assert send(page, kind="guess", guess=page.page["predict"]["high"]) == ""
    if page.state.lesson.puzzle:
        assert page.revealed == {}
        assert "hand" not in page.later
        assert send(page, kind="answer", text="1") == SAID_TEXTS["first_try"]
        send(page, kind="answer_now")
    assert page.revealed["sentences"][0].startswith("You guessed")
    for chart in page.revealed["charts"]:
        assert drawn(chart["chart"])
        assert chart["table"]["rows"]
    assert send(page, kind="explore", values={}) == ""
    assert drawn(page.explored["charts"][0]["chart"])
    question = page.state.told.question(page.state.numbers)
    assert send(page, kind="answer", text=f"{question.answer:.4f}") == ""
    assert page.marked["right"] is True
    assert len(page.marked["way"]) == len(page.state.lesson.hand.steps)
    json.dumps([page.page, page.later, page.revealed, page.explored], allow_nan=False)


@pytest.mark.parametrize("number", NUMBERS)
def test_lesson_in_spanish_and_si(number: int) -> None:
    page = LessonPage(number, GuessBox(number))
    send(page, kind="tell", language="es", system="si")
    assert page.page["title"].startswith(f"Lección {number}: ")
    send(page, kind="guess", guess=str(page.page["predict"]["high"]))
    solved(page)
    assert page.revealed["sentences"][0].startswith("Usted estimó")
    shown = json.dumps([page.page, page.later, page.revealed, page.explored], ensure_ascii=False)
    for american in (" cfm", "Btu", "R-11", " sq ft", " therms"):
        assert american not in shown.replace("cfm más", ""), american
    question = page.state.told.question(page.state.numbers)
    send(page, kind="answer", text=f"{question.answer:.4f}")
    assert page.marked["sentence"].startswith("Correcto.")


def test_language_can_be_changed_in_the_middle(alone: LessonPage) -> None:
    send(alone, kind="explore", values={"flow": 950}, said={"flow": "down"})
    before = alone.state.numbers.facts
    send(alone, kind="tell", language="es")
    assert alone.explored["values"]["flow"] == 950
    assert "La respuesta es 84 cfm." in alone.revealed["sentences"][0]
    send(alone, kind="tell", system="si")
    assert alone.state.numbers.facts == before
    assert "L/s" in alone.revealed["sentences"][0]
    assert send(alone, kind="tell", language="xx", system=7) == ""
    assert (alone.state.language, alone.state.system) == ("es", "si")


def numbers_in(content) -> list[float]:
    """All numbers that a page shows: in its sentences, its charts and its tables."""
    if isinstance(content, dict):
        kept = [value for key, value in content.items() if key not in ("layout", "marker")]
        return [number for part in kept for number in numbers_in(part)]
    if isinstance(content, list | tuple):
        return [number for part in content for number in numbers_in(part)]
    if isinstance(content, str):
        found = re.findall(r"\d[\d,]*\.?\d*", content)
        return [float(text.replace(",", "").rstrip(".")) for text in found]
    return [float(content)] if isinstance(content, int | float) else []


@pytest.mark.parametrize("number", NUMBERS)
def test_no_answer_stands_on_the_page_before_it_is_asked_for(number: int) -> None:
    page = LessonPage(number, GuessBox(number))
    lesson, facts = page.state.lesson, page.state.numbers.facts
    guessed, answer = facts[lesson.guess.fact], facts[lesson.hand.fact]
    quiet = {k: v for k, v in page.page.items() if k not in ("texts", "number", "title")}
    quiet["predict"] = {**page.page["predict"], "shown": page.page["predict"]["shown"]["charts"]}
    before = numbers_in(quiet)
    assert not [value for value in before if value == pytest.approx(guessed, rel=0.01)]
    drawing = page.page["predict"]["shown"].get("drawing", {"parts": {}})["parts"].values()
    assert not any(part["before"] or part["numbers"] for part in drawing)
    solved(page)
    send(page, kind="explore", values={})
    shown = numbers_in([page.later, page.revealed["sentences"], page.explored["sentences"]])
    assert [value for value in shown if value == pytest.approx(guessed, abs=0.51)]
    close = min(lesson.hand.within, 0.005) * abs(answer)
    assert not [value for value in shown if value == pytest.approx(abs(answer), abs=close)]


@pytest.mark.parametrize("message", [{"kind": "explore", "values": {}}, {"kind": "answer_now"}, {"kind": "group"}])  # fmt: skip
def test_before_the_guess_nothing_can_be_asked(page: LessonPage, message) -> None:
    assert send(page, **message) == SAID_TEXTS["first_guess"]
    assert page.explored == page.marked == page.group == {}
    assert send(page, kind="answer", text="1") == SAID_TEXTS["first_guess"]


def test_wrong_idea_of_the_guess_is_named() -> None:
    page = LessonPage(3, GuessBox(3))
    send(page, kind="guess", guess="1,900 cfm")
    assert "The fan shows what comes in every day" in page.revealed["sentences"][1]
    other = LessonPage(3, GuessBox(3))
    send(other, kind="guess", guess=85)
    assert not other.revealed["sentences"][1].startswith("You may have thought")


def test_box_asks_first_which_way_it_will_go(alone: LessonPage) -> None:
    refused = send(alone, kind="explore", values={"flow": 3800})
    assert refused.startswith("Blower-door flow at 50 Pa, cfm: first choose")
    assert alone.explored == {}
    assert send(alone, kind="explore", values={"flow": 3800}, said={"flow": "down"}) == ""
    assert alone.explored["sentences"][0] == "You said it would go down. It went up: from 83.7 cfm to 167 cfm. Why?"  # fmt: skip
    send(alone, kind="explore", values={"flow": 1900}, said={"flow": "down"})
    assert alone.explored["sentences"][0].startswith("You said it would go down, and it did: from 167")  # fmt: skip


@pytest.mark.parametrize("value", [5001, -1, None, "x", float("nan"), True])
def test_box_beyond_its_bounds_is_told_and_not_moved(alone: LessonPage, value) -> None:
    said = send(alone, kind="explore", values={"flow": value}, said={"flow": "up"})
    assert said == "Blower-door flow at 50 Pa, cfm: type a number from 200 to 5,000."
    assert alone.state.values["flow"] == 1900.0
    assert alone.explored == {}


def test_puzzle_opens_when_the_line_fits() -> None:
    page = LessonPage(6, GuessBox(6))
    send(page, kind="guess", guess=400)
    facts = page.state.numbers.facts
    assert str(round(facts["below"], 1)) not in json.dumps([page.later, page.explored["sentences"]])
    near = {"base": round(facts["base"], 2), "slope": round(facts["slope"], 3), "below": 62.5}
    send(page, kind="explore", values={**near, "base": 4.0})
    assert page.revealed == {}
    send(page, kind="explore", values=near)
    assert page.revealed["sentences"]
    assert page.later["hand"]["given"]


def test_lesson_of_a_place_in_spanish_as_the_server_names_them(monkeypatch) -> None:
    monkeypatch.setenv(PLACE_VARIABLE, "55802")
    monkeypatch.setenv(LANGUAGE_VARIABLE, "es")
    page = show(1)
    assert page.page["language"] == "es"
    assert page.state.numbers.facts["outdoors"] < 20.0


@pytest.mark.parametrize("number", NUMBERS)
def test_sheet_holds_the_question_and_no_answer(number: int) -> None:
    for language, system in (("en", "us"), ("es", "si")):
        told = LessonTexts(lesson_of(number), language, system)
        text = lesson_sheet(told)
        assert told.hand.text.format(**told.facts(lesson_numbers(told.lesson).facts))[:30] in text
        assert "{" not in re.sub(r"<style>.*?</style>", "", text, flags=re.DOTALL)
        assert told.catalog["said"]["answer"][:10] not in text


def test_heat_picture_goes_from_dark_to_light() -> None:
    assert heat_color(50.0, 50.0, 60.0) == "#260c4a"
    assert heat_color(60.0, 50.0, 60.0) == "#fcce25"
    page = LessonPage(13, GuessBox(13))
    send(page, kind="watch")
    heat = page.revealed["heat"]
    assert len(heat["key"]) == 3
    fills = {child["attributes"]["fill"] for child in heat["svg"]["children"]}
    assert fills == {color for color, _ in heat["key"]}
    assert "No camera took this picture" in heat["note"]


def test_browser_owns_no_part_of_the_page(page: LessonPage) -> None:
    before = page.page
    page.set_state({"page": {"title": "x"}, "revealed": {"sentences": ["x"]}})
    assert page.page == before
    assert page.revealed == {}


ONE, OTHER = "0123456789ab", "fedcba987654"
"""Names that two browsers drew."""


def visited(box: GuessBox, voter: str) -> LessonPage:
    """The page as a browser opens it."""
    page = LessonPage(3, box)
    send(page, kind="hello", voter=voter)
    return page


def test_browser_counts_once_whatever_tab_it_opens_and_however_often(box: GuessBox) -> None:
    send(visited(box, ONE), kind="guess", guess=120)
    again = visited(box, ONE)
    assert again.revealed["sentences"][0].startswith("You guessed 120.")
    send(again, kind="guess", guess=900)
    late = LessonPage(3, box)
    send(late, kind="guess", guess=500)  # a tab that guesses before it was known again
    assert box.guesses() == (120.0, 500.0)
    assert visited(box, OTHER).revealed == {}


def test_two_tabs_that_are_open_at_once_count_once(box: GuessBox) -> None:
    first, second = visited(box, ONE), visited(box, ONE)
    send(first, kind="guess", guess=120)
    send(second, kind="guess", guess=300)
    assert box.guesses() == (120.0,)
    assert second.revealed["sentences"][0].startswith("You guessed 120.")


def test_guesses_and_stage_outlive_a_restart(box: GuessBox, tmp_path) -> None:
    box.go_to("first")
    send(visited(box, ONE), kind="guess", guess=120)
    after = GuessBox(3, tmp_path)
    assert after.guesses() == (120.0,)
    assert after.stage.held
    assert visited(after, ONE).student["said"].startswith("Your guess is in: 120")


@pytest.mark.parametrize("voter", [None, 7, "", "x" * 12, "0123", "a" * 100, ["a"]])
def test_no_other_name_is_taken(box: GuessBox, voter) -> None:
    page = LessonPage(3, box)
    send(page, kind="hello", voter=voter)
    assert page.state.voter == ""


def test_class_talks_between_two_guesses(trainer: LessonPage, box: GuessBox) -> None:
    words = class_words()
    send(trainer, kind="stage", stage="first")
    pages = [visited(box, f"{n:012x}") for n in range(4)]
    for page, guess in zip(pages, (200, 300, 900, 1000), strict=True):
        send(page, kind="guess", guess=guess)
        assert page.revealed == {}
        assert send(page, kind="group") == SAID_TEXTS["first_guess"]
    send(trainer, kind="stage", stage="second", show="count")
    assert trainer.class_view["count"] == words["count"]["second"].format(count=0, first=4)
    for page in pages[:3]:
        send(page, kind="follow")
        assert page.student["again"]
        assert page.student["said"] == words["student"]["again"]
        send(page, kind="guess", guess=100)
        assert page.student["said"] == words["student"]["both"].format(guess="100")
        send(page, kind="guess", guess=50)
        assert page.revealed == {}
    assert box.guesses(2) == (100.0, 100.0, 100.0)
    assert box.guesses() == (200.0, 300.0, 900.0, 1000.0)
    send(trainer, kind="class", show="answer")
    before, after = trainer.class_view["told"]["rounds"]
    assert (before["title"], after["title"]) == (words["round"]["1"], words["round"]["2"])
    assert before["sentences"][0].startswith("4 guesses.")
    assert "The answer is" not in " ".join(before["sentences"])
    assert SAID in after["sentences"][1]
    send(trainer, kind="stage", stage="answer")
    for page in pages:
        send(page, kind="follow")
        assert page.revealed["sentences"]
        assert page.state.guess in (200.0, 300.0, 900.0, 1000.0)


def test_forgetting_reaches_open_pages_and_tabs(trainer: LessonPage, box: GuessBox) -> None:
    page = visited(box, ONE)
    send(page, kind="guess", guess=120)
    send(page, kind="answer", text="1")
    name = page.student["name"]
    send(trainer, kind="empty")
    send(page, kind="follow")
    assert page.revealed == page.later == page.marked == {}
    assert page.student["guess"] is None
    assert page.student["name"] != name
    assert send(page, kind="answer", text="1") == SAID_TEXTS["first_guess"]
    send(page, kind="guess", guess=300)
    assert box.guesses() == (300.0,)
    assert page.revealed["sentences"][0].startswith("You guessed 300.")


def test_looking_now_and_then_takes_no_sentence_away(page: LessonPage) -> None:
    said = send(page, kind="guess", guess="x")
    assert said
    assert send(page, kind="follow") == said


def test_wall_has_large_letters_and_no_secret(trainer, box, monkeypatch) -> None:
    for guess in (200, 300, 900):
        box.drop(guess)
    send(trainer, kind="class", show="spread", wall=True)
    (told,) = trainer.class_view["told"]["rounds"]
    layout = told["charts"][0]["chart"]["figure"]["layout"]
    assert layout["font"]["size"] >= 40
    assert trainer.class_view["join"] == {}
    for address, words in (("http://192.0.2.7:8450/?code=maple-lantern", "maple lantern"),
                           ("http://192.0.2.7:8450/?token=secret", "")):  # fmt: skip
        monkeypatch.setenv(JOIN_VARIABLE, address)
        send(trainer, kind="class", show="count")
        join = trainer.class_view["join"]
        assert (join["address"], join["words"]) == ("http://192.0.2.7:8450/", words)
        assert join["picture"].startswith("data:image/svg+xml") == bool(words)
    shown = json.dumps([trainer.class_view, trainer.page, trainer.student])
    assert WORD not in shown
    assert "secret" not in shown


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_of_the_class_are_there_in_every_language(language: str) -> None:
    first, here = (dict(sentences(catalog(one, "class"))) for one in (LANGUAGES[0], language))
    assert here.keys() == first.keys()
    assert re.findall(r"{\w+}", " ".join(here.values())) == re.findall(
        r"{\w+}", " ".join(first.values())
    )


def test_first_guess_stays(page: LessonPage, box: GuessBox) -> None:
    send(page, kind="guess", guess=100)
    send(page, kind="guess", guess=78)
    assert page.state.guess == 100
    assert box.guesses() == (100.0,)


@pytest.mark.parametrize(
    "guess", [None, "twelve", True, float("nan"), float("inf"), -1, 1e9, [3], {"a": 1}]
)
def test_what_is_no_guess_opens_nothing(page: LessonPage, box: GuessBox, guess) -> None:
    assert send(page, kind="guess", guess=guess) == REFUSED
    assert page.revealed == {}
    assert box.guesses() == ()


def test_trainer_opens_without_a_guess(trainer: LessonPage, box: GuessBox) -> None:
    send(trainer, kind="watch")
    assert trainer.revealed["sentences"][0] == SAID
    assert box.guesses() == ()


def test_who_works_alone_opens_without_a_guess() -> None:
    page = LessonPage(3, GuessBox(3))
    assert send(page, kind="watch") == ""
    assert page.revealed["sentences"][0] == SAID


@pytest.mark.parametrize("word", [None, "", "x", "é", 7, ["w"], "w" * 1000])
def test_students_do_not_open_what_is_the_trainers(page, box, monkeypatch, word) -> None:
    for expected in ("", WORD):
        monkeypatch.setenv(TRAINER_VARIABLE, expected)
        assert send(page, kind="trainer", word=word) == class_words()["not_trainer"]
    box.drop(5)
    for kind in ("watch", "class", "stage", "empty"):
        assert send(page, kind=kind, show="answer", stage="answer") == class_words()["not_trainer"]
    assert box.stage.stage == "open"
    assert page.class_view == page.revealed == {}
    assert box.guesses() == (5.0,)


def test_class_view_counts_then_shows_then_tells_the_answer(trainer, box) -> None:
    for guess in (200, 300, 900):
        box.drop(guess)
    send(trainer, kind="class", show="count")
    assert trainer.class_view["count"] == "3 guesses so far"
    assert trainer.class_view["told"]["rounds"] == []
    send(trainer, kind="class", show="spread")
    (told,) = trainer.class_view["told"]["rounds"]
    assert told["sentences"] == ["3 guesses. The middle one is 300 cfm; half of them are between 250 and 600."]  # fmt: skip
    (bars,) = told["charts"][0]["chart"]["figure"]["data"]
    assert bars["name"] == "guesses"
    assert min(numbers_in(bars["y"])) == 200  # no empty group leads the eye to the answer
    send(trainer, kind="class", show="answer")
    (told,) = trainer.class_view["told"]["rounds"]
    assert told["sentences"][1] == f"{SAID} 0 of 3 came within 20% of it."
    assert told["charts"][0]["chart"]["figure"]["data"][0]["name"] == "where the answer lies"
    send(trainer, kind="class", show="magic")
    assert trainer.class_view["show"] == "count"


def test_trainer_forgets_the_guesses_for_the_next_class(trainer, box) -> None:
    box.drop(5)
    send(trainer, kind="empty")
    assert box.guesses() == ()
    assert trainer.class_view["count"] == "0 guesses so far"
    send(trainer, kind="empty")
    box.drop(7)
    assert box.guesses() == (7.0,)


def test_way_opens_after_enough_tries(opened: LessonPage) -> None:
    page = opened
    for turn in range(1, TRIES + 1):
        send(page, kind="answer", text="1")
        assert bool(page.marked["way"]) == (turn == TRIES)


def test_wrong_idea_is_named(opened: LessonPage) -> None:
    page = opened
    send(page, kind="answer", text="2.22")
    assert "fall in step with the flow" in page.marked["sentence"]
    assert "1 of 2 points" in page.marked["sentence"]


@pytest.mark.parametrize(
    "message", [{"kind": "explore", "values": [1]}, {"kind": "explore"}, {"kind": 7}, {}, {"kind": "answer", "text": ["a"]}, {"kind": "tell"}]
)  # fmt: skip
def test_strange_messages_do_no_harm(opened: LessonPage, message) -> None:
    page = opened
    page._on_message(page, message, [])
    assert page.said["problem"] == ""
    page._on_message(page, "text", [])
    page._on_message(page, None, [])


def test_failure_is_one_sentence(opened: LessonPage, monkeypatch) -> None:
    def broken(_state, _text):
        raise RuntimeError("inside details")

    monkeypatch.setattr(LessonState, "answer", broken)
    assert send(opened, kind="answer", text="1") == SAID_TEXTS["failed"]


def test_boxes_change_the_bars_and_not_the_question(opened: LessonPage) -> None:
    page = opened
    before = page.state.told.question(page.state.numbers).answer
    send(page, kind="explore", values={"flow": 3800}, said={"flow": "up"})
    assert page.explored["values"]["flow"] == 3800
    assert page.state.told.question(page.state.numbers).answer == before
    (chart,) = page.explored["charts"]
    now, was = chart["chart"]["figure"]["data"]
    assert (now["name"], was["name"]) == ("now", "as it was")
    assert now["y"] == pytest.approx([2.0 * value for value in was["y"]], rel=0.01)
    assert chart["table"]["rows"][0] == ["Jan", "167", "83.7"]


def test_bars_that_change_places_stay_with_their_labels() -> None:
    page = LessonPage(1, GuessBox(1))
    send(page, kind="watch")
    send(page, kind="explore", values={"walls": 23}, said={"walls": "up"})
    rows = page.explored["charts"][0]["table"]["rows"]
    was = dict(zip((r[0] for r in rows), (r[2] for r in rows), strict=True))
    assert was == dict(page.revealed["charts"][0]["table"]["rows"])
    assert rows[0][0] != page.revealed["charts"][0]["table"]["rows"][0][0]


def _explored(page: LessonPage) -> list[str]:
    send(page, kind="explore", values={})
    return page.explored["sentences"]


def test_chart_and_text_round_alike() -> None:
    page = LessonPage(4, GuessBox(4))
    send(page, kind="watch")
    shown = " ".join([page.page["predict"]["text"], *page.revealed["sentences"], *_explored(page)])
    for row in page.revealed["charts"][0]["table"]["rows"]:
        for cell in row[1:]:
            assert cell in shown or not cell, cell


def test_class_sees_the_spread_only_after_the_reveal(page: LessonPage, box: GuessBox) -> None:
    for guess in (200, 300, 900):
        box.drop(guess)
    send(page, kind="guess", guess=80)
    send(page, kind="group")
    assert page.group["sentences"][0].startswith("4 guesses. The middle one is 250 cfm")
    assert "1 of 4 came within 20%" in page.group["sentences"][1]
    assert page.group["charts"][0]["chart"]["figure"]["data"]


def test_two_guesses_are_too_few_to_show(page: LessonPage, box: GuessBox) -> None:
    box.drop(5)
    send(page, kind="guess", guess=80)
    send(page, kind="group")
    few = SAID_TEXTS["few"].format(count=2, least=LEAST_GUESSES)
    assert page.group == {"sentences": [few], "charts": [], "turn": 2}


def test_without_a_server_nothing_is_kept() -> None:
    page = LessonPage(1, GuessBox(1))
    send(page, kind="guess", guess=12)
    assert page.page["class"] is False
    assert page.state.box.guesses() == ()


def test_box_holds_numbers_and_nothing_else(tmp_path) -> None:
    box = GuessBox(2, tmp_path)
    for guess in (5.376, -1e-300, 123456789.0):
        assert box.drop(guess)
    (file,) = tmp_path.iterdir()
    assert file.name == "lesson_2.txt"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert set(file.read_text()) <= set("0123456789.e+- \n")
    assert box.drop(7.0, ONE)
    assert file.read_text().splitlines()[-1].split() == ["1", ONE, "7"]
    assert box.guesses() == pytest.approx((5.376, -1e-300, 123456789.0, 7.0), rel=1e-5)


def test_box_is_bounded_and_forgives_a_broken_line(tmp_path) -> None:
    box = GuessBox(2, tmp_path)
    assert [box.drop(1.0) for _ in range(MOST_GUESSES + 5)].count(True) == MOST_GUESSES
    assert len(box.guesses()) == MOST_GUESSES
    box.path.write_bytes(b"1 - 1\nxx\n\xff\n1 - \n7\n1 - 2\n")
    assert box.guesses() == (1.0, 2.0)
    box.path.with_suffix(".json").write_text("[")
    assert box.stage.stage == "open"


@pytest.mark.parametrize(
    "guesses", [[8.0], [0.0, 0.0], [1, 50, 8, 99], [-5000.0, 10000.0], [8.0] * 30]
)
def test_spread_counts_everybody_once(guesses) -> None:
    found = spread(guesses, 8.0)
    assert sum(found.counts) == found.count == len(guesses)
    assert len(found.counts) <= 12
    assert found.edges[found.place] <= 8.0 < found.edges[found.place + 1]
    without = spread(guesses)
    assert (without.place, without.close) == (None, 0)
    for one in (found, without):
        words = {"guesses": "g", "other": "o", "answer": "a", "from_to": "{low} to {high}"}
        figure = go.Figure(spread_figure(one, "%", words))
        assert sum(sum(trace.x) for trace in figure.data) == len(guesses)
    assert spread([], 8.0) is None


@pytest.mark.parametrize("number", NUMBERS)
def test_chart_holds_every_number(number: int) -> None:
    told = LessonTexts(lesson_of(number))
    for bars in lesson_numbers(lesson_of(number)).charts:
        if not isinstance(bars, Bars):
            continue
        figure = go.Figure(chart_content(told, bars, "")["chart"]["figure"])
        for trace, values in zip(figure.data, bars.series.values(), strict=True):
            assert list(trace.y if trace.orientation == "v" else trace.x) == list(values)


@pytest.mark.parametrize(
    ("values", "said"),
    [((28.68, 8.384, 2.0), ["28.7", "8.4", "2.0"]), ((1900.0, 21.1), ["1,900", "21"]), ((-405.3, 99.0), ["−405", "99"]), ((0.5, 0.0625), ["0.500", "0.062"]), ((), [])],
)  # fmt: skip
def test_column_has_one_place_of_the_point(values, said) -> None:
    assert wording.column(values) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [("brings -405 dollars", "brings −405 dollars"), ("label R-11, not R-5.4", "label R-11, not R-5.4"), ("8 - 3", "8 - 3"), ("-0.5", "−0.5")],
)  # fmt: skip
def test_minus_is_a_minus_and_the_hyphen_of_r_stays(text, said) -> None:
    assert wording.with_minus(text) == said


def test_answers_are_as_fine_as_guesses() -> None:
    assert wording.measured(8.384, "%", 1.0) == "8%"
    assert wording.measured(5.376, "R", 0.1) == "R-5.4"
    assert wording.measured(1.376, "RSI") == "RSI-1.38"
    assert wording.measured(-387.3, "dollars", 1) == "−387 dollars"
    assert wording.measured(77.99, "cfm") == "78 cfm"
