"""Reads bids of contractors from tables and works out what the chosen work is worth at those prices.

A table is either the list of all bids, a column for each bidder, or the page of one trade as the report wrote it,
as CSV or as a spreadsheet, with prices filled in.
"""

import csv
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from xml.etree.ElementTree import ParseError

import numpy as np

from retrofit_lab.base.values import InputError
from retrofit_lab.money.worth import calculable, savings_to_investment_ratio, simple_payback
from retrofit_lab.proposals.recommend import Step
from retrofit_lab.proposals.steps import Proposal
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study
from retrofit_lab.texts.refusals import told

FIXED = ("measure", "title", "estimate")
"""First columns of the file of bids; every further column is a bidder."""
BIDDER, LINE, PRICE = "bidder", "measure", "price"
"""Words of a trade's page that are alike in every language: who offers, the first and the last column."""
MOST_BYTES = 200_000
MOST_BIDDERS = 6
MOST_ROWS = 500
MOST_UNPACKED = 20_000_000
SPREADSHEET = ".xlsx"
MOST_PRICE = 1_000_000.0


class BidError(InputError):
    """A file of bids that cannot be used; names file, row, value, rule and way out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bid:
    """One bidder: prices by line [dollars], and what the whole set is worth at them.

    Lines that the bidder left ``open`` count at the estimate. ``total`` is that of the chosen measures, by which
    payback and worth go; ``beside`` that of what the house needs or the rater recommends beside them. [dollars]
    """

    bidder: str
    prices: Mapping[str, float]
    open: tuple[str, ...]
    total: float
    beside: float = 0.0
    payback: float
    sir: float | None
    net_savings: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BidTable:
    """All bidders, in the order of the file."""

    bids: tuple[Bid, ...]


def compare_bids(
    study: Study,
    proposed: Proposal,
    steps: Sequence[Step],
    offered: Mapping[str, Mapping[str, float]],
) -> BidTable:
    """Economics of the chosen set at the prices of each bidder.

    Parameters
    ----------
    study : Study
        House, prices and terms.
    proposed : Proposal
        The chosen set, and what stands beside it.
    steps : sequence of Step
        Its measures in order.
    offered : mapping of str to mapping of str to float
        Prices by bidder and line. [dollars]
    """
    beside = {step.key: step.cost.likely if step.cost else 0.0 for step in proposed.beside}
    bids = (
        _with_beside(_bid(study, proposed.result, steps, name, prices), prices, beside)
        for name, prices in offered.items()
    )
    return BidTable(bids=tuple(bids))


def _with_beside(bid: Bid, prices: Mapping[str, float], beside: Mapping[str, float]) -> Bid:
    """A bid with the lines that pay nothing back."""
    whole = {key: prices.get(key, estimate) for key, estimate in beside.items()}
    left = tuple(key for key in beside if key not in prices)
    return replace(
        bid, prices={**bid.prices, **whole}, open=(*bid.open, *left), beside=sum(whole.values())
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


def read_all_bids(paths: Iterable[Path], known: Sequence[str]) -> dict[str, dict[str, float]]:
    """Prices by bidder and measure from several files; what a bidder offers in several files goes together.

    Raises
    ------
    BidError
        When a file cannot be used.
    """
    offered: dict[str, dict[str, float]] = {}
    for path in paths:
        for bidder, prices in read_bids(path, known).items():
            offered.setdefault(bidder, {}).update(prices)
    return offered


def read_bids(path: Path, known: Sequence[str]) -> dict[str, dict[str, float]]:
    """Prices by bidder and measure from one file: all bids beside each other, or a trade's page with prices.

    Raises
    ------
    BidError
        When the file cannot be used.
    """
    rows = _rows(path)
    if rows and rows[0] and rows[0][0].strip().lower() == BIDDER:
        return _of_a_trade(path, rows, known)
    return _side_by_side(path, rows, known)


def _of_a_trade(
    path: Path, rows: Sequence[Sequence[str]], known: Sequence[str]
) -> dict[str, dict[str, float]]:
    """Prices of one bidder, whose name is in the first row or, where it does not, in the file's name."""
    bidder = next((cell.strip() for cell in rows[0][1:] if cell.strip()), path.stem)
    heads = [head.strip().lower() for head in rows[1]] if len(rows) > 1 else []
    if LINE not in heads or PRICE not in heads:
        raise BidError(told("bids.trade_columns", file=path.name, line=LINE, price=PRICE))
    line, price = heads.index(LINE), heads.index(PRICE)
    prices = {}
    for number, row in enumerate(rows[2:], 3):
        cell = row[price].strip() if len(row) > price else ""
        if cell:
            prices[_known(path, number, row[line].strip(), known)] = _price(
                path, number, bidder, cell
            )
    return {bidder: prices} if prices else {}


def _known(path: Path, number: int, key: str, known: Sequence[str]) -> str:
    """A key of the recommended work."""
    if key in known:
        return key
    raise BidError(
        told("bids.no_measure", file=path.name, number=number, key=key, known=", ".join(known))
    )


def _side_by_side(
    path: Path, rows: Sequence[Sequence[str]], known: Sequence[str]
) -> dict[str, dict[str, float]]:
    """Prices of several bidders from a table whose first columns are those of `FIXED`."""
    heads = [name.strip() for name in rows[0]] if rows else []
    bidders = heads[len(FIXED) :]
    _check_heads(path, heads, bidders)
    offered: dict[str, dict[str, float]] = {bidder: {} for bidder in bidders}
    for number, row in enumerate(rows[1:], 2):
        key = row[0].strip() if row else ""
        if not key:
            continue
        _known(path, number, key, known)
        for bidder, cell in zip(bidders, row[len(FIXED) :], strict=False):
            if cell.strip():
                offered[bidder][key] = _price(path, number, bidder, cell)
    return {bidder: prices for bidder, prices in offered.items() if prices}


def has_bids(path: Path) -> bool:
    """Whether there is a file of bids, or a trade's page, into which someone has typed something."""
    try:
        rows = _rows(path)
    except BidError:
        return path.exists()
    if rows and rows[0] and rows[0][0] == BIDDER:
        return any(rows[0][1:]) or any(row[-1].strip() for row in rows[2:] if row)
    return any(cell.strip() for row in rows[1:] for cell in row[len(FIXED) :])


def _rows(path: Path) -> list[list[str]]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BidError(told("bids.large", file=path.name, most=f"{MOST_BYTES:,}"))
        if path.suffix.lower() == SPREADSHEET:
            return _sheet_rows(path)
        with path.open(newline="", encoding="utf-8-sig") as file:
            return list(csv.reader(file))
    except FileNotFoundError:
        raise BidError(told("bids.missing", file=path.name)) from None
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise BidError(told("bids.unread", file=path.name, why=error)) from error


def _sheet_rows(path: Path) -> list[list[str]]:
    """Rows of the first sheet of a spreadsheet file, as text."""
    import openpyxl  # noqa: PLC0415 - needed for a spreadsheet only

    try:
        with zipfile.ZipFile(path) as packed:
            if sum(part.file_size for part in packed.infolist()) > MOST_UNPACKED:
                raise BidError(told("bids.unpacked", file=path.name))
        book = openpyxl.load_workbook(path, read_only=True, data_only=True)
        rows = book.worksheets[0].iter_rows(values_only=True, max_row=MOST_ROWS)
        found = [["" if cell is None else str(cell) for cell in row] for row in rows]
    except (zipfile.BadZipFile, KeyError, ValueError, IndexError, ParseError) as error:
        raise BidError(told("bids.sheet", file=path.name, why=error)) from error
    book.close()
    return found


def _check_heads(path: Path, heads: Sequence[str], bidders: Sequence[str]) -> None:
    if tuple(heads[: len(FIXED)]) != FIXED:
        raise BidError(told("bids.columns", file=path.name, known=", ".join(FIXED)))
    if not 1 <= len(bidders) <= MOST_BIDDERS or "" in bidders or len(set(bidders)) < len(bidders):
        raise BidError(told("bids.bidders", file=path.name, most=MOST_BIDDERS))


def _price(path: Path, number: int, bidder: str, cell: str) -> float:
    text = cell.strip().lstrip("$").replace(",", "")
    try:
        price = float(text)
    except ValueError:
        price = -1.0
    if not 0 <= price <= MOST_PRICE:
        raise BidError(
            told(
                "bids.price",
                file=path.name,
                number=number,
                bidder=bidder,
                cell=cell,
                most=f"{MOST_PRICE:,.0f}",
            )
        )
    return price
