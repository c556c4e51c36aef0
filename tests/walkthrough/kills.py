"""Answers a house while the form's process is killed again and again; whatever was answered must be there."""

import json
import random
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.house.file import load_house
from retrofit_lab.house.first_answers import default_answers
from retrofit_lab.house.paths import number_at

FILE = "plum_lane.toml"
ANSWERS = {**default_answers(), "name": "Plum Lane", "climate": "greensboro_nc"}
FORM = """
import sys, json
from pathlib import Path
from retrofit_lab.app.walk.widget import Walkthrough
form = Walkthrough(Path(sys.argv[1]), Path(sys.argv[1]) / "plum_lane.toml")
print("ready", flush=True)
for line in sys.stdin:
    message = json.loads(line)
    form._on_message(form, message, [])
    print("done" if message["id"] in form.said["done"] else "kept", flush=True)
"""
PATHS = (
    "size.bedrooms",
    "size.occupants",
    "size.floor_area",
    "leakage.flow",
    "surfaces.walls.r_label",
)


def begun(folder: Path) -> None:
    """A house that was just set up."""
    form = Walkthrough(folder)
    form._on_message(form, {"kind": "begin", "answers": ANSWERS, "file": ""}, [])


@dataclass
class Killing:
    """One house in a folder: what was answered so far, and by what chance."""

    folder: Path
    chance: random.Random
    wanted: dict[str, float] = field(default_factory=dict)
    checked: int = 0

    def turn(self, number: int) -> None:
        """Start the form, look whether all answers are there, answer some more, and kill it."""
        process = subprocess.Popen(
            [sys.executable, "-c", FORM, str(self.folder)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        self.look()
        unsure = self._answer(process, number)
        process.kill()
        process.wait()
        process.stdin.close()
        process.stdout.close()
        if unsure:
            self._send_again(*unsure)

    def look(self) -> None:
        """Every answer that was taken is in the file, or does not come back."""
        house = load_house(self.folder / FILE)
        for path, value in self.wanted.items():
            assert number_at(house, path) == value, path
            self.checked += 1

    def _answer(self, process: Any, turn: int) -> tuple[dict[str, str], str, float] | None:
        for number in range(self.chance.randint(1, 4)):
            path, value = self.chance.choice(PATHS), float(self.chance.randint(2, 6))
            value *= 300.0 if path in ("leakage.flow", "size.floor_area") else 1.0
            act = {"kind": "answer", "path": path, "text": str(value), "id": f"{turn}-{number}"}
            process.stdin.write(json.dumps(act) + "\n")
            process.stdin.flush()
            if self.chance.random() < 0.5:
                return act, path, value
            assert process.stdout.readline() == "done\n"
            self.wanted[path] = value
        return None

    def _send_again(self, act: dict[str, str], path: str, value: float) -> None:
        """What the browser has not heard of it sends again."""
        form = Walkthrough(self.folder, self.folder / FILE)
        form._on_message(form, act, [])
        assert form.said["done"] == [act["id"]]
        self.wanted[path] = value
