"""The lesson page without a browser: what opens when, what a hostile page may send, and that no name is kept."""

import json
import stat

import pytest

from retrofit_lab.classroom.guesses import spread
from retrofit_lab.classroom.lessons import lesson_numbers, lesson_of, lessons
from retrofit_lab.classroom.working import worked
from retrofit_lab.presentation.classroom import wording
from retrofit_lab.presentation.classroom.content import LEAST_GUESSES
from retrofit_lab.presentation.classroom.figures import bars_figure, spread_figure
from retrofit_lab.presentation.classroom.guess_box import MOST_GUESSES, GuessBox
from retrofit_lab.presentation.classroom.state import TRIES, LessonState
from retrofit_lab.presentation.classroom.widget import LessonPage

NUMBERS = [lesson.number for lesson in lessons()]


@pytest.fixture
def box(tmp_path) -> GuessBox:
    return GuessBox(3, tmp_path)


@pytest.fixture
def page(box: GuessBox) -> LessonPage:
    return LessonPage(3, box)


def send(page: LessonPage, **message) -> str:
    page._on_message(page, message, [])
    return page.said["problem"]


@pytest.mark.parametrize("number", NUMBERS)
def test_lesson_from_guess_to_the_way(number: int) -> None:
    page = LessonPage(number, GuessBox(number))
    answer = page.state.numbers
    assert page.revealed == page.explored == page.marked == {}
    assert str(round(answer.answer, 2)) not in json.dumps(page.page)
    assert send(page, kind="guess", guess=page.page["predict"]["high"]) == ""
    assert page.revealed["sentences"][0].startswith("You guessed")
    assert page.revealed["chart"]["figure"]["data"]
    assert page.revealed["table"]["rows"]
    assert send(page, kind="explore", values={}) == ""
    assert page.explored["chart"]["figure"]["data"]
    assert send(page, kind="answer", text=f"{answer.answer:.4f}") == ""
    assert page.marked["right"] is True
    assert page.marked["way"] == [
        line.text for line in worked(page.state.lesson.hand.steps, answer.facts)
    ]
    json.dumps([page.page, page.revealed, page.explored, page.marked], allow_nan=False)


def test_first_guess_stays(page: LessonPage, box: GuessBox) -> None:
    send(page, kind="guess", guess=100)
    send(page, kind="guess", guess=78)
    assert page.state.guess == 100
    assert box.guesses() == (100.0,)


@pytest.mark.parametrize(
    "guess", [None, "12", True, float("nan"), float("inf"), -1, 1e9, [3], {"a": 1}]
)
def test_what_is_no_guess_opens_nothing(page: LessonPage, box: GuessBox, guess) -> None:
    assert send(page, kind="guess", guess=guess) == wording.refused_guess(0, 3000)
    assert page.revealed == {}
    assert box.guesses() == ()


def test_trainer_opens_without_a_guess(page: LessonPage, box: GuessBox) -> None:
    send(page, kind="watch")
    assert page.revealed["sentences"][0].startswith("The program says 78")
    assert box.guesses() == ()


def test_way_opens_after_enough_tries(page: LessonPage) -> None:
    send(page, kind="watch")
    for turn in range(1, TRIES + 1):
        send(page, kind="answer", text="1")
        assert bool(page.marked["way"]) == (turn == TRIES)


def test_wrong_idea_is_named(page: LessonPage) -> None:
    send(page, kind="answer", text="152")
    assert "fall in step with the pressure" in page.marked["sentence"]
    assert "1 of 2 points" in page.marked["sentence"]


@pytest.mark.parametrize(
    "message", [{"kind": "explore", "values": {"flow": "x", "exponent": 9, "other": 1}}, {"kind": 7}, {}, {"kind": "answer", "text": ["a"]}]
)  # fmt: skip
def test_strange_messages_do_no_harm(page: LessonPage, message) -> None:
    page._on_message(page, message, [])
    assert page.said["problem"] == ""
    assert page.explored.get("values", {"exponent": 0.8})["exponent"] == 0.8
    page._on_message(page, "text", [])
    page._on_message(page, None, [])


def test_failure_is_one_sentence(page: LessonPage, monkeypatch) -> None:
    def broken(_state, _text):
        raise RuntimeError("inside details")

    monkeypatch.setattr(LessonState, "answer", broken)
    assert send(page, kind="answer", text="1") == wording.FAILED


def test_boxes_change_the_bars_and_not_the_question(page: LessonPage) -> None:
    before = page.state.numbers.answer
    send(page, kind="explore", values={"flow": 4000})
    assert page.explored["values"]["flow"] == 4000
    assert page.state.numbers.answer == before


def test_class_sees_the_spread_only_after_the_reveal(page: LessonPage, box: GuessBox) -> None:
    for guess in (200, 300, 900):
        box.drop(guess)
    send(page, kind="group")
    assert page.group["sentences"] == [wording.count_of_guesses(3, LEAST_GUESSES)]
    assert "chart" not in page.group
    send(page, kind="guess", guess=80)
    send(page, kind="group")
    assert page.group["sentences"][0].startswith("4 guesses. The one in the middle is 250 cfm")
    assert "1 of 4 came within a fifth" in page.group["sentences"][0]
    assert page.group["chart"]["figure"]["data"]


def test_two_guesses_are_too_few_to_show(page: LessonPage, box: GuessBox) -> None:
    box.drop(5)
    send(page, kind="guess", guess=80)
    send(page, kind="group")
    assert "chart" not in page.group


def test_without_a_server_nothing_is_kept() -> None:
    page = LessonPage(1, GuessBox(1))
    send(page, kind="guess", guess=12)
    send(page, kind="group")
    assert page.group["sentences"] == [wording.NO_GROUP]


def test_box_holds_numbers_and_nothing_else(tmp_path) -> None:
    box = GuessBox(2, tmp_path)
    for guess in (5.376, -1e-300, 123456789.0):
        assert box.drop(guess)
    (file,) = tmp_path.iterdir()
    assert file.name == "lesson_2.txt"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert set(file.read_text()) <= set("0123456789.e+- \n")
    assert box.guesses() == pytest.approx((5.376, -1e-300, 123456789.0), rel=1e-5)


def test_box_is_bounded_and_forgives_a_broken_line(tmp_path) -> None:
    box = GuessBox(2, tmp_path)
    assert [box.drop(1.0) for _ in range(MOST_GUESSES + 5)].count(True) == MOST_GUESSES
    assert len(box.guesses()) == MOST_GUESSES
    box.path.write_bytes(b"1\nxx\n\xff\n2\n")
    assert box.guesses() == (1.0, 2.0)


@pytest.mark.parametrize(
    "guesses", [[8.0], [0.0, 0.0], [1, 50, 8, 99], [-5000.0, 10000.0], [8.0] * 30]
)
def test_spread_counts_everybody_once(guesses) -> None:
    found = spread(guesses, 8.0)
    assert sum(found.counts) == found.count == len(guesses)
    assert len(found.counts) <= 12
    assert found.edges[found.place] <= 8.0 < found.edges[found.place + 1]
    figure = spread_figure(found, "of 100")
    assert sum(sum(trace.x) for trace in figure.data) == len(guesses)
    assert spread([], 8.0) is None


@pytest.mark.parametrize("number", [1, 2, 3, 5, 6])
def test_chart_holds_every_number(number: int) -> None:
    bars = lesson_numbers(lesson_of(number)).bars
    figure = bars_figure(bars)
    for trace, values in zip(figure.data, bars.series.values(), strict=True):
        assert list(trace.y if trace.orientation == "v" else trace.x) == list(values)
