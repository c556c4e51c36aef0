"""A page that is stopped by Ctrl-C ends with what it had begun, and says nothing that frightens."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import psutil
import pytest

RUN = """import signal
signal.signal(signal.SIGINT, signal.default_int_handler)
from retrofit_lab.command import main
raise SystemExit(main())"""
"""The command as a terminal starts it: a shell that runs the tests in the background has SIGINT ignored below it."""
LONGEST = 60.0
"""Bound after which a hang ends the test. [s]"""


@pytest.mark.skipif(os.name != "posix", reason="sends signals as terminals do")
@pytest.mark.parametrize("everybody", [True, False])
def test_ctrl_c_ends_the_page_without_an_error(tmp_path: Path, *, everybody: bool) -> None:
    """As from a terminal, where all processes are told, and from another program, where only the first is."""
    run = subprocess.Popen(
        [sys.executable, "-c", RUN, "serve", "--no-browser", "--port", "0"],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, start_new_session=True, cwd=tmp_path,
    )  # fmt: skip
    assert run.stdout is not None
    assert "The kitchen table is at http" in run.stdout.readline()
    family = psutil.Process(run.pid).children(recursive=True)
    assert family
    os.killpg(run.pid, signal.SIGINT) if everybody else run.send_signal(signal.SIGINT)
    said, _ = run.communicate(timeout=LONGEST)
    assert "Fatal" not in said
    assert "Traceback" not in said
    assert psutil.wait_procs(family, timeout=LONGEST)[1] == []
