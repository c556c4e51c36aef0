"""Draws in which each unanswered number moves by itself, to tell what one answer would change; no results.

The draws of a range let numbers of one cause move together, since what matters there is their sum. What
to ask next needs to know which one of them matters.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.house.description import House
from retrofit_lab.uncertainty.narrowing import BEYOND_A_VISIT
from retrofit_lab.uncertainty.sampling import (
    NOBODY_GIVES,
    SHARED,
    Draws,
    Spread,
    doubt_of,
    drawn_at,
    spreads,
)

SEED = 20_261_128


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenNumbers:
    """Numbers that no one gave and a visit can find out, drawn over houses like this one.

    ``paths`` name the columns of ``normals``, shape (draws, paths): where each is in its own
    distribution. [standard deviations] ``values`` hold the numbers, shape (draws, 1).
    """

    paths: tuple[str, ...]
    normals: FloatArray
    values: Mapping[str, FloatArray]

    def draws(self, fuels: tuple[str, ...], offers: int) -> Draws:
        """The same as draws of a house in which prices and costs are as expected."""
        count = len(self.normals)
        return Draws(
            causes=(),
            places=np.empty((count, 0)),
            numbers=self.values,
            price_factors={fuel: np.ones(count) for fuel in fuels},
            costs=np.zeros((count, offers)),
            realized=np.ones((count, offers)),
        )


def can_be_found_out(spread: Spread) -> bool:
    """Whether a visit settles a number."""
    return spread.rule.name not in NOBODY_GIVES and spread.rule.name not in BEYOND_A_VISIT


def open_numbers(
    house: House,
    count: int,
    *,
    asked: Callable[[str], bool] = lambda _path: True,
    seed: int = SEED,
) -> OpenNumbers:
    """Unanswered numbers of a house, each drawn by itself but for what neglect and comfort have in common.

    Parameters
    ----------
    house : House
        House with what no one gave in ``assumed``.
    count : int
        Draws. The same question gets the same draws.
    asked : callable
        Whether a path is asked for at all.
    seed : int
        Another one gives other houses.
    """
    found = [s for s in spreads(house) if s.path in house.assumed and can_be_found_out(s)]
    found = [spread for spread in found if asked(spread.path)]
    source = np.random.default_rng(seed)
    shared: dict[str, FloatArray] = {}
    own, values = [], {}
    for spread in found:
        doubt, normal = doubt_of(house, spread), source.standard_normal(count)
        causes = {spread.cause: normal}
        if doubt is not None and doubt.shared:
            name = f"{SHARED}.{doubt.shared}"
            causes[name] = shared.setdefault(name, source.standard_normal(count))
        own.append(normal)
        values[spread.path] = drawn_at(spread, doubt, causes)[:, None]
    normals = np.column_stack(own) if own else np.empty((count, 0))
    return OpenNumbers(paths=tuple(s.path for s in found), normals=normals, values=values)
