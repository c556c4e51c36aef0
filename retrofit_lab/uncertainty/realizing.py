"""Share of a worked-out saving that comes about in real houses, by kind of measure; no house is drawn here.

What each published study measures, and which part of it is counted here:

* Fowlie, Greenstone and Wolfram 2015 (authors' account, read), weatherization of more than 30,000 offered
  households in Michigan: 39 % of the predicted saving. The prediction came from a model that was not fitted to
  use, so its gap holds three parts: use before the work that was worked out too high, workmanship, and people.
* Christensen, Francisco, Myers and Souza 2023 (abstract, read), weatherization in Illinois: of such a gap up to
  41 % is the model (most of it insulation of walls), 43 % how differently well the work was done, 6 % warmer
  rooms. Of a gap of 61 % workmanship and warmth are 30 %: about 0.7 comes about of what a right model says. It
  holds for an envelope in a house fitted to its bills; without bills a part of the model's error remains.
* Berry and Gettings 1998 (abstract, read), 49 homes in New York State: 57 to 69 %, by how good the data were;
  the strongest cause were stoves and heaters that no bill showed, which fitted bills would have shown.
* Sunikka-Blank and Galvin 2012 (university news, read): homes that are worked out to use most use far less, and
  some retrofits bring "only half the expected savings". This is use before the work. The level of use is held
  to a survey of real homes, so only what single homes differ by remains, and it is drawn with the house.
* The national evaluation of weatherization (Department of Energy reply 2015, read): 1.4 times the cost in energy
  benefits; it has no predicted savings and bounds the share from below only.
* Malinick, Wilairat, Holmes, Perry and Ware (abstract, read): two thirds of those who got a thermostat with a
  program had set theirs back by hand before, so that most of the expected saving never came; Peffer and others
  2011 (abstract, read): nearly half do not use the program. Hence `habits` from a tenth to all, half likeliest.
* Burlig, Knittel, Rapson, Reguant and Wolfram 2020 (abstract of 2017, read), schools: machines and lighting did
  better than the rest. Light bulbs and machines that replace a like one leave least to workmanship; their triangles
  are judgment, as are those of hot water.

The corners are judgment between these numbers. Sources stand here in place of the table, whose column names them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.base.records import check_word
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.sums import over_last
from retrofit_lab.base.values import FloatArray
from retrofit_lab.measures.catalog import Measure, vocabulary
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.uncertainty.even_points import place_of
from retrofit_lab.uncertainty.triangle import Triangle

IN_COMMON = 0.5
"""Share of the spread that all kinds have in common: the same people and the same trades. [1] (judgment)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Realized:
    """Share of the saving of one kind of measure that comes about, without bills and with fitted ones. [1]"""

    kind: str
    tags: frozenset[str]
    plain: Triangle
    billed: Triangle


@cache
def realized_kinds() -> tuple[Realized, ...]:
    """All kinds in the order of ``data/realized.csv``."""
    return tuple(map(_kind, read_rows("realized.csv")))


def _kind(row: Mapping[str, str]) -> Realized:
    for tag in row["tags"].split():
        check_word(tag, vocabulary("tag"), f"data/realized.csv, kind '{row['kind']}': tags")
    return Realized(
        kind=row["kind"],
        tags=frozenset(row["tags"].split()),
        plain=_triangle(row, ""),
        billed=_triangle(row, "_billed"),
    )


def _triangle(row: Mapping[str, str], which: str) -> Triangle:
    low, likely, high = (float(row[f"{corner}{which}"]) for corner in ("low", "likely", "high"))
    return Triangle(low=low, likely=likely, high=high)


def kind_of(measure: Measure) -> Realized:
    """Kind of a measure: the first one that has a tag of it, the last where none has."""
    kinds = realized_kinds()
    return next((kind for kind in kinds if kind.tags & set(measure.tags)), kinds[-1])


def shares_drawn(
    offers: Sequence[Offer], people: FloatArray, own: Mapping[str, FloatArray], *, billed: bool
) -> FloatArray:
    """Share of the saving of each measure that comes about in each draw.

    Parameters
    ----------
    offers : sequence of Offer
        Measures.
    people : ndarray, shape (draws,)
        What all kinds have in common, at places of a normal distribution.
    own : mapping
        The same of each kind by itself.
    billed : bool
        Whether the house is fitted to its bills.

    Returns
    -------
    ndarray, shape (draws, offers)
        [1]
    """
    found: dict[str, FloatArray] = {}
    for kind in dict.fromkeys(kind_of(offer.measure) for offer in offers):
        normal = np.sqrt(IN_COMMON) * people + np.sqrt(1.0 - IN_COMMON) * own[kind.kind]
        found[kind.kind] = (kind.billed if billed else kind.plain).at(place_of(normal))
    columns = [found[kind_of(offer.measure).kind] for offer in offers]
    return np.column_stack(columns) if columns else np.ones((len(people), 0))


def come_about(saved: FloatArray, alone: FloatArray, share: FloatArray) -> FloatArray:
    """What comes about of the saving of a set in each draw; what a measure costs more is certain.

    The gain of the set, its saving before what some of its measures cost more, is shared over the
    measures as what each saves by itself in the house as described.

    Parameters
    ----------
    saved : ndarray, shape (draws,)
        Worked-out saving of the set. [dollars/year]
    alone : ndarray, shape (offers,)
        What each measure of the set saves by itself, zero for the others. [dollars/year]
    share : ndarray, shape (draws, offers)
        Share of it that comes about. [1]
    """
    gains, costs = np.maximum(alone, 0.0), -float(over_last(np.minimum(alone, 0.0)))
    whole = float(over_last(gains))
    if whole == 0.0:
        return saved
    missing = 1.0 - over_last(share * (gains / whole))
    return np.asarray(saved - np.maximum(saved + costs, 0.0) * missing)
