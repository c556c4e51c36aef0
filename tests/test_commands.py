"""The commands of the README and of CI: a failure is told at the end, and stops nothing."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest
import served_page

ROOT = Path(__file__).parents[1]
STAND_IN = """#!/usr/bin/env bash
echo "$(basename "$0") $*" >> asked
if [ -n "$FAILS" ] && [[ "$(basename "$0") $*" == *"$FAILS"* ]]; then exit 3; fi
"""
MAIN, BUDGETS = "--ignore tests/benchmarks", "pytest tests/benchmarks"
"""What marks the run of the tests and the run of the budgets among what is asked of Python."""


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A checkout in which Python and the tools only write down what they are asked."""
    for name in (".ci/run", "tests/run"):
        (tmp_path / name).parent.mkdir()
        shutil.copy(ROOT / name, tmp_path / name)
    tools = tmp_path / ".venv" / "bin"
    tools.mkdir(parents=True)
    for name in ("python", "ruff", "mypy"):
        (tools / name).write_text(STAND_IN)
        (tools / name).chmod(0o755)
    scripts = tmp_path / "tests" / "js" / "node_modules" / ".bin"
    scripts.mkdir(parents=True)
    for path in (scripts / "tsc", scripts / "eslint", tools / "npm"):
        path.write_text(STAND_IN)
        path.chmod(0o755)
    return tmp_path


def run(checkout: Path, command: str, *arguments: str, fails: str = "") -> tuple[int, str]:
    """Exit status of a command, and all that it asked for."""
    tools = f"{checkout / '.venv' / 'bin'}{os.pathsep}{os.environ['PATH']}"
    environment = {**os.environ, "CHROMIUM": "none", "FAILS": fails, "PATH": tools}
    done = subprocess.run(
        ["bash", command, *arguments],
        cwd=checkout,
        env=environment,
        check=False,
        capture_output=True,
    )
    return done.returncode, (checkout / "asked").read_text()


@pytest.mark.parametrize("fails", ["", MAIN, BUDGETS])
def test_tests_and_budgets_both_run_and_a_failure_is_told(checkout: Path, fails: str) -> None:
    status, asked = run(checkout, "tests/run", fails=fails)
    assert asked.index(MAIN) < asked.index(BUDGETS)
    assert (status == 0) == (not fails)


def test_arguments_go_to_pytest_alone(checkout: Path) -> None:
    status, asked = run(checkout, "tests/run", "tests/model", "-k", "balance", fails="-k balance")
    assert "python -m pytest tests/model -k balance\n" in asked
    assert BUDGETS not in asked
    assert status == 3


@pytest.mark.parametrize(
    "fails", ["", MAIN, "ruff check", "ruff format", "mypy", "npm ci", "tsc -p", "eslint --config"]
)
def test_ci_runs_all_and_a_failure_is_told(checkout: Path, fails: str) -> None:
    status, asked = run(checkout, ".ci/run", fails=fails)
    tools = ("ruff check .", "ruff format --check .", "mypy", "npm ci", "tsc -p", "eslint --config")
    for wanted in (MAIN, BUDGETS, *tools):
        assert wanted in asked
    assert (status == 0) == (not fails)


def test_missing_browser_fails_in_ci_and_skips_elsewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr(served_page, "BROWSERS", ("no-such-browser",))
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="no Chromium here"):
        served_page.browser_path()
    monkeypatch.delenv("CI")
    with pytest.raises(pytest.skip.Exception, match="no Chromium here"):
        served_page.browser_path()
