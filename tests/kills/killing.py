"""Kills the program at random moments and looks at what is left: ``python tests/kills/killing.py --count 500``.

Each kill is one that no program can answer, of the process alone, as when memory runs out. Afterwards no file may be
damaged, no answer that was confirmed may be lost, no process may go on, and no secret may lie about.
"""

import argparse
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import psutil

from retrofit_lab.app.serve.serving import FOLDERS, remove_left_folders
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.house.keeping import versions_of

WREN = data_path("houses", "wren_cottage.toml")
TOKEN = "kills-token-of-more-than-sixteen"
SAVING = """
import sys
from pathlib import Path
from retrofit_lab.house.editing import with_answer
from retrofit_lab.house.file import load_house
from retrofit_lab.house.keeping import keep_house
path = Path(sys.argv[1])
house = load_house(path)
print("begun", flush=True)
for number in range(10**6):
    value = str(1 + number % 9)
    house = with_answer(house, "size.bedrooms", value, str(path.parent))
    keep_house(house, path)
    print(value, flush=True)
"""
ANSWERING = """
import sys, json
from pathlib import Path
from retrofit_lab.app.walk.widget import Walkthrough
path = Path(sys.argv[1])
form = Walkthrough(path.parent, path)
print("begun", flush=True)
for number in range(10**6):
    value = str(1 + number % 9)
    act = {"kind": "answer", "path": "size.bedrooms", "text": value, "id": f"{sys.argv[2]}-{number}"}
    form._on_message(form, act, [])
    print(value if form.said["done"] else "", flush=True)
"""
ENDS_WITHIN = 30.0
"""Time in which everything that a killed process had begun must be gone. [s]"""


class BrokenError(AssertionError):
    """What was left after a kill."""


def begun(arguments: list[str], folder: Path) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, *arguments], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=folder,
        env={**os.environ, "TMPDIR": str(folder / "tmp"), "XDG_STATE_HOME": str(folder / "state")},
    )  # fmt: skip


def killed(process: "subprocess.Popen[str]", after: float, until: str = "") -> list[str]:
    """Lines that a process said until it was killed; all that it had begun is gone then."""
    said = []
    while until and (line := process.stdout.readline()):
        said.append(line.strip())
        if until in line:
            break
    time.sleep(after)
    family = psutil.Process(process.pid).children(recursive=True) if process.poll() is None else []
    os.kill(process.pid, signal.SIGKILL) if process.poll() is None else None
    process.wait()
    left = psutil.wait_procs(family, timeout=ENDS_WITHIN)[1]
    for one in left:
        one.kill()
    if left:
        raise BrokenError(f"processes go on: {[' '.join(one.cmdline())[:80] for one in left]}")
    said += [line.strip() for line in process.stdout.read().splitlines()]
    process.stdout.close()
    if any("Traceback" in line for line in said):
        raise BrokenError(f"it failed by itself: {said[-1]}")
    return said


def whole_houses(folder: Path) -> None:
    for path in folder.glob("*.toml"):
        if not path.name.endswith("photos.toml"):
            load_house(path)


def save(chance: random.Random, folder: Path) -> None:
    """Saving again and again, each time with a version."""
    path = folder / "h.toml"
    if not path.exists():
        save_house(load_house(WREN), path)
    said = killed(begun(["-c", SAVING, str(path)], folder), chance.random() * 0.4, "begun")
    whole_houses(folder)
    _last_confirmed(path, said)
    if any(line.isdigit() for line in said) and not versions_of(path):
        raise BrokenError("no version was kept")


def form(chance: random.Random, folder: Path) -> None:
    """Answering on the walk."""
    path = folder / "h.toml"
    if not path.exists():
        save_house(load_house(WREN), path)
    mark = str(chance.random())
    said = killed(begun(["-c", ANSWERING, str(path), mark], folder), chance.random() * 0.6, "begun")
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


def report(chance: random.Random, folder: Path) -> None:
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


def portfolio(chance: random.Random, folder: Path) -> None:
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


def school(chance: random.Random, folder: Path) -> None:
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


KINDS: dict[str, tuple[Callable[[random.Random, Path], None], int]] = {
    "save": (save, 260), "form": (form, 150), "report": (report, 50), "portfolio": (portfolio, 20), "class": (school, 20),
}  # fmt: skip
"""What is killed, and how often of 500."""


def kills(kind: str, count: int, seed: int) -> Iterator[str]:
    """What was broken by each of so many kills; empty where nothing was."""
    with tempfile.TemporaryDirectory(prefix="kills_") as name:
        folder = Path(name)
        (folder / "tmp").mkdir()
        for number in range(count):
            try:
                KINDS[kind][0](random.Random(f"{kind} {seed} {number}"), folder)
            except (BrokenError, InputError, OSError, ValueError) as error:
                yield f"{kind} {number}: {error}"
            else:
                yield ""


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
