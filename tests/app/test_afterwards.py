"""What follows a tick by a moment: in order, beside the page, dropped by the next tick, told when it fails."""

import asyncio
import os
import sys
import threading
from collections.abc import Callable
from typing import Any

import pytest
from waiting import LONGEST, until

from retrofit_lab.app.page.background import BEHIND, LET_GO, Afterwards, Piece

LAST_RANK = 19
"""The lowest priority that a system has. (steps of niceness)"""


def piece(work: Callable[[], Any], shown: list[Any]) -> Piece:
    return Piece(work=work, show=shown.append)


def test_without_a_loop_each_is_worked_out_at_once() -> None:
    shown: list[Any] = []
    Afterwards(lambda: None).begin({"a": piece(lambda: 1, shown), "b": piece(lambda: 2, shown)})
    assert shown == [1, 2]


def test_pieces_come_in_order_and_are_shown_where_the_page_lives() -> None:
    async def main() -> None:
        shown: list[Any] = []
        threads: list[str] = []

        def show(found: Any) -> None:
            threads.append(threading.current_thread().name)
            shown.append(found)

        def work() -> str:
            return threading.current_thread().name

        after = Afterwards(lambda: None)
        after.begin({"a": Piece(work=work, show=show), "b": Piece(work=lambda: 2, show=show)})
        assert shown == []
        await until(lambda: len(shown) == 2)
        assert shown[0].startswith("afterwards")
        assert shown[1] == 2
        assert set(threads) == {threading.current_thread().name}

    asyncio.run(main())


@pytest.mark.skipif(
    sys.platform != "linux", reason="threads have a rank of their own on Linux only"
)
def test_what_works_behind_the_page_ranks_after_a_tick() -> None:
    async def main() -> None:
        shown: list[Any] = []
        after = Afterwards(lambda: None)
        after.begin(
            {"a": piece(lambda: os.getpriority(os.PRIO_PROCESS, threading.get_native_id()), shown)}
        )
        await until(lambda: bool(shown))
        mine = os.getpriority(os.PRIO_PROCESS, threading.get_native_id())
        assert shown[0] == min(mine + BEHIND, LAST_RANK)
        assert sys.getswitchinterval() <= LET_GO

    before = sys.getswitchinterval()
    try:
        asyncio.run(main())
    finally:
        sys.setswitchinterval(before)


def test_next_tick_comes_in_meanwhile_and_drops_what_was_begun() -> None:
    async def main() -> None:
        shown: list[Any] = []
        begun, may_end = threading.Event(), threading.Event()

        def slow() -> str:
            begun.set()
            may_end.wait(LONGEST)
            return "old"

        after = Afterwards(lambda: None)
        after.begin({"a": piece(slow, shown), "b": piece(lambda: "old too", shown)})
        await until(begun.is_set)
        after.begin({"a": piece(lambda: "new", shown)})
        may_end.set()
        # they are worked out one after the other, so nothing is under way when the last is shown
        after.add({"z": piece(lambda: "last", shown)})
        await until(lambda: "last" in shown)
        assert shown == ["new", "last"]

    asyncio.run(main())


def test_question_asked_twice_is_answered_for_the_last_values() -> None:
    async def main() -> None:
        shown: list[Any] = []
        after = Afterwards(lambda: None)
        after.add({"a": piece(lambda: 1, shown)})
        after.add({"b": piece(lambda: 2, shown)})
        after.add({"a": piece(lambda: 3, shown)})
        after.drop("b")
        after.add({"z": piece(lambda: "last", shown)})
        await until(lambda: "last" in shown)
        assert shown == [3, "last"]

    asyncio.run(main())


def test_failure_is_told_and_the_others_follow(tmp_path, monkeypatch) -> None:
    monkeypatch.setenv("RETROFIT_LAB_LOG", str(tmp_path / "log"))
    told: list[str] = []

    def fail() -> None:
        raise ValueError("hidden")

    async def main(shown: list[Any]) -> None:
        after = Afterwards(lambda: told.append("failed"))
        after.begin({"a": piece(fail, shown), "b": piece(lambda: 2, shown)})
        await until(lambda: bool(shown))

    shown: list[Any] = []
    asyncio.run(main(shown))
    Afterwards(lambda: told.append("failed")).begin({"a": piece(fail, shown)})
    assert shown == [2]
    assert told == ["failed", "failed"]
