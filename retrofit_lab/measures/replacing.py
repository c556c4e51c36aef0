"""Equipment that must be replaced anyway: what its like costs, and which measures make that purchase needless."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import Value
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import number_at, with_numbers
from retrofit_lab.measures.catalog import Measure, MeasureError
from retrofit_lab.measures.selecting import select
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import told

_YEAR = re.compile(r"(?:19|20)\d\d")


@dataclass(frozen=True, slots=True, kw_only=True)
class Like:
    """New equipment of the same kind: ``price`` [dollars], ``life`` [year], and the least rating that is sold."""

    key: str
    where: str
    field: str
    least: float
    price: float
    life: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """Equipment whose usual life is over: a suggestion, which counts only when someone takes it up."""

    path: str
    label: str
    made: int
    age: float
    life: float

    @property
    def sentence(self) -> str:
        """The suggestion in words."""
        return told(
            "due.sentence",
            label=Word("part", self.label, self.label),
            made=self.made,
            age=f"{self.age:.0f}",
            life=f"{self.life:.0f}",
            path=self.path,
        )


@cache
def likes() -> tuple[Like, ...]:
    """Every kind of equipment that is replaced by its like."""
    return tuple(
        Like(
            key=row["key"],
            where=row["where"],
            field=row["field"],
            least=float(row["least"] or 0.0),
            price=float(row["likely"]),
            life=float(row["life"]),
        )
        for row in read_rows("like_for_like.csv")
    )


def equipment(house: House) -> Mapping[str, Like]:
    """Equipment of a house that can be replaced by its like, by path."""
    return {path: like for like in likes() for path in select(house, like.where)}


def check_replaced(house: House, paths: Sequence[str]) -> None:
    """Refuse what is not equipment of this house.

    Raises
    ------
    MeasureError
        Naming what could be meant.
    """
    known = equipment(house)
    for path in paths:
        if path not in known:
            raise MeasureError(
                told("replacing.no_equipment", path=path, known=", ".join(known) or "none")
            )


def with_likes(house: House, paths: Sequence[str]) -> House:
    """House in which some equipment is new, of the same kind and at least as good as what is sold at the least."""
    known, values = equipment(house), dict[str, Value]()
    for path in paths:
        like = known[path]
        if like.field and float(number_at(house, f"{path}.{like.field}")) < like.least:
            values[f"{path}.{like.field}"] = like.least
    return with_numbers(house, values) if values else house


def replacing(house: House, measures: Sequence[Measure], path: str) -> tuple[str, ...]:
    """Keys of the measures that take the place of a piece of equipment."""
    return tuple(m.key for m in measures if any(path in select(house, w) for w in m.replaces))


def due_for_replacement(house: House, year: float) -> Iterator[Due]:
    """Equipment older than its usual life, where its year is known.

    Parameters
    ----------
    house : House
        House as found.
    year : float
        The year of the visit.
    """
    for path, like in equipment(house).items():
        record = number_at(house, path)
        found = _YEAR.search(getattr(record, "made", ""))
        age = year - float(found.group()) if found else 0.0
        if found and age > like.life:
            yield Due(
                path=path,
                label=getattr(record, "label", path),
                made=int(found.group()),
                age=age,
                life=like.life,
            )
