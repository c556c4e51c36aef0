"""Reads bids of contractors from a table and works out what the chosen work is worth at those prices."""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from retrofit_lab.base.values import InputError
from retrofit_lab.money.worth import calculable, savings_to_investment_ratio, simple_payback
from retrofit_lab.proposals.recommend import Step
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study

FIXED = ("measure", "title", "estimate")
"""First columns of the file of bids; every further column is a bidder."""
MOST_BYTES = 200_000
MOST_BIDDERS = 6
MOST_PRICE = 1_000_000.0


class BidError(InputError):
    """A file of bids that cannot be used; names file, row, value, rule and way out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bid:
    """One bidder: prices by measure [dollars], and what the whole set is worth at them.

    Lines that the bidder left ``open`` count at the estimate.
    """

    bidder: str
    prices: Mapping[str, float]
    open: tuple[str, ...]
    total: float
    payback: float
    sir: float | None
    net_savings: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BidTable:
    """All bidders, in the order of the file."""

    bids: tuple[Bid, ...]


def compare_bids(
    study: Study,
    result: PlanResult,
    steps: Sequence[Step],
    offered: Mapping[str, Mapping[str, float]],
) -> BidTable:
    """Economics of the chosen set at the prices of each bidder.

    Parameters
    ----------
    study : Study
        House, prices and terms.
    result : PlanResult
        The chosen set.
    steps : sequence of Step
        Its measures in order.
    offered : mapping of str to mapping of str to float
        Prices by bidder and measure. [dollars]
    """
    return BidTable(
        bids=tuple(_bid(study, result, steps, name, prices) for name, prices in offered.items())
    )


def _bid(
    study: Study,
    result: PlanResult,
    steps: Sequence[Step],
    bidder: str,
    prices: Mapping[str, float],
) -> Bid:
    bought = study.money.prices_of(study.mask(result.ticked))
    shared = dict(
        zip(study.keys, study.money.purchases.with_shared_visits(bought).tolist(), strict=True)
    )
    whole = {step.key: prices.get(step.key, shared[step.key]) for step in steps}
    alone = dict(zip(study.keys, bought.tolist(), strict=True))
    # a line is for the work within this job; done again some day it pays its own visit
    offered = np.array([whole[k] + alone[k] - shared[k] if k in whole else 0.0 for k in study.keys])
    present, estimated = (float(study.money.purchases.present_cost(p)) for p in (offered, bought))
    worth = result.net_savings + estimated
    total = float(study.money.purchases.first_cost(offered))
    return Bid(
        bidder=bidder,
        prices=whole,
        open=tuple(step.key for step in steps if step.key not in prices),
        total=total,
        payback=float(simple_payback(total, result.saved)),
        sir=calculable(float(savings_to_investment_ratio(worth, present))),
        net_savings=worth - present,
    )


def read_bids(path: Path, known: Sequence[str]) -> dict[str, dict[str, float]]:
    """Prices by bidder and measure from a CSV whose first columns are those of `FIXED`.

    Raises
    ------
    BidError
        When the file cannot be used.
    """
    rows = _rows(path)
    heads = [name.strip() for name in rows[0]] if rows else []
    bidders = heads[len(FIXED) :]
    _check_heads(path, heads, bidders)
    offered: dict[str, dict[str, float]] = {bidder: {} for bidder in bidders}
    for number, row in enumerate(rows[1:], 2):
        key = row[0].strip() if row else ""
        if not key:
            continue
        if key not in known:
            raise BidError(
                f"{path.name}, row {number}: there is no measure '{key}' in the recommended work; known "
                f"are {', '.join(known)}. Fix the first column."
            )
        for bidder, cell in zip(bidders, row[len(FIXED) :], strict=False):
            if cell.strip():
                offered[bidder][key] = _price(path, number, bidder, cell)
    return {bidder: prices for bidder, prices in offered.items() if prices}


def has_bids(path: Path) -> bool:
    """Whether there is a file of bids into which somebody has typed something."""
    try:
        rows = _rows(path)
    except BidError:
        return path.exists()
    return any(cell.strip() for row in rows[1:] for cell in row[len(FIXED) :])


def _rows(path: Path) -> list[list[str]]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BidError(f"{path.name}: larger than {MOST_BYTES:,} bytes. Choose another file.")
        with path.open(newline="", encoding="utf-8-sig") as file:
            return list(csv.reader(file))
    except FileNotFoundError:
        raise BidError(f"{path.name}: there is no such file. Check the name.") from None
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise BidError(f"{path.name}: cannot be read ({error}). Save it as CSV, UTF-8.") from error


def _check_heads(path: Path, heads: Sequence[str], bidders: Sequence[str]) -> None:
    if tuple(heads[: len(FIXED)]) != FIXED:
        raise BidError(
            f"{path.name}: the first columns must be {', '.join(FIXED)}. Start from the bids.csv that "
            f"the report wrote."
        )
    if not 1 <= len(bidders) <= MOST_BIDDERS or "" in bidders or len(set(bidders)) < len(bidders):
        raise BidError(
            f"{path.name}: one to {MOST_BIDDERS} further columns are needed, each headed by another "
            f"bidder's name. Add or rename them."
        )


def _price(path: Path, number: int, bidder: str, cell: str) -> float:
    text = cell.strip().lstrip("$").replace(",", "")
    try:
        price = float(text)
    except ValueError:
        price = -1.0
    if not 0 <= price <= MOST_PRICE:
        raise BidError(
            f"{path.name}, row {number}, {bidder}: '{cell}' is no price; must be 0 to "
            f"{MOST_PRICE:,.0f} dollars. Type a number, or leave the cell empty."
        )
    return price
