"""What a hostile page may send to a served page: junk of every kind leaves it whole, and nothing fails inside."""

import json
from functools import cache

import pytest
from examples import example
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from retrofit_lab.app.lesson import widget
from retrofit_lab.app.lesson.content import boxes
from retrofit_lab.app.lesson.guess_box import GuessBox
from retrofit_lab.app.lesson.widget import LessonPage
from retrofit_lab.app.page import messages
from retrofit_lab.app.page.kitchen_table import KitchenTable
from retrofit_lab.app.page.panels import checked_numbers, panel_named
from retrofit_lab.app.page.plan_file import MOST_BYTES, too_large
from retrofit_lab.app.shared import guard
from retrofit_lab.app.shared.served_widget import MOST_LIBRARIES
from retrofit_lab.app.shared.surroundings import TRAINER_VARIABLE
from retrofit_lab.app.shared.wording import dollars

ALDER = example("alder_street")
DEEP: list = []
for _ in range(200):
    DEEP = [DEEP]
JUNK = [
    None, True, -1, 7, 1e308, float("nan"), float("inf"), "", "x", "\0", "\ud800", "<script>", "A" * 300_000,
    [], [None], {}, {"a": 1}, {"": {}}, [[["x"]]], DEEP, list(range(20_000)), ["tank_wrap"] * 20_000,
    {str(i): i for i in range(5000)}, 10**400,
]  # fmt: skip
FIELDS = ("panel", "values", "name", "place", "kept", "format", "text")
LESSON_FIELDS = ("guess", "values", "text", "word", "show")
ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=5)
        | st.dictionaries(st.sampled_from([*FIELDS, "kind", "ticked", "name"]), inner, max_size=5)
    ),
    max_leaves=20,
)
MANY = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@cache
def table() -> KitchenTable:
    return KitchenTable(ALDER)


@cache
def first_lesson() -> LessonPage:
    return LessonPage(1, GuessBox(1))


@pytest.fixture
def failures(monkeypatch) -> list[str]:
    """Failures inside a callback, which the visitor would only see as one general sentence."""
    kept: list[str] = []

    class Log:
        def exception(self, text: str, *args: object) -> None:
            import traceback

            kept.append(text % args + traceback.format_exc())

    monkeypatch.setattr(guard, "_logger", Log)
    return kept


def hostile(page, content: object) -> None:
    """A custom message as the browser's half of the widget would send it."""
    page._handle_msg({"content": {"data": {"method": "custom", "content": content}}, "buffers": []})


def still_works(page: KitchenTable) -> None:
    page.ticked = ["tank_wrap"]
    assert page.now["ticked"] == ["tank_wrap"]
    assert page.now["strip"][3][1] == dollars(ALDER.plan(["tank_wrap"]).cost.likely)
    page.ticked = []
    shown = [page.now, page.panels, page.choices, page.drawing, page.said, page.plan, page.starts]
    json.dumps(shown, allow_nan=False)


@pytest.mark.parametrize("kind", sorted(messages.ACTIONS))
def test_junk_in_a_message_of_the_page(failures, monkeypatch, kind: str) -> None:
    page = table()
    monkeypatch.setattr(KitchenTable, "send", lambda _self, _content: None)
    for field in FIELDS:
        for junk in JUNK:
            hostile(page, {"kind": kind, "name": "x", "place": 0, field: junk})
    while page.choices["names"]:
        hostile(page, {"kind": "remove", "place": 0})
    assert failures == []
    still_works(page)


@pytest.mark.parametrize("panel", [panel["key"] for panel in table().page["panels"]])
def test_junk_in_the_boxes_of_a_question(failures, panel: str) -> None:
    page, fields = table(), panel_named(panel).fields
    for field in fields:
        for junk in JUNK:
            kept = checked_numbers(fields, {field.name: junk})[field.name]
            assert field.low <= kept <= field.high
    values = {field.name: 10**400 for field in fields}
    hostile(page, {"kind": "ask", "panel": panel, "values": values})
    assert page.panels[panel]["sentences"]
    hostile(page, {"kind": "close", "panel": panel})
    assert failures == []
    still_works(page)


@pytest.mark.parametrize("junk", JUNK, ids=range(len(JUNK)))
def test_junk_in_place_of_a_message(failures, junk) -> None:
    page, lesson = table(), first_lesson()
    for kind in (junk, {"kind": junk}):
        hostile(page, kind)
        hostile(lesson, kind)
    for method in ("update", "request_state", "custom", "other", junk):
        for data in (junk, {"method": method}, {"method": method, "state": junk}):
            page._handle_msg({"content": {"data": data}, "buffers": []})
            lesson._handle_msg({"content": {"data": data}, "buffers": []})
    assert failures == []
    still_works(page)


@pytest.mark.parametrize("trait", ["ticked", "units", "language", "anyway"])
def test_junk_in_what_the_browser_owns(failures, trait: str) -> None:
    page = table()
    for junk in JUNK:
        update = {"method": "update", "state": {trait: junk}, "buffer_paths": []}
        page._handle_msg({"content": {"data": update}, "buffers": []})
        assert (page.units, page.language, page.anyway) == ("us", "en", [])
        assert set(page.now["ticked"]) <= {"tank_wrap"}
    assert failures == []
    still_works(page)


@MANY
@given(content=st.dictionaries(st.sampled_from(FIELDS), ANY_JSON), kind=st.sampled_from(sorted(messages.ACTIONS)))  # fmt: skip
def test_any_message_leaves_the_page_whole(failures, content, kind: str) -> None:
    page = table()
    sent = []
    page.send = sent.append
    hostile(page, {**content, "kind": kind})
    del page.send
    hostile(page, {"kind": "remove", "place": 0})
    assert failures == []
    still_works(page)


@pytest.mark.parametrize("made", [lambda: KitchenTable(ALDER), lambda: LessonPage(1, GuessBox(1))])
def test_chart_library_is_sent_a_few_times_however_often_it_is_asked_for(monkeypatch, made) -> None:
    page, sent = made(), []
    monkeypatch.setattr(page, "send", sent.append)
    for _ in range(10 * MOST_LIBRARIES):
        hostile(page, {"kind": "library"})
    assert 1 <= len(sent) <= MOST_LIBRARIES


@pytest.mark.parametrize("kind", [*widget._ACTIONS, "library"])
@pytest.mark.parametrize("trainer", [False, True])
def test_junk_in_a_message_of_a_lesson(
    failures, monkeypatch, tmp_path, kind: str, trainer: bool
) -> None:
    monkeypatch.setenv(TRAINER_VARIABLE, "word")
    monkeypatch.setattr(LessonPage, "send", lambda _self, _content: None)
    lesson = LessonPage(1, GuessBox(1, tmp_path))
    if trainer:
        hostile(lesson, {"kind": "trainer", "word": "word"})
        hostile(lesson, {"kind": "watch"})
    name = boxes(lesson.state)[0].name
    for junk in JUNK:
        for field in () if kind == "explore" else LESSON_FIELDS:
            hostile(lesson, {"kind": kind, field: junk})
        hostile(lesson, {"kind": kind, "values": {name: junk}})
    assert failures == []
    assert lesson.state.trainer is trainer
    # 7 is a guess that can be made; a trainer who forgets all begins anew with the class
    assert bool(lesson.later) is ((trainer and kind != "empty") or kind == "guess")


@pytest.mark.parametrize(
    "trait", ["page", "later", "revealed", "explored", "marked", "group", "class_view", "said"]
)
def test_browser_sets_nothing_of_a_lesson(trait: str) -> None:
    lesson = LessonPage(1, GuessBox(1))
    before = lesson.get_state(trait)
    for junk in (*JUNK, {"sentences": ["The program says 7."]}):
        update = {"method": "update", "state": {trait: junk}, "buffer_paths": []}
        lesson._handle_msg({"content": {"data": update}, "buffers": []})
        assert lesson.get_state(trait) == before


def test_oversized_file_is_refused_by_the_server_too(failures) -> None:
    page = table()
    hostile(page, {"kind": "open", "text": "{" + " " * MOST_BYTES + "}"})
    assert page.said["text"] == too_large(page.told)
    assert failures == []
