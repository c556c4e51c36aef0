"""Kills the form at random moments and looks for every answer: python tests/walkthrough/killed.py [--times 200] [--seed 1]

With --served the form, the page server or the browser of a phone is killed in turn, each at a random moment within
half a second after an answer; a Chromium is needed. A browser is killed once it shows the answer as kept: what is
still on its way from the keys to the page is nowhere yet. It prints how often each was killed and how many answers
were looked for.
"""

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE.parent / "browser"), str(HERE), str(HERE.parents[1])]

from kills import FILE, Killing, begun  # noqa: E402


def killed_forms(folder: Path, times: int, seed: int) -> str:
    """Kill the process of the form only."""
    killing = Killing(folder, random.Random(seed))
    for number in range(times):
        killing.turn(number)
    killing.look()
    return f"{times} kills, {killing.checked} answers looked for, none lost"


def killed_when_served(folder: Path, times: int, seed: int) -> str:
    """Kill form, server or browser of a served walk; what is missing is printed, and the run goes on."""
    from served_walk import FIELDS, ServedWalk

    chance, counted, lost = random.Random(seed), Counter(), 0
    walk = ServedWalk(folder)
    try:
        for _ in range(times):
            victim = chance.choice(("form", "server", "browser"))
            walk.killed.append(victim)
            counted[victim] += 1
            path, value = chance.choice(FIELDS), float(chance.randint(2, 20))
            walk.answer(path, value, wait=chance.random() < 0.5)
            if victim == "browser":
                walk.kept()
            time.sleep(chance.random() * 0.5)
            walk.kill(victim, signal.SIGKILL)
            lost += not looked(walk)
    finally:
        walk.stop()
    return f"\n{dict(counted)}, {walk.checked} answers looked for, {lost or 'none'} lost"


def looked(walk: Any) -> bool:
    """Whether every answer is there after a kill; what is missing is printed and not asked for again."""
    try:
        walk.look()
    except AssertionError as missing:
        print(f"\n{missing}", flush=True)
        walk.wanted = walk.on_disk()
        return False
    print(".", end="", flush=True)
    return True


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--served", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as held:
        begun(Path(held))
        assert (Path(held) / FILE).is_file()
        run = killed_when_served if options.served else killed_forms
        print(run(Path(held), options.times, options.seed), f"(process {os.getpid()})")
