"""What buying measures costs: after rebates at first, and in present worth over the study period; no savings."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from retrofit_lab.base.nearest import known_names
from retrofit_lab.base.sums import over_last, weighted
from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.rebates import Rebate, rebated
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.money.worth import cost_factors_over_life
from retrofit_lab.texts.refusals import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Anyway:
    """A purchase that must be made anyway [dollars], how long it lasts [year], and what makes it needless."""

    price: float
    life: float
    measures: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One visit of a trade: keys of the measures done in it, and what coming costs in the price of each. [dollars]"""

    measures: tuple[str, ...]
    setups: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Purchases:
    """Measures of one house with the years that each lasts, shape (measures,), and the terms of money.

    A price holds a trade's visit; of the ``visits`` bought together the most expensive is paid once. Prices are
    arrays of shape (..., measures), zero where a measure is not bought; many sets at once in the leading
    axes. [dollars] What must be bought ``anyway`` is counted in present worth as not bought where a measure
    takes its place; what is paid at first stays the whole price.
    """

    keys: tuple[str, ...]
    lives: FloatArray
    terms: MoneyTerms
    anyway: tuple[Anyway, ...] = ()
    visits: tuple[Visit, ...] = ()

    @cached_property
    def rebates(self) -> tuple[Rebate, ...]:
        """Entries of the terms that are about these measures."""
        return tuple(_about(self.terms.rebates, self.keys))

    def only(self, keys: Sequence[str]) -> "Purchases":
        """Some of the measures, so that many sets of them need no columns for the others."""
        places = [self.keys.index(key) for key in keys]
        return replace(self, keys=tuple(keys), lives=self.lives[places])

    def left_to_pay(self, prices: FloatArray) -> FloatArray:
        """Prices with shared visits, after rebates, never below zero. (..., measures) -> (..., measures) [dollars]"""
        shared = self.with_shared_visits(prices)
        return rebated(self.keys, shared, self.rebates).left if self.rebates else shared

    def with_shared_visits(self, prices: FloatArray) -> FloatArray:
        """Prices in which those who come once for several measures are paid once. (..., measures) [dollars]

        What is left of the visits is shared among the measures by what each would have paid alone.
        """
        for columns, setups in self._shared:
            there = np.where(prices[..., columns] > 0.0, setups, 0.0)
            total, once = over_last(there), there.max(axis=-1)
            again = (total - once) / np.where(total > 0.0, total, 1.0)
            prices = np.array(prices)
            prices[..., columns] -= there * again[..., None]
        return prices

    @cached_property
    def _shared(self) -> tuple[tuple[IntArray, FloatArray], ...]:
        """Columns and prices of the visits that more than one of these measures could share."""
        pairs = []
        for visit in self.visits:
            mine = [i for i, key in enumerate(visit.measures) if key in self.keys]
            columns = [self.keys.index(visit.measures[i]) for i in mine]
            if len(mine) > 1:
                pairs.append((np.array(columns), np.array([visit.setups[i] for i in mine])))
        return tuple(pairs)

    def first_cost(self, prices: FloatArray) -> FloatArray:
        """What is paid at first. (..., measures) -> (...) [dollars]"""
        return over_last(self.left_to_pay(prices))

    def present_cost(self, prices: FloatArray) -> FloatArray:
        """Present worth of buying, again when a measure wears out, less what is left. [dollars]

        Rebates and shared visits come off the first purchase only: no one promises the next ones. What need
        not be bought any more is taken off. (..., measures) -> (...)

        References
        ----------
        10 CFR 436.19: investment less salvage plus replacements less salvage (read).
        """
        first, later = self._factors
        bought = weighted(self.left_to_pay(prices), first) + weighted(prices, later)
        return bought - self._needless(prices, self.present_price) if self.anyway else bought

    def present_parts(self, prices: FloatArray) -> FloatArray:
        """What each measure of a set has in its present cost. (..., measures) -> (..., measures) [dollars]"""
        first, later = self._factors
        bought = self.left_to_pay(prices) * first + prices * later
        return bought - self._needless_parts(prices, self.present_price)

    def extra_parts(self, prices: FloatArray) -> FloatArray:
        """What each measure of a set costs at first beyond what must be paid anyway. [dollars]"""
        needless = self._needless_parts(prices, lambda purchase: purchase.price)
        return np.maximum(self.left_to_pay(prices) - needless, 0.0)

    def _needless_parts(self, prices: FloatArray, worth: Callable[[Anyway], float]) -> FloatArray:
        """What need not be bought, shared by halves where several measures take its place."""
        total = np.zeros(prices.shape)
        for purchase in self.anyway:
            mine = np.array([key in purchase.measures for key in self.keys], dtype=bool)
            bought = (prices > 0.0) & mine
            several = np.maximum(bought.sum(axis=-1, keepdims=True), 1)
            total = total + np.where(bought, worth(purchase) / several, 0.0)
        return total

    def avoided(self, prices: FloatArray) -> FloatArray:
        """What need not be paid at first because a measure takes its place. (..., measures) -> (...) [dollars]"""
        return self._needless(prices, lambda purchase: purchase.price)

    def needless(self, prices: FloatArray) -> tuple[FloatArray, FloatArray]:
        """What is avoided at first [dollars], and as it wears out. [dollars/year] (..., measures) -> 2 x (...)"""
        worn = self._needless(prices, lambda purchase: purchase.price / purchase.life)
        return self.avoided(prices), worn

    def avoided_added(self, prices: FloatArray, mask: BoolArray) -> FloatArray:
        """What each measure adds to that beside a set. (..., measures) -> (..., measures) [dollars]"""
        return _added(self.avoided, prices, mask)

    def present_price(self, purchase: Anyway) -> float:
        """Present worth of what must be bought anyway. [dollars]"""
        factors = cost_factors_over_life(
            purchase.life, self.terms.period_years, self.terms.discount_rate
        )
        return purchase.price * sum(factors)

    def _needless(self, prices: FloatArray, worth: Callable[[Anyway], float]) -> FloatArray:
        total = np.zeros(prices.shape[:-1])
        for purchase in self.anyway:
            mine = np.array([key in purchase.measures for key in self.keys], dtype=bool)
            total = total + np.where((prices[..., mine] > 0.0).any(axis=-1), worth(purchase), 0.0)
        return total

    def first_cost_added(self, prices: FloatArray, mask: BoolArray) -> FloatArray:
        """What each measure adds to the first cost of a set, or what the set saves without it. [dollars]

        Parameters
        ----------
        prices : ndarray, shape (..., measures)
            Price of every measure, bought or not. [dollars]
        mask : ndarray of bool, shape (measures,)
            The set.

        Returns
        -------
        ndarray, shape (..., measures)
            The measure's own price where no entry and no visit is shared with the set.
        """
        plain = not (self.rebates or self._shared)
        return prices if plain else _added(self.first_cost, prices, mask)

    def present_cost_added(self, prices: FloatArray, mask: BoolArray) -> FloatArray:
        """The same for the present worth of the cost. (..., measures) -> (..., measures) [dollars]"""
        if self.rebates or self.anyway or self._shared:
            return _added(self.present_cost, prices, mask)
        return np.asarray(prices * sum(self._factors))

    @cached_property
    def _factors(self) -> tuple[FloatArray, FloatArray]:
        period, rate = self.terms.period_years, self.terms.discount_rate
        pairs = [cost_factors_over_life(float(life), period, rate) for life in self.lives]
        first, later = np.array(pairs).reshape(-1, 2).T
        return first, later


def _added(
    total: Callable[[FloatArray], FloatArray], prices: FloatArray, mask: BoolArray
) -> FloatArray:
    """Differences of totals with and without each measure, to a ten-thousandth of a cent."""
    one = np.eye(len(mask), dtype=np.bool_)
    more = total(np.where(mask | one, prices[..., None, :], 0.0))
    less = total(np.where(mask & ~one, prices[..., None, :], 0.0))
    return np.asarray(np.round(more - less, 6))


def _about(rebates: Iterable[Rebate], keys: Sequence[str]) -> Iterable[Rebate]:
    for rebate in rebates:
        here = tuple(key for key in rebate.measures if key in keys)
        if here or not rebate.measures:
            yield replace(rebate, measures=here)


def check_rebates(rebates: Iterable[Rebate], known: Sequence[str]) -> None:
    """Refuse an entry for a measure that no one offers.

    Raises
    ------
    MoneyError
        With the entry and its measure.
    """
    for rebate in rebates:
        for key in rebate.measures:
            if key not in known:
                raise MoneyError(
                    told(
                        "purchase.no_measure",
                        name=rebate.name,
                        key=key,
                        known=known_names(key, known),
                    )
                )
