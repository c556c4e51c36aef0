"""Marks: full, close, wrong idea, wrong sign, wrong place of the point, nothing; letters with hits and misses."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.classroom.marking import (
    ChoiceQuestion,
    NumberQuestion,
    Slip,
    mark,
    mark_all,
    read_typed_number,
)

NUMBER = NumberQuestion(
    key="changes", text="How many?", unit="per hour", answer=12.5, within=0.02, way="Times 60, by the volume.",
    slips=(Slip(value=0.2083, idea="You forgot the minutes."), Slip(value=30.0, idea="You took the area.")),
)  # fmt: skip
CHOICE = ChoiceQuestion(
    key="faults", text="Which?", options={"A": "one", "B": "two", "C": "three", "D": "four"},
    right=frozenset("AC"), why={"A": "Look at the attic.", "B": "The ducts are sound."},
)  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "points", "words"),
    [
        ("12.5", 2.0, "That is right"),
        ("12.6 per hour", 2.0, "That is right"),
        ("13", 1.5, "rounding"),
        ("0.208", 1.0, "forgot the minutes"),
        ("30", 1.0, "took the area"),
        ("-12.5", 1.0, "sign"),
        ("125", 1.0, "point is in the wrong place"),
        ("77", 0.0, "Times 60, by the volume"),
        ("", 0.0, "no number"),
        ("a dozen", 0.0, "no number"),
        ("1e999", 0.0, "Not yet"),
        ("nan", 0.0, "no number"),
    ],
)
def test_number(typed: str, points: float, words: str) -> None:
    found = mark(NUMBER, typed)
    assert found.points == points
    assert words in found.sentence
    assert found.right == (points == 2.0)


@pytest.mark.parametrize(
    ("typed", "points", "words"),
    [
        ("A, C", 2.0, "That is right"),
        ("a and c", 2.0, "That is right"),
        ("CA", 2.0, "That is right"),
        ("A", 1.0, "C is missing"),
        ("A B C", 1.0, "B is not it. The ducts are sound."),
        ("B", 0.0, "A is missing. Look at the attic."),
        ("none of them", 0.0, "Answer with letters from A, B, C, D"),
        ("ABCD", 0.0, "D is not it."),
    ],
)
def test_letters(typed: str, points: float, words: str) -> None:
    found = mark(CHOICE, typed)
    assert found.points == points
    assert words in found.sentence


def test_sheet_with_gaps() -> None:
    marks = mark_all([NUMBER, CHOICE], {"faults": "A"})
    assert [m.points for m in marks] == [0.0, 1.0]
    assert sum(m.most for m in marks) == 4.0


@pytest.mark.parametrize(
    ("typed", "value"),
    [("1,234.5 ft2", 1234.5), ("$ 300", 300.0), ("1 200", 1200.0), (".5", 0.5), ("−3", -3.0), ("x", None)],
)  # fmt: skip
def test_numbers_as_people_type_them(typed: str, value: float | None) -> None:
    assert read_typed_number(typed) == value


@settings(deadline=None, max_examples=200)
@given(st.text(max_size=300))
def test_whatever_is_typed_is_marked(text: str) -> None:
    for question in (NUMBER, CHOICE):
        found = mark(question, text)
        assert 0.0 <= found.points <= found.most
        assert found.sentence


@settings(deadline=None, max_examples=100)
@given(st.floats(0.01, 1e6), st.floats(-0.019, 0.019))
def test_small_rounding_is_right(answer: float, off: float) -> None:
    question = NumberQuestion(key="k", text="", unit="", answer=answer, within=0.02, way="")
    assert mark(question, f"{answer * (1 + off):.12f}").right
