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
)
from retrofit_lab.classroom.typed_numbers import UnclearError, read_typed_number, typed_readings

NUMBER = NumberQuestion(
    key="changes", text="How many?", unit="per hour", answer=12.5, within=0.02, way="Times 60, by the volume.",
    slips=(Slip(value=0.2083, idea="You forgot the minutes."), Slip(value=30.0, idea="You took the area.")),
)  # fmt: skip
NEAR_SLIP = NumberQuestion(
    key="net", text="", unit="dollars", answer=-825.0, within=0.02, way="Savings less cost.",
    slips=(Slip(value=-857.0, idea="You left out the rest."),),
)  # fmt: skip
CHOICE = ChoiceQuestion(
    key="faults", text="Which?", options={"A": "one", "B": "two", "C": "three", "D": "four"},
    right=frozenset("AC"), why={"A": "Look at the attic.", "B": "The ducts are sound."},
)  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "points", "words"),
    [
        ("12.5", 2.0, "That is right"),
        ("12,5", 2.0, "That is right"),
        ("12.6 per hour", 2.0, "That is right"),
        ("13", 1.5, "rounding"),
        ("0.208", 1.0, "forgot the minutes"),
        ("30", 1.0, "took the area"),
        ("-12.5", 1.0, "sign"),
        ("125", 1.0, "point is in the wrong place"),
        ("77", 0.0, "Times 60, by the volume"),
        ("", 0.0, "no number"),
        ("a dozen", 0.0, "no number"),
        ("1e999", 0.0, "no number"),
        ("9" * 400, 0.0, "Not yet"),
        ("nan", 0.0, "no number"),
        ("12 or 13", 0.0, "more than one number"),
    ],
)
def test_number(typed: str, points: float, words: str) -> None:
    found = mark(NUMBER, typed)
    assert found.points == points
    assert words in found.sentence
    assert found.right == (points == 2.0)


@pytest.mark.parametrize(
    "typed", ["-825", "-$825", "$-825", "(825)", "($825)", "minus 825", "−825", "–825 dollars", "-825,00", "menos 825"]
)  # fmt: skip
def test_a_loss_is_a_loss_however_it_is_written(typed: str) -> None:
    assert mark(NEAR_SLIP, typed).right


def test_known_wrong_idea_comes_before_rounding() -> None:
    found = mark(NEAR_SLIP, "-857")
    assert (found.sentence, found.points) == ("You left out the rest.", 1.0)
    assert "rounding" in mark(NEAR_SLIP, "-800").sentence
    assert "sign" in mark(NEAR_SLIP, "825").sentence


def test_temperature_near_zero_has_a_difference_of_its_own() -> None:
    question = NumberQuestion(key="t", text="", unit="", answer=0.4, within=0.01, way="", least=0.2)
    assert mark(question, "0.55").right
    assert not mark(question, "0.65").right


def test_marks_in_spanish() -> None:
    assert mark(NUMBER, "12,5", "es").sentence == "Correcto."
    assert "ningún número" in mark(NUMBER, "x", "es").sentence


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
    [
        ("1,234.5 ft2", 1234.5), ("$ 300", 300.0), ("1 200", 1200.0), (".5", 0.5), ("−3", -3.0), ("x", None),
        ("R-9.04", 9.04), ("r 9.04", 9.04), ("RSI-1.6", 1.6), ("U-0.117", 0.117), ("6,04", 6.04), ("0,117", 0.117),
        ("1.234,5", 1234.5), ("12 345,6", 12345.6), ("3186 Btu/h", 3186.0), ("9 h ft2 F/Btu", 9.0), ("12 m2", 12.0),
        ("-$1,566", -1566.0), ("(1,566)", -1566.0), ("about 42%", 42.0),
    ],
)  # fmt: skip
def test_numbers_as_people_type_them(typed: str, value: float | None) -> None:
    assert read_typed_number(typed) == value


@pytest.mark.parametrize("typed", ["12 to 15", "1,23,4", "31 2", "R-11 or R-13"])
def test_two_numbers_are_none(typed: str) -> None:
    with pytest.raises(UnclearError):
        read_typed_number(typed)


def test_comma_before_three_digits_is_read_both_ways() -> None:
    assert typed_readings("6,041") == (6041.0, 6.041)
    question = NumberQuestion(key="r", text="", unit="", answer=6.041, within=0.001, way="")
    assert mark(question, "6,041").right


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
