"""Kills the program at random moments and looks at what is left: ``python tests/kills/killing.py --count 500``.

Each kill is one that no program can answer, of the process alone, as when memory runs out. Afterwards no file may be
damaged, no answer that was confirmed may be lost, no process may go on, and no secret may lie about.
"""

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import psutil

from retrofit_lab.app.serve.serving import FOLDERS, remove_left_folders
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.house.keeping import versions_of

WREN = data_path("houses", "wren_cottage.toml")
TOKEN = "kills-token-of-more-than-sixteen"
WORKER = Path(__file__).with_name("worker.py")
ENDS_WITHIN = 30.0
"""Time in which everything that a killed process had begun must be gone. [s]"""


@dataclass
class Workers:
    """Processes that have read the program once and do a piece of work each time in one of their own, which is killed."""

    folder: Path
    process: "subprocess.Popen[str] | None" = None

    def killed(self, after: float, *work: str) -> list[str]:
        """Lines that a piece of work said until it was killed."""
        if self.process is None or self.process.poll() is not None:
            self.process = begun([str(WORKER)], self.folder, stdin=subprocess.PIPE)
        self.process.stdin.write(json.dumps(work) + "\n")
        self.process.stdin.flush()
        _, number = self._line().split()
        time.sleep(after)
        psutil.Process(int(number)).kill()
        said = []
        while (line := self._line()) != "gone" and self.process.poll() is None:
            said.append(line)
        if any("Traceback" in line for line in said):
            raise BrokenError(f"it failed by itself: {said[-1]}")
        return said

    def _line(self) -> str:
        return self.process.stdout.readline().strip()

    def stop(self) -> None:
        if self.process:
            self.process.kill()
            self.process.wait()
            self.process.stdin.close()
            self.process.stdout.close()


class BrokenError(AssertionError):
    """What was left after a kill."""


def begun(arguments: list[str], folder: Path, **options: Any) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, *arguments], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=folder, **options,
        env={**os.environ, "TMPDIR": str(folder / "tmp"), "XDG_STATE_HOME": str(folder / "state")},
    )  # fmt: skip


def killed(process: "subprocess.Popen[str]", after: float) -> None:
    """Kill a process after a time; all that it had begun is gone then."""
    time.sleep(after)
    family = psutil.Process(process.pid).children(recursive=True) if process.poll() is None else []
    process.kill()
    process.wait()
    left = psutil.wait_procs(family, timeout=ENDS_WITHIN)[1]
    for one in left:
        one.kill()
    if left:
        raise BrokenError(f"processes go on: {[' '.join(one.cmdline())[:80] for one in left]}")
    said = process.stdout.read()
    process.stdout.close()
    if "Traceback" in said:
        raise BrokenError(f"it failed by itself: {said.splitlines()[-1]}")


@cache
def _whole(path: Path, _changed: int, _size: int) -> None:
    load_house(path)


def whole_houses(folder: Path) -> None:
    """Every house in a folder can be read; what was looked at and has not changed since is not read again."""
    for path in folder.glob("*.toml"):
        if not path.name.endswith("photos.toml"):
            _whole(path, path.stat().st_mtime_ns, path.stat().st_size)


def save(chance: random.Random, folder: Path, workers: Workers) -> None:
    """Saving again and again, each time with a version."""
    path = folder / "h.toml"
    if not path.exists():
        save_house(load_house(WREN), path)
    said = workers.killed(chance.random() * 0.4, "save", str(path))
    whole_houses(folder)
    _last_confirmed(path, said)
    if any(line.isdigit() for line in said) and not versions_of(path):
        raise BrokenError("no version was kept")


def form(chance: random.Random, folder: Path, workers: Workers) -> None:
    """Answering on the walk."""
    path = folder / "h.toml"
    if not path.exists():
        save_house(load_house(WREN), path)
    said = workers.killed(chance.random() * 0.6, "form", str(path))
    whole_houses(folder)
    _last_confirmed(path, said)


def _last_confirmed(path: Path, said: list[str]) -> None:
    """The file holds the last answer that was confirmed, or the one after it, which nobody had heard of yet."""
    told = [line for line in said if line.isdigit()]
    if told:
        last = int(told[-1])
        found = int(load_house(path).size.bedrooms)
        if found not in (last, last % 9 + 1):
            raise BrokenError(f"the answer {last} is lost; the file has {found}")


def report(chance: random.Random, folder: Path, _workers: Workers) -> None:
    """Writing a report with its spreadsheet."""
    out = folder / "report"
    killed(
        begun(
            ["-m", "retrofit_lab.command", "report", str(WREN), "--out", str(out), "--xlsx"], folder
        ),
        chance.random() * chance.choice((2.0, 12.0)),
    )
    for path in out.rglob("*") if out.is_dir() else ():
        if path.suffix == ".html" and not path.read_text(encoding="utf-8").rstrip().endswith(
            "</html>"
        ):
            raise BrokenError(f"{path.name} is cut off")
        if path.suffix == ".csv" and not path.read_bytes().endswith(b"\n"):
            raise BrokenError(f"{path.name} is cut off")


def portfolio(chance: random.Random, folder: Path, _workers: Workers) -> None:
    """A table of houses, by processes."""
    out, table = folder / "out.csv", data_path("tables", "mill_row.csv")
    killed(
        begun(
            [
                "-m",
                "retrofit_lab.command",
                "portfolio",
                str(table),
                "--out",
                str(out),
                "--cores",
                "2",
            ],
            folder,
        ),
        chance.random() * 15.0,
    )
    part = folder / "out.csv.part"
    if out.exists() and part.exists():
        part.unlink()
    if out.exists() and not out.read_bytes().endswith(b"\n"):
        raise BrokenError("the table is cut off")


def school(chance: random.Random, folder: Path, _workers: Workers) -> None:
    """Serving a class to a network, with a token."""
    token = folder / "token.txt"
    token.write_text(TOKEN, encoding="utf-8")
    arguments = [
        "serve",
        str(WREN),
        "--lesson",
        "1",
        "--class",
        "1",
        "--listen",
        "0.0.0.0",
        "--token-file",
        str(token),
    ]
    killed(
        begun(["-m", "retrofit_lab.command", *arguments, "--no-browser", "--port", "0"], folder),
        chance.random() * 15.0,
    )
    own = tempfile.gettempdir()
    tempfile.tempdir = str(folder / "tmp")
    try:
        remove_left_folders()
    finally:
        tempfile.tempdir = own
    for path in (folder / "tmp").rglob("*"):
        if path.name.startswith(FOLDERS):
            raise BrokenError(f"{path.name} is left")
        if path.is_file() and TOKEN in path.read_text(encoding="utf-8", errors="replace"):
            raise BrokenError(f"{path.name} holds the token")


KINDS: dict[str, tuple[Callable[[random.Random, Path, Workers], None], int]] = {
    "save": (save, 260), "form": (form, 150), "report": (report, 50), "portfolio": (portfolio, 20), "class": (school, 20),
}  # fmt: skip
"""What is killed, and how often of 500."""


def kills(kind: str, count: int, seed: int) -> Iterator[str]:
    """What was broken by each of so many kills; empty where nothing was."""
    with tempfile.TemporaryDirectory(prefix="kills_") as name:
        folder = Path(name)
        (folder / "tmp").mkdir()
        workers = Workers(folder)
        try:
            for number in range(count):
                yield _one(kind, number, seed, workers)
        finally:
            workers.stop()


def _one(kind: str, number: int, seed: int, workers: Workers) -> str:
    try:
        KINDS[kind][0](random.Random(f"{kind} {seed} {number}"), workers.folder, workers)
    except (BrokenError, InputError, OSError, ValueError, psutil.Error) as error:
        return f"{kind} {number}: {error}"
    return ""


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=500)
    parser.add_argument("--seed", type=int, default=0)
    options = parser.parse_args()
    found: Counter[str] = Counter()
    print(f"{'killed':10s} {'times':>6s} {'broken':>7s}")
    for kind, (_, of_500) in KINDS.items():
        count = max(1, round(options.count * of_500 / 500))
        told = list(filter(None, kills(kind, count, options.seed)))
        found[kind] = len(told)
        print(f"{kind:10s} {count:6d} {len(told):7d}", flush=True)
        for line in told:
            print(f"  {line}", flush=True)
    return 1 if found.total() else 0


if __name__ == "__main__":
    sys.exit(main())
