"""Saves or answers without end in a process that will be killed; its own part is to have read the program only once.

A line of its input names the work. Where the system can, a copy of this process does it and this one waits for the
next line; elsewhere this one does it and ends with it.
"""

import itertools
import json
import os
import sys
import uuid
from collections.abc import Callable
from pathlib import Path

from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.house.editing import with_answer
from retrofit_lab.house.file import load_house
from retrofit_lab.house.keeping import keep_house


def save(path: str) -> Callable[[str], bool]:
    """Saves a number with a version."""
    house = load_house(path)

    def once(value: str) -> bool:
        keep_house(with_answer(house, "size.bedrooms", value, str(Path(path).parent)), path)
        return True

    return once


def form(path: str) -> Callable[[str], bool]:
    """Answers on the walk, and says whether that was confirmed."""
    walk, mark = Walkthrough(Path(path).parent, Path(path)), uuid.uuid4()
    numbers = itertools.count()

    def once(value: str) -> bool:
        act = {
            "kind": "answer",
            "path": "size.bedrooms",
            "text": value,
            "id": f"{mark}-{next(numbers)}",
        }
        walk._on_message(walk, act, [])
        return bool(walk.said["done"])

    return once


WORK = {"save": save, "form": form}


def work(kind: str, path: str) -> None:
    once = WORK[kind](path)
    print("begun", os.getpid(), flush=True)
    for number in itertools.count():
        value = str(1 + number % 9)
        print(value if once(value) else "", flush=True)


def main() -> None:
    for line in sys.stdin:
        copy = os.fork() if hasattr(os, "fork") else 0
        if not copy:
            work(*json.loads(line))
        os.waitpid(copy, 0)
        print("gone", flush=True)


if __name__ == "__main__":
    main()
