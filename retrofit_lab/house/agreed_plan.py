"""Reads the keys of a plan out of what the page hands on: its link, its saved file, or the keys; no catalog here.

>>> plan_keys("http://127.0.0.1:8460/?tick=wall_fill.attic_insulation&house=1a2b")
('wall_fill', 'attic_insulation')
>>> plan_keys("wall_fill, attic_insulation")
('wall_fill', 'attic_insulation')
"""

import json
import re
from dataclasses import replace
from typing import Any
from urllib.parse import parse_qs, urlsplit

from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.description import House
from retrofit_lab.house.intake import STATUSES
from retrofit_lab.texts.refusals import told

MOST_LETTERS = 20_000
AGREED = "agreed"
_KEYS = re.compile(r"[a-z0-9_]{1,80}(?:\s*[,.\s]\s*[a-z0-9_]{1,80})*")


def plan_keys(text: str) -> tuple[str, ...]:
    """Keys of the measures in a link of the page, in a plan that it saved, or in a list; each once.

    Raises
    ------
    HouseError
        When the text is none of these, or the plan is empty.
    """
    text = text.strip()
    if len(text) > MOST_LETTERS:
        raise HouseError(told("plan.letters", count=f"{len(text):,}", most=f"{MOST_LETTERS:,}"))
    found = _of_link(text) or _of_file(text) or _of_list(text)
    if not found:
        raise HouseError(told("plan.none"))
    return tuple(dict.fromkeys(found))


def with_plan(house: House, keys: tuple[str, ...]) -> House:
    """House whose job has an agreed plan; a job that has not come so far moves on to it, one without a plan back.

    Parameters
    ----------
    keys : tuple of str
        Keys of the measures; none takes the plan out.
    """
    reached, agreed = (STATUSES.index(word) for word in (house.job.status, AGREED))
    status = house.job.status
    if keys and reached < agreed:
        status = AGREED
    elif not keys and reached == agreed:
        status = STATUSES[agreed - 1]
    return replace(house, job=replace(house.job, plan=keys, status=status))


def _of_link(text: str) -> list[str]:
    try:
        asked = parse_qs(urlsplit(text).query)
    except ValueError:
        return []
    return [key for part in asked.get("tick", []) for key in part.split(".") if key]


def _of_file(text: str) -> list[str]:
    try:
        content: Any = json.loads(text)
        keys = content["ticked"]
    except (ValueError, RecursionError, KeyError, TypeError):
        return []
    good = isinstance(keys, list) and all(isinstance(key, str) for key in keys)
    return keys if good else []


def _of_list(text: str) -> list[str]:
    return re.split(r"[,.\s]+", text) if _KEYS.fullmatch(text) else []
