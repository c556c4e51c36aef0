"""Many houses at once: each row answers as its own study does, whoever works it out, and errors stop nothing."""

import os
import time
import tracemalloc
from pathlib import Path

import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.measures.catalog import MeasureError, measure_named
from retrofit_lab.portfolio.answer import Question, answer_row
from retrofit_lab.portfolio.engines import EngineError, cluster, processes
from retrofit_lab.portfolio.run import study_portfolio
from retrofit_lab.portfolio.table import house_of, read_table
from retrofit_lab.proposals.steps import rater_plan
from retrofit_lab.savings.choosing import ChoiceError, Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study

KEYS = ("attic_insulation", "duct_mastic", "night_setback", "tank_wrap", "led_lamps")
QUESTION = Question(limits=Limits(budget=2000.0), measures=KEYS)
ROWS = tuple(read_table(data_path("tables", "mill_row.csv")))
HERE = tuple(answer_row(QUESTION, row) for row in ROWS)


def end_this_process(task: int) -> int:
    return os._exit(1) if task == 1 else task


def hang(task: int) -> int:
    while task == 1:
        time.sleep(0.1)
    return task


def refused(task: int, why: str) -> str:
    return f"{task}: {why}"


def test_row_answers_as_its_own_study_does() -> None:
    for row, result in zip(ROWS, HERE, strict=True):
        measures = [measure_named(key) for key in KEYS]
        study = Study(house_of(row), measures=measures, folder=row.folder)
        proposal = Advice(study).best(QUESTION.limits)
        plan = study.plan(proposal.keys)
        assert result.answer is not None, result.error
        assert result.answer.best == plan.ticked
        assert result.answer.saving == plan.saved
        assert result.answer.cost.likely <= 2000.0
        assert result.answer.co2_saved == plan.before.co2 - plan.after.co2
        assert len(result.answer.cautions) == len(plan.cautions)
        assert result.answer.held == proposal.held
        guessed = {item.key for item in rater_plan(Advice(study), sure=False).look_first}
        assert set(result.answer.guesses) == guessed & set(plan.ticked)
        assert result.answer.measures == len(study.keys)


def test_processes_give_the_same_rows_in_order() -> None:
    assert tuple(study_portfolio(ROWS, QUESTION, processes(2))) == HERE


def test_rows_are_asked_for_only_as_they_are_needed() -> None:
    asked: list[int] = []

    def counted():
        for row in ROWS:
            asked.append(row.line)
            yield row

    results = study_portfolio(counted(), QUESTION, processes(1))
    next(results)
    assert len(asked) <= 2
    results.close()


@pytest.mark.slow
def test_local_cluster_gives_the_same_rows() -> None:
    pytest.importorskip(
        "distributed", reason="Dask is not installed; install retrofit-lab[cluster]"
    )
    assert tuple(study_portfolio(ROWS, QUESTION, cluster(count=2))) == HERE


def test_cluster_without_dask_says_what_to_install(monkeypatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "distributed", None)
    with pytest.raises(EngineError, match=r"Install retrofit-lab\[cluster\]"):
        cluster()


def test_wrong_row_says_so_and_the_others_go_on(tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_text(
        "name,climate,width\nElm 1,greensboro_nc,28\nElm 2,nowhere,900\nElm 3,miami_fl,30\n",
        encoding="utf-8",
    )
    first, wrong, last = (answer_row(QUESTION, row) for row in read_table(path))
    assert first.answer
    assert last.answer
    assert wrong.answer is None
    assert (wrong.line, wrong.name) == (3, "Elm 2")
    assert "no climate 'nowhere'" in wrong.error
    assert "Width of the footprint: 900 ft must be 8 to 300" in wrong.error
    assert "\n" not in wrong.error


def test_house_that_the_model_trips_over_costs_no_other(monkeypatch) -> None:
    def trip(row):
        raise ZeroDivisionError("float division by zero")

    monkeypatch.setattr("retrofit_lab.portfolio.answer.house_of", trip)
    result = answer_row(QUESTION, ROWS[0])
    assert result.answer is None
    assert "cannot be worked out (ZeroDivisionError: float division by zero)" in result.error


def test_task_that_stops_its_process_fails_and_the_others_go_on() -> None:
    found = dict(processes(2)(end_this_process, range(5), refused))
    assert "1: its process stopped" in found.pop(1)
    assert found == {0: 0, 2: 2, 3: 3, 4: 4}


@pytest.mark.slow
def test_task_that_hangs_is_given_up_and_the_others_go_on() -> None:
    found = dict(processes(2, seconds=4.0)(hang, range(5), refused))
    assert found.pop(1) == "1: it took longer than 4 s"
    assert found == {0: 0, 2: 2, 3: 3, 4: 4}


def test_no_process_is_refused() -> None:
    with pytest.raises(EngineError, match=r"0 processes were asked for; must be 1 or more"):
        processes(0)


def test_unknown_measure_is_refused_before_any_work() -> None:
    with pytest.raises(MeasureError, match="no measure 'magic'"):
        Question(measures=("magic",))
    assert tuple(study_portfolio([], QUESTION)) == ()


def test_aim_prices_and_range_reach_the_answer(tmp_path: Path) -> None:
    prices = tmp_path / "prices.toml"
    prices.write_text(
        'format = "retrofit-lab prices"\nversion = 1\n[prices.tank_wrap]\nquote = 1900\n',
        encoding="utf-8",
    )
    least = answer_row(Question(limits=Limits(budget=2000.0), measures=KEYS, aim="co2"), ROWS[0])
    own = answer_row(
        Question(limits=Limits(budget=2000.0), measures=KEYS, prices=str(prices)), ROWS[0]
    )
    plain = HERE[0]
    assert plain.answer
    assert least.answer
    assert own.answer
    assert "tank_wrap" in plain.answer.best
    assert "tank_wrap" not in own.answer.best
    assert least.answer.co2_saved >= plain.answer.co2_saved
    span = plain.answer.saving_range
    assert span.low < span.middle < span.high
    with pytest.raises(ChoiceError, match="aim 'fame' is unknown"):
        Question(aim="fame")


def test_rebate_for_a_measure_that_is_not_asked_about_costs_no_house(tmp_path: Path) -> None:
    """And one for a measure that is, and for others, is given for that one."""
    head = 'format = "retrofit-lab prices"\nversion = 1\n'
    both = (
        '[[rebates]]\nname = "Utility"\namount = 25\nmeasures = ["furnace_upgrade", "tank_wrap"]\n'
    )
    other = '[[rebates]]\nname = "State"\npercent = 30\nmeasures = ["wall_fill"]\n'
    path = tmp_path / "rebates.toml"
    path.write_text(head + both + other, encoding="utf-8")
    asked = Question(limits=QUESTION.limits, measures=("tank_wrap",), prices=str(path))
    plain = Question(limits=QUESTION.limits, measures=("tank_wrap",))
    with_rebate, without = answer_row(asked, ROWS[0]), answer_row(plain, ROWS[0])
    assert with_rebate.answer, with_rebate.error
    assert without.answer
    assert with_rebate.answer.cost.likely == pytest.approx(without.answer.cost.likely - 25.0)


def peak_of(count: int, folder: Path) -> int:
    """Memory for going through a table whose houses are given up at once. [byte]"""
    path = folder / f"{count}.csv"
    rows = "".join(f"Elm {n},greensboro_nc,{24 + n % 9}\n" for n in range(count))
    path.write_text("name,climate,width\n" + rows, encoding="utf-8")

    def giving_up(_work, tasks, failed):
        for place, task in enumerate(tasks):
            yield place, failed(task, "nobody works")

    tracemalloc.start()
    done = sum(1 for _ in study_portfolio(read_table(path), QUESTION, giving_up))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert done == count
    return peak


def test_long_table_takes_no_more_memory_than_a_short_one(tmp_path: Path) -> None:
    peak_of(10, tmp_path)
    assert abs(peak_of(10_000, tmp_path) - peak_of(200, tmp_path)) < 200_000
