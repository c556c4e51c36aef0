"""Every lesson is complete, its texts can be filled, its wrong turns are named, and its numbers are the study's."""

import re

import numpy as np
import pytest
from examples import example
from test_reading_age import counts, english_syllables, grade_level

from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.classroom.lessons import (
    LessonError,
    hand_question,
    lesson_numbers,
    lesson_of,
    lessons,
    reveal_facts,
    start_values,
)
from retrofit_lab.classroom.marking import SLIPPED, mark
from retrofit_lab.classroom.working import arithmetic, worked
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.model.envelope import surface_u

LESSONS = lessons()


@pytest.fixture(params=LESSONS, ids=lambda lesson: lesson.key)
def lesson(request):
    return request.param


def test_six_or_more_are_numbered_in_order() -> None:
    count = len(LESSONS)
    assert count >= 6
    assert [lesson.number for lesson in LESSONS] == list(range(1, count + 1))
    with pytest.raises(LessonError, match=f"Choose one of 1, 2, .*, {count}"):
        lesson_of(count + 1)


def test_every_lesson_has_its_notebook(lesson) -> None:
    (path,) = (shipped_folder("notebooks") / "classroom").glob(f"{lesson.number}_*.ipynb")
    assert f"show({lesson.number})" in path.read_text(encoding="utf-8")


def test_every_lesson_has_a_chart(lesson) -> None:
    numbers = lesson_numbers(lesson)
    assert (numbers.bars is None) != (numbers.plan is None)


def test_every_text_can_be_filled(lesson) -> None:
    numbers = lesson_numbers(lesson)
    facts = {**numbers.facts, **reveal_facts(lesson)}
    assert all(np.isfinite(value) for value in facts.values())
    texts = [lesson.predict.text, *lesson.reveal, *lesson.explored, *lesson.extension]
    texts += [part for pair in lesson.hand.given for part in pair]
    for text in texts:
        filled = text.format(**facts)
        assert "{" not in filled
        assert "nan" not in filled.split()
    assert "{" not in f"{lesson.about}{lesson.aim}{lesson.title}"


def test_question_before_the_reveal_does_not_hold_its_answer(lesson) -> None:
    numbers = lesson_numbers(lesson)
    text = lesson.predict.text.format(**numbers.facts) + lesson.about + lesson.aim
    for form in (",.0f", ".1f", ".2f"):
        said = format(numbers.guessed, form)
        assert f" {said} " not in text.replace("$", " ").replace(".", " . ").replace(",", "")


def test_guess_and_answer_lie_within_what_can_be_typed(lesson) -> None:
    numbers = lesson_numbers(lesson)
    assert lesson.predict.low < numbers.guessed < lesson.predict.high


def test_every_wrong_turn_has_its_sentence_and_is_told_apart(lesson) -> None:
    numbers = lesson_numbers(lesson)
    assert numbers.slips.keys() == lesson.hand.slips.keys()
    question = hand_question(lesson, numbers)
    assert mark(question, f"{numbers.answer:.6f}").right
    for slip in question.slips:
        found = mark(question, f"{slip.value:.6f}")
        assert found.sentence == slip.idea
        assert found.points == SLIPPED * found.most


def test_boxes_start_at_the_house_and_leave_it_as_it_is(lesson) -> None:
    start = start_values(lesson)
    numbers, again = lesson_numbers(lesson), lesson_numbers(lesson, start)
    for box in lesson.explore:
        assert box.low <= start[box.name] <= box.high
    if lesson.key != "bills":
        assert again.facts == pytest.approx(dict(numbers.facts))


@pytest.mark.parametrize("end", ["low", "high"])
def test_boxes_can_go_to_their_ends(lesson, end: str) -> None:
    for box in lesson.explore:
        values = start_values(lesson) | {box.name: getattr(box, end)}
        assert all(np.isfinite(value) for value in lesson_numbers(lesson, values).facts.values())


def test_every_box_changes_what_is_told(lesson) -> None:
    start = start_values(lesson)
    before = [text.format(**lesson_numbers(lesson, start).facts) for text in lesson.explored]
    for box in lesson.explore:
        changed = lesson_numbers(lesson, start | {box.name: box.high}).facts
        assert [text.format(**changed) for text in lesson.explored] != before, box.name


def test_numbers_are_the_studys() -> None:
    wren, alder = example("wren_cottage"), example("alder_street")
    both = wren.plan(("wall_fill", "furnace_upgrade"))
    together = lesson_numbers(lesson_of(4))
    assert together.guessed == pytest.approx(both.saved)
    walls = wren.plan(("wall_fill", "wall_sheathing")).measures["wall_fill"]
    assert together.answer == pytest.approx(walls.share)
    worth, offers = lesson_numbers(lesson_of(5)), alder.plan(()).measures
    assert worth.guessed == pytest.approx(offers["attic_insulation"].net_savings)
    assert worth.answer == pytest.approx(offers["basement_wall_insulation"].net_savings)
    air = wren.explain("natural air flow").steps[0]
    assert lesson_numbers(lesson_of(3)).guessed == pytest.approx(air.value)
    losses = wren.energies.season_losses(())
    share = 100.0 * losses.by_part["air"] / losses.total
    assert lesson_numbers(lesson_of(1)).guessed == pytest.approx(share)
    knee = next(s for s in alder.explain("conduction").steps if s.text == "Knee walls: U")
    assert lesson_numbers(lesson_of(2)).guessed == pytest.approx(1.0 / knee.value)
    # like a label, the R of an outside wall is told for the film of a windy day
    emptied = with_numbers(alder.as_found, {"surfaces.walls.missing_fraction": 0.2})
    walls = next(surface for surface in emptied.surfaces if surface.key == "walls")
    assert lesson_numbers(lesson_of(2)).answer == pytest.approx(1.0 / surface_u(walls))


def test_attic_heat_is_what_the_explanation_says() -> None:
    wren = example("wren_cottage")
    steps = {s.text: s.value for t in ("conduction", "buffer zones") for s in wren.explain(t).steps}
    drop = steps["house in January"] - steps["attic in January"]
    heat = steps["Attic floor: U x area"] * drop
    assert lesson_numbers(lesson_of(1)).answer == pytest.approx(heat)


def test_bars_of_a_whole_add_to_it() -> None:
    heat = lesson_numbers(lesson_of(1)).bars
    assert sum(heat.series["of 100 Btu"]) == pytest.approx(100.0)
    bills = lesson_numbers(lesson_of(6))
    assert sum(map(sum, bills.bars.series.values())) == pytest.approx(bills.facts["year"])


def test_the_hidden_leak_is_found_by_the_program() -> None:
    (sentence,) = lesson_numbers(lesson_of(6)).sentences
    assert "hot-water leak" in sentence


def test_pencil_and_program_agree(lesson) -> None:
    """From the rounded numbers of the page, line by line, to within what rounding leaves."""
    numbers = lesson_numbers(lesson)
    lines = worked(lesson.hand.steps, numbers.facts)
    assert lines[-1].value == pytest.approx(numbers.answer, rel=0.004)
    assert mark(hand_question(lesson, numbers), str(lines[-1].value)).right


def test_pencil_follows_the_boxes(lesson) -> None:
    values = start_values(lesson)
    box = lesson.explore[0]
    numbers = lesson_numbers(lesson, values | {box.name: (box.low + 2 * box.high) / 3})
    lines = worked(lesson.hand.steps, numbers.facts)
    assert lines[-1].value == pytest.approx(numbers.answer, rel=0.01)


def test_every_given_number_of_the_steps_is_on_the_page(lesson) -> None:
    facts = lesson_numbers(lesson).facts
    shown = (
        " ".join(" ".join(pair) for pair in lesson.hand.given).format(**facts) + lesson.hand.text
    )
    made = {step.name for step in lesson.hand.steps}
    for step in lesson.hand.steps:
        for name, form in re.findall(r"{(\w+):([^}]*)}", step.work):
            assert name in made or format(facts[name], form) in shown, name
    for number in re.findall(
        r"(?<![\w{.:])\d+(?![\w.])", " ".join(s.work for s in lesson.hand.steps)
    ):
        assert number in {"1", "2", "100"} or number in shown, number


@pytest.mark.parametrize(
    "bad", ["__import__('os')", "a + 1", "(1).real", "'a' * 9", "[1]", "1 if 1 else 2"]
)
def test_only_arithmetic_is_worked_out(bad: str) -> None:
    with pytest.raises(ValueError, match="is not plain arithmetic"):
        arithmetic(bad)


def test_lessons_are_written_in_plain_words(lesson) -> None:
    """No harder than what is asked of the report: grade 7 by the formula of Kincaid and others."""
    facts = {**lesson_numbers(lesson).facts, **reveal_facts(lesson)}
    texts = [lesson.about, lesson.aim, lesson.predict.text, lesson.hand.text, lesson.hand.way]
    texts += [*lesson.reveal, *lesson.explored, *lesson.extension, *lesson.hand.slips.values()]
    assert grade_level(*counts(" ".join(texts).format(**facts), english_syllables)) <= 7.0
