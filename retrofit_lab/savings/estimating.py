"""Numbers of any plan guessed from those of many: sums of products of its measures, grown where they explain most."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray

ROUNDS = (200,)
"""Products that each round adds; one round more lets one measure more into a product."""
RIDGE = 0.1
"""What keeps a product that few plans have from being taken for more than it is. [plans]"""
FEWEST = 8
"""Plans of the sample that must have a product, so that it can be told from chance."""
SCORED = 4000
"""Plans that products are chosen by; more tell hardly more."""

Term = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Estimate:
    """Products of measures, named by their places, and what each adds to every number of a plan.

    ``weights`` has shape (terms, numbers). A number of a plan is the sum over the terms whose measures are
    all in it; the empty term is in every plan.
    """

    terms: tuple[Term, ...]
    weights: FloatArray

    def of(self, masks: BoolArray) -> FloatArray:
        """Numbers of many plans. (plans, measures) -> (plans, numbers)"""
        return np.asarray(_products(masks, self.terms).astype(np.float64) @ self.weights)


def estimate_from(
    masks: BoolArray, numbers: FloatArray, leading: int, rounds: Sequence[int] = ROUNDS
) -> Estimate:
    """What some plans tell of all others.

    Begins with every measure by itself. Each round then takes in the products of a term and one measure more
    that explain most of what is left of the leading numbers, all together, and fits all weights anew. Products
    are chosen on a part of the sample; the weights at the end come from all of it.

    Parameters
    ----------
    masks : ndarray of bool, shape (plans, measures)
        The sample; of each kind of plan that will be asked for.
    numbers : ndarray, shape (plans, numbers)
        What is known of it, each number on a scale on which errors of all weigh alike.
    leading : int
        How many of the numbers, from the first, products are chosen for.
    rounds : sequence of int
        How many products each round adds.
    """
    few, aimed = masks[:SCORED], numbers[:SCORED, :leading]
    terms: list[Term] = [(), *((place,) for place in range(masks.shape[1]))]
    products = _products(few, terms)
    for most in rounds:
        left = aimed - products @ _weights(products, aimed)
        new = _next_terms(terms, products, few, left, most)
        terms += new
        products = np.hstack([products, _products(few, new)])
    return Estimate(terms=tuple(terms), weights=_weights(_products(masks, terms), numbers))


def _products(masks: BoolArray, terms: Sequence[Term]) -> FloatArray:
    found: FloatArray = np.empty((len(masks), len(terms)), dtype=np.float32)
    for place, term in enumerate(terms):
        found[:, place] = masks[:, list(term)].all(axis=1)
    return found


def _weights(products: FloatArray, numbers: FloatArray) -> FloatArray:
    """Weights of least squares, held small where a product is rare; the first is of every plan."""
    square = (products.T @ products).astype(np.float64)
    square[np.diag_indices(len(square))] += np.where(np.arange(len(square)) > 0, RIDGE, 0.0)
    return np.asarray(
        np.linalg.solve(square, (products.T @ numbers.astype(np.float32)).astype(np.float64))
    )


def _next_terms(
    terms: Sequence[Term], products: FloatArray, masks: BoolArray, left: FloatArray, most: int
) -> list[Term]:
    """Products of a term and one measure more, those first that explain most of what is left."""
    single = masks.astype(np.float32)
    having = products.T @ single
    explained = np.zeros_like(having)
    for column in left.astype(np.float32).T:
        explained += ((products * column[:, None]).T @ single) ** 2
    explained = np.where(having >= FEWEST, explained / (having + 1.0), 0.0)
    known, new = set(terms), list[Term]()
    for place in np.argsort(-explained, axis=None)[: 4 * most].tolist():
        term, measure = divmod(place, single.shape[1])
        grown = tuple(sorted({*terms[term], measure}))
        if grown not in known and len(new) < most and explained.flat[place] > 0.0:
            known.add(grown)
            new.append(grown)
    return new
