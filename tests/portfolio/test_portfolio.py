"""Many houses at once: each row answers as its own study does, whoever works it out, and errors stop nothing."""

import os
from pathlib import Path

import pytest

from retrofit_lab.advice import Advice
from retrofit_lab.measures.catalogue import MeasureError, measure_named
from retrofit_lab.portfolio.answer import Question, answer_rows
from retrofit_lab.portfolio.engines import EngineError, cluster, processes
from retrofit_lab.portfolio.run import study_portfolio
from retrofit_lab.portfolio.table import house_of, read_table
from retrofit_lab.reference_data import data_path
from retrofit_lab.stacks.choosing import Limits
from retrofit_lab.study import Study

KEYS = ("attic_insulation", "duct_mastic", "night_setback", "tank_wrap", "led_lamps")
QUESTION = Question(limits=Limits(budget=2000.0), measures=KEYS)
ROWS = read_table(data_path("tables", "mill_row.csv"))
HERE = answer_rows(QUESTION, ROWS)


def end_this_process(task: int) -> int:
    os._exit(task)


def test_row_answers_as_its_own_study_does() -> None:
    for row, result in zip(ROWS, HERE, strict=True):
        measures = [measure_named(key) for key in KEYS]
        study = Study(house_of(row), measures=measures, folder=row.folder)
        proposal = Advice(study).best(QUESTION.limits)
        stack = study.stack(proposal.keys)
        assert result.answer is not None, result.error
        assert result.answer.best == stack.ticked
        assert result.answer.saving == stack.saved
        assert result.answer.cost.likely <= 2000.0
        assert result.answer.co2_saved == stack.before.co2 - stack.after.co2
        assert len(result.answer.cautions) == len(stack.cautions)
        assert result.answer.measures == len(study.keys)


def test_processes_give_the_same_rows_in_order_with_progress() -> None:
    told: list[tuple[int, int]] = []
    found = study_portfolio(
        ROWS, QUESTION, processes(2), lambda done, of: told.append((done, of)), chunk=3
    )
    assert found == HERE
    assert told[-1] == (len(ROWS), len(ROWS))
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert len(told) == 3


@pytest.mark.slow
def test_local_cluster_gives_the_same_rows() -> None:
    pytest.importorskip(
        "distributed", reason="Dask is not installed; install retrofit-lab[cluster]"
    )
    assert study_portfolio(ROWS, QUESTION, cluster(count=2), chunk=3) == HERE


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
    first, wrong, last = answer_rows(QUESTION, read_table(path))
    assert first.answer
    assert last.answer
    assert wrong.answer is None
    assert (wrong.line, wrong.name) == (3, "Elm 2")
    assert "no weather of 'nowhere'" in wrong.error
    assert "Width of the footprint: 900 ft must be 8 to 300" in wrong.error
    assert "\n" not in wrong.error


def test_house_that_the_model_trips_over_costs_no_other(monkeypatch) -> None:
    def trip(row):
        raise ZeroDivisionError("float division by zero")

    monkeypatch.setattr("retrofit_lab.portfolio.answer.house_of", trip)
    (result,) = answer_rows(QUESTION, ROWS[:1])
    assert result.answer is None
    assert "cannot be worked out (ZeroDivisionError: float division by zero)" in result.error


def test_stopped_process_and_no_process_are_told() -> None:
    with pytest.raises(EngineError, match=r"a process stopped before its houses were done"):
        list(processes(1)(end_this_process, [1]))
    with pytest.raises(EngineError, match=r"0 processes are asked for; must be 1 or more"):
        processes(0)


def test_unknown_measure_is_refused_before_any_work() -> None:
    with pytest.raises(MeasureError, match="no measure 'magic'"):
        Question(measures=("magic",))
    assert study_portfolio([], QUESTION) == ()
