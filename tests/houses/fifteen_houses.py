"""The fifteen houses of the examples, each clean and with the hazards that a rater expects to find in it; no checks here."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.description import House
from retrofit_lab.house.file import load_house
from retrofit_lab.safety.hazards import hazards
from retrofit_lab.study.study import Study

FOLDER = Path(__file__).parent
CLEAN, HAZARDS = "clean", "hazards"
VARIANTS = (CLEAN, HAZARDS)


@cache
def expected() -> Mapping[str, Any]:
    """What a rater expects, as it was written down."""
    table = tomllib.loads((FOLDER / "expected.toml").read_text(encoding="utf-8"))
    return MappingProxyType(table)


@cache
def measures_since() -> Mapping[str, list[str]]:
    """Measures that came into the catalog since, by the jobs of the expectations that had none then."""
    table = tomllib.loads((FOLDER / "measures_since.toml").read_text(encoding="utf-8"))
    return MappingProxyType(table["measures"])


@cache
def differences() -> tuple[Mapping[str, Any], ...]:
    """Where something else came out, each argued."""
    table = tomllib.loads((FOLDER / "differences.toml").read_text(encoding="utf-8"))
    return tuple(table["difference"])


def houses() -> dict[str, Mapping[str, Any]]:
    """Expectations by the key of the house."""
    return {entry["key"]: entry for entry in expected()["house"]}


def clean_house(key: str) -> House:
    """The shipped example."""
    return load_house(data_path("houses", f"{key}.toml"))


def with_hazards(key: str) -> House:
    """The same house with the hazards recorded, and without what was recorded as settled of them."""
    house, words = clean_house(key), houses()[key]["hazards"]["words"]
    settled = {w for h in hazards().values() if set(h.tells) & set(words) for w in h.released_by}
    kept = tuple(word for word in house.observations if word not in settled)
    return replace(house, observations=(*kept, *words))


@cache
def study_of(key: str, variant: str) -> Study:
    """Study of one house, worked out once."""
    return Study(clean_house(key) if variant == CLEAN else with_hazards(key))
