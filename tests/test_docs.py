"""What the docs tell people to type works, and what they point to is there."""

import re
import shlex
import subprocess
from pathlib import Path

import pytest

from retrofit_lab.app.home import writing as home
from retrofit_lab.app.serve import serving
from retrofit_lab.app.walk import command as walkthrough
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.classroom.sheet_codes import sheet_code
from retrofit_lab.command import main

ROOT = Path(__file__).parents[1]
COMMANDS = ROOT / "notebooks/COMMANDS.md"
DOCS = [ROOT / "README.md", ROOT / "DEVELOPERS.md", ROOT / "notebooks/classroom/GUIDE.md", COMMANDS]
TYPED = re.compile(r"`(retrofit-lab [^`…]+)`|^ {4}(retrofit-lab .+)$", re.MULTILINE)
HOUSE = str(data_path("houses", "wren_cottage.toml"))
STANDS_FOR = {
    "[HOUSE or FOLDER]": HOUSE,
    "[HOUSE]": HOUSE,
    "HOUSE": HOUSE,
    "[TABLE.csv]": "table.csv",
    "KEY,KEY": "attic_insulation,duct_mastic",
    "FOLDER": "out",
    "--bills FILE": f"--bills {data_path('bills', 'wren_cottage.csv')}",
    "--prices FILE": f"--prices {data_path('prices', 'my_prices.toml')}",
    "--token-file FILE": "--token-file token.txt",
}
"""What a reader puts in place of the words in capitals; longer ones first."""

WITHOUT_ITS_PAGE = "retrofit-lab report HOUSE --plan KEY,KEY --out FOLDER"
"""The page at home takes longest of all here, and another report makes it."""


def read(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def commands() -> list[str]:
    found = [a or b for path in DOCS for a, b in TYPED.findall(read(path))]
    return sorted(set(found))


def filled_in(command: str) -> list[str]:
    for words, meant in STANDS_FOR.items():
        command = re.sub(rf"(?<!\S){re.escape(words)}(?!\S)", lambda _, m=meant: m, command)
    assert not re.search(r"\b[A-Z]{3,}\b", command.replace(HOUSE, "")), command
    return shlex.split(command)[1:]


def test_docs_name_the_main_commands() -> None:
    assert WITHOUT_ITS_PAGE in commands()
    named = {command.split()[1] for command in commands()}
    assert named == {
        "serve",
        "check",
        "savings",
        "report",
        "portfolio",
        "scenario",
        "walk",
        "weather",
        "job",
        "lesson-sheet",
    }


@pytest.fixture
def at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder as a reader has it; servers are started as far as their last step."""
    (tmp_path / "token.txt").write_text("a" * 20)
    (tmp_path / "answers.csv").write_text("question,answer\n1,6\n")
    rows = read(data_path("tables", "mill_row.csv")).splitlines(keepends=True)
    (tmp_path / "table.csv").write_text("".join(rows[:5]))
    (tmp_path / "out").mkdir()
    (tmp_path / "out/house.toml").write_text(read(Path(HOUSE)))
    (tmp_path / "out/ann.csv").write_text(f"question,answer\nsheet,{sheet_code(7, 2)}\n1,6\n")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(serving, "serve", lambda options: 0 if options.house.exists() else 1)

    class Started:
        def __init__(self, command: list[str], env: dict[str, str]) -> None:
            assert command
            assert env

        def wait(self) -> int:
            return 0

    monkeypatch.setattr(walkthrough.subprocess, "Popen", Started)
    return tmp_path


@pytest.mark.parametrize("command", commands())
def test_command_works_as_written(
    command: str, at_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if command == WITHOUT_ITS_PAGE:
        monkeypatch.setattr(home, "home_html", lambda *_asked: "<!doctype html>")
    assert main(filled_in(command)) == 0
    if "--out out" in " ".join(filled_in(command)):
        assert any((at_home / "out").iterdir())


def test_every_option_that_is_told_exists(capsys: pytest.CaptureFixture[str]) -> None:
    known = set()
    for name in ("serve", "check", "savings", "report", "portfolio", "scenario", "walk", "job",
                 "lesson-sheet"):  # fmt: skip
        with pytest.raises(SystemExit):
            main([name, "--help"])
        known |= set(re.findall(r"--[a-z-]+", capsys.readouterr().out))
    for path in (DOCS[0], DOCS[2], COMMANDS):
        told = {
            o for code in re.findall(r"`[^`]*`", read(path)) for o in re.findall(r"--[a-z-]+", code)
        }
        assert told <= known, path.name


@pytest.mark.parametrize("path", DOCS, ids=lambda path: path.name)
def test_files_that_are_pointed_to_are_there(path: Path) -> None:
    text = read(path)
    for target in re.findall(r"\]\(([^)#]+)\)", text):
        assert "://" in target or (path.parent / target).exists(), target
    for script in re.findall(r"(?:python|bash) ((?:tests|data|\.ci)/[\w/.]+)", text):
        assert (ROOT / script).exists(), script
    for code in re.findall(r"`bash tests/run ([^`]+)`", text):
        for argument in (a for a in code.split() if a.startswith("tests/")):
            assert (ROOT / argument).exists(), argument


FILE = re.compile(r"(?<![\w./*])(?:[a-z_]+/)*[a-z][\w-]*\.(?:py|toml|js|csv)\b")
"""A file as DEVELOPERS.md names it: its path below some room. Names in capitals stand for a reader's own."""


def test_files_that_developers_are_told_of_are_there() -> None:
    text = read(ROOT / "DEVELOPERS.md")
    named = {file for span in re.findall(r"`([^`]+)`", text) for file in FILE.findall(span)}
    assert len(named) > 60
    rooms = ("retrofit_lab", "tests", "data", "binder")
    there = {
        f"/{p.relative_to(ROOT).as_posix()}" for room in rooms for p in (ROOT / room).rglob("*.*")
    }
    missing = [file for file in named if not any(path.endswith(f"/{file}") for path in there)]
    assert not missing


def test_scripts_that_are_told_can_be_read_by_python() -> None:
    told = set(re.findall(r"python ((?:tests|data)/[\w/.]+\.py)", read(DOCS[1])))
    assert len(told) >= 5
    for script in told:
        compile(read(ROOT / script), script, "exec")


def test_shell_scripts_are_sound() -> None:
    for script in ("tests/run", ".ci/run"):
        subprocess.run(["bash", "-n", script], check=True, cwd=ROOT)
