"""How many open pages the memory of this machine holds, and what a class of them takes; starts nothing."""

import os
from dataclasses import dataclass
from pathlib import Path

import psutil

from retrofit_lab.app.serve.listening import pages_within
from retrofit_lab.app.serve.wording import gigabytes, span
from retrofit_lab.base.values import InputError
from retrofit_lab.texts.english_only import sentence

PAGE_MB = 140.0
"""Memory of an open page with measures ticked and every question opened [MB]; ``tests/benchmarks/class_rows.py``."""
FRESH_MB = 70.0
"""Memory of a page that is ready for a visitor. [MB] Measured by the same."""
RESERVE_MB = 1000.0
"""Memory left to the server itself, the browser and the rest of the machine [MB]; judgment."""
PAGE_SECONDS = 2.0
"""Time of one core until a page is ready [s]; measured by the same, on a machine with two cores."""
USUAL_PAGES = 8
"""Pages open at once where no class is expected: a few on one table, with room for pages left behind."""
SPARE_PAGES = 2
"""Pages beyond the class, so that one who loads again finds one ready."""
LARGEST_CLASS = 200
CONTROL_GROUP = Path("/sys/fs/cgroup")


class CapacityError(InputError):
    """More pages than this machine can hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """How many pages may be open at once, and how many of them are made ready ahead."""

    most: int
    ready: int = 0


def free_megabytes() -> float:
    """Memory that programs can still take, of the machine or of the container if that is less. [MB]"""
    free = float(psutil.virtual_memory().available)
    limit, used = (_control_group_bytes(name) for name in ("memory.max", "memory.current"))
    if limit is not None and used is not None:
        free = min(free, limit - used)
    return free / 1e6


def cores() -> int:
    """Cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _control_group_bytes(name: str) -> float | None:
    try:
        return float((CONTROL_GROUP / name).read_text(encoding="ascii"))
    except (OSError, ValueError):
        return None


def pages_that_fit(free: float) -> int:
    """Pages that free memory [MB] holds beside the reserve."""
    return max(int((free - RESERVE_MB) / PAGE_MB), 0)


def places_for(size: int | None, free: float) -> Places:
    """Places for a class of some size, or for a few visitors where none is given.

    Raises
    ------
    CapacityError
        Saying how many would fit in the free memory. [MB]
    """
    fit = pages_that_fit(free)
    if size is None:
        return Places(most=max(min(USUAL_PAGES, fit), 1))
    if not 1 <= size <= LARGEST_CLASS:
        raise CapacityError(sentence("serve_capacity.class_cannot", size=size, most=LARGEST_CLASS))
    most = size + SPARE_PAGES
    if most > fit:
        raise CapacityError(_too_many(size, most, free, max(fit - SPARE_PAGES, 0)))
    return Places(most=most, ready=most)


def within_files(places: Places, files: int) -> Places:
    """Places whose files can be open at once too.

    Raises
    ------
    CapacityError
        When a class needs more files than this process may open.
    """
    fit = pages_within(files)
    if places.ready and fit < places.most:
        raise CapacityError(
            sentence(
                "serve_capacity.pages_need",
                most=places.most,
                files=files,
                fit=fit,
                size=max(fit - SPARE_PAGES, 1),
            )
        )
    return Places(most=min(places.most, fit), ready=places.ready)


def _too_many(size: int, most: int, free: float, fit: int) -> str:
    way = sentence("serve_capacity.give_class", fit=fit) if fit else "close other programs"
    return sentence(
        "serve_capacity.class_may",
        size=size,
        memory=gigabytes(most * PAGE_MB),
        free=gigabytes(free),
        reserve=gigabytes(RESERVE_MB),
        fit=fit,
        way=way.capitalize(),
    )


def class_sentences(size: int, places: Places, free: float) -> list[str]:
    """What a trainer is told before a class: places, memory, and time until all are ready."""
    seconds = places.ready * PAGE_SECONDS / cores()
    return [
        sentence("serve_capacity.class_pages", size=size, most=places.most, spare=SPARE_PAGES),
        sentence(
            "serve_capacity.they_take",
            first=gigabytes(places.most * FRESH_MB),
            most=gigabytes(places.most * PAGE_MB),
            free=gigabytes(free),
        ),
        sentence("serve_capacity.making_all", wait=span(seconds)),
    ]
