"""A portfolio that is stopped leaves no process behind, loses no row, and goes on where it was."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from retrofit_lab.app.shared.results_file import ResultsError, ResultsFile, fingerprint
from retrofit_lab.command import main

MEASURES = "attic_insulation,night_setback"
RUN = """import signal
signal.signal(signal.SIGINT, signal.default_int_handler)
from retrofit_lab.command import main
raise SystemExit(main())"""
"""The command as a terminal starts it: a shell that runs the tests in the background has SIGINT ignored below it."""
COUNT = 40
LONGEST = 120.0
"""Bound after which a hang ends a test. [s]"""
posix = pytest.mark.skipif(os.name != "posix", reason="sends signals as terminals do")


def table(folder: Path) -> Path:
    rows = "".join(f"Elm {n},greensboro_nc,{24 + n % 9}\n" for n in range(COUNT))
    path = folder / "table.csv"
    path.write_text("name,climate,width\n" + rows, encoding="utf-8")
    return path


def command(folder: Path) -> list[str]:
    out = str(folder / "results.csv")
    return ["portfolio", str(table(folder)), "--measures", MEASURES, "--cores", "2", "--out", out]


def started(folder: Path) -> subprocess.Popen:
    """The command in a session of its own, once some rows are written."""
    run = subprocess.Popen(
        [sys.executable, "-c", RUN, *command(folder)],
        stderr=subprocess.PIPE, start_new_session=True,
    )  # fmt: skip
    part = folder / "results.csv.part"
    until(lambda: part.exists() and part.read_bytes().count(b"Elm") >= 3)
    return run


def until(condition) -> None:
    end = time.monotonic() + LONGEST
    while not condition():
        assert time.monotonic() < end, "it did not come about"
        time.sleep(0.02)


@posix
@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP", "SIGKILL"])
def test_stopped_command_leaves_no_process_and_goes_on_where_it_was(
    tmp_path: Path, capsys, name: str
) -> None:
    number = getattr(signal, name)
    run = started(tmp_path)
    family = psutil.Process(run.pid).children(recursive=True)
    assert len(family) >= 2
    os.killpg(run.pid, number) if number == signal.SIGINT else run.send_signal(number)
    _, said = run.communicate(timeout=LONGEST)
    until(lambda: not any(member.is_running() and member.status() != "zombie" for member in family))
    if name != "SIGKILL":
        assert run.returncode == 130
        assert b"Traceback" not in said
        assert b"the same command goes on from there" in said
    kept = (tmp_path / "results.csv.part").read_bytes()
    assert not (tmp_path / "results.csv").exists()
    assert 3 <= kept.count(b"Elm") < COUNT

    assert main(command(tmp_path)) == 0
    assert "going on from there" in capsys.readouterr().err
    whole = (tmp_path / "results.csv").read_bytes()
    assert not (tmp_path / "results.csv.part").exists()
    lines = whole.decode().splitlines()
    assert [line.split(",")[1] for line in lines[1:]] == [f"Elm {n}" for n in range(COUNT)]
    assert kept.split(b"\r\n", 1)[1].rpartition(b"\r\n")[0] in whole


def test_row_that_was_cut_off_is_written_again(tmp_path: Path) -> None:
    path = tmp_path / "results.csv"
    with ResultsFile(path, ("a", "b"), "one") as first:
        first.add([(1, "x"), (2, "y")])
    with first.part.open("ab") as file:
        file.write(b"3,half a ro")
    with ResultsFile(path, ("a", "b"), "one") as again:
        assert again.done == 2
        again.add([(3, "z")])
        again.finish()
    assert path.read_bytes() == b"a,b\r\n1,x\r\n2,y\r\n3,z\r\n"
    assert not again.part.exists()


def test_answers_to_another_question_are_not_gone_on_with(tmp_path: Path) -> None:
    path = tmp_path / "results.csv"
    with ResultsFile(path, ("a",), fingerprint("one")) as first:
        first.add([(1,)])
    with pytest.raises(ResultsError, match="answers to another question"):
        ResultsFile(path, ("a",), fingerprint("two"))
    assert b"1\r\n" in first.part.read_bytes()


def test_place_that_cannot_be_written_is_told_before_any_work(tmp_path: Path, capsys) -> None:
    out = tmp_path / "missing" / "results.csv"
    assert main(["portfolio", str(table(tmp_path)), "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert "cannot be written (No such file or directory)" in said
    assert "houses" not in said
    assert main(["portfolio", str(table(tmp_path)), "--out", str(tmp_path)]) == 2
    assert "this is a folder" in capsys.readouterr().err


def test_older_results_stay_until_the_new_ones_are_whole(tmp_path: Path) -> None:
    path = tmp_path / "results.csv"
    path.write_text("older", encoding="utf-8")
    with ResultsFile(path, ("a",), "one") as results:
        results.add([(1,)])
        assert path.read_text(encoding="utf-8") == "older"
        results.finish()
    assert path.read_bytes() == b"a\r\n1\r\n"
