"""Simulated annealing over plans of a house: a search of another kind that the product's must not lose to.

``python tests/savings/annealer.py --questions 300`` asks both the same questions and prints where it was better;
``--first`` leaves out those before one, so that they can be asked a few at a time.
"""

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from examples import example

from retrofit_lab.savings.choosing import ChoiceError, Limits, Sets
from retrofit_lab.savings.searching import Choice
from retrofit_lab.study.plan_tables import Chooser

AIMS = ("net_savings", "saving", "co2", "cost")
COLUMN = {"net_savings": "net_savings", "saving": "saving", "co2": "co2", "cost": "cost"}
CHAINS, STEPS = 96, 900
BEATEN_BY = 0.001


@dataclass(frozen=True)
class Question:
    house: str
    aim: str
    limits: Limits


def questions(count: int, seed: int, houses: tuple[str, ...]) -> list[Question]:
    """Budgets, paybacks and savings to reach in every mix, with each aim in turn."""
    rng = np.random.default_rng(seed)
    found = []
    for number in range(count):
        aim = AIMS[number % len(AIMS)]
        limits = {"budget": float(np.exp(rng.uniform(np.log(150), np.log(40_000))))}
        if rng.random() < 0.4:
            limits["payback"] = float(rng.uniform(3, 25))
        if aim == "cost" or rng.random() < 0.3:
            limits["saving"] = float(rng.uniform(50, 1_500))
        if aim == "cost":
            limits.pop("budget")
        found.append(Question(houses[number // len(AIMS) % len(houses)], aim, Limits(**limits)))
    return found


def annealed(
    choice: Choice, limits: Limits, aim: str, seed: int, steps: int = STEPS
) -> float | None:
    """Worth of the best plan within limits that parallel chains meet; nothing when they meet none."""
    rng = np.random.default_rng(seed)
    masks = choice.whole(rng.random((CHAINS, choice.count)) < rng.uniform(0, 0.3, (CHAINS, 1)))
    now, fine, height = _heights(choice.work_out(masks), limits, aim)
    best = now[fine].max(initial=-np.inf)
    scale = float(np.std(height[np.isfinite(height)])) or 1.0
    for heat in np.geomspace(0.3, 1e-4, steps) * scale:
        tried = choice.whole(_moved(choice, masks, rng))
        worth, fine, new = _heights(choice.work_out(tried), limits, aim)
        best = max(best, worth[fine].max(initial=-np.inf))
        with np.errstate(over="ignore", invalid="ignore"):
            taken = rng.random(CHAINS) < np.exp(np.minimum((new - height) / heat, 0.0))
        masks[taken], height[taken] = tried[taken], new[taken]
    return float(best) if np.isfinite(best) else None


def _moved(choice: Choice, masks: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Each plan with one measure taken in or left out or, half the time, one exchanged for another."""
    rows = np.arange(len(masks))
    first = rng.integers(0, choice.count, len(masks))
    drawn = rng.random(masks.shape)
    other = np.argmax(np.where(masks != masks[rows, first][:, None], drawn, -1.0), axis=1)
    moved = masks.copy()
    moved[rows, first] ^= True
    swap = rng.random(len(masks)) < 0.5
    moved[rows[swap], other[swap]] ^= True
    return moved


def _heights(sets: Sets, limits: Limits, aim: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Worth, whether all limits are kept, and worth less what breaking them costs."""
    worth = getattr(sets, COLUMN[aim]) * (-1.0 if aim == "cost" else 1.0)
    over = np.zeros(len(worth))
    if np.isfinite(limits.budget):
        over += np.maximum(sets.cost - limits.budget, 0.0)
    if np.isfinite(limits.saving):
        over += 20.0 * np.maximum(limits.saving - sets.saving, 0.0)
    if np.isfinite(limits.payback):
        over += np.maximum(sets.cost - limits.payback * sets.saving, 0.0)
    fine = sets.allowed & (over <= 0.0)
    return worth, fine, np.where(sets.allowed, worth - 3.0 * over, -np.inf)


def compare(question: Question, seed: int, steps: int = STEPS) -> tuple[float | None, float | None]:
    """Worth that the product's search finds and that annealing finds; nothing where one finds no plan."""
    study = example(question.house)
    chooser = CHOOSERS.setdefault(question.house, Chooser(study, study.keys))
    sign = -1.0 if question.aim == "cost" else 1.0
    try:
        ours = sign * float(
            getattr(chooser.best(question.limits, question.aim), COLUMN[question.aim])[0]
        )
    except ChoiceError:
        ours = None
    return ours, annealed(chooser.choice, question.limits, question.aim, seed, steps)


CHOOSERS: dict[str, Chooser] = {}


def beaten(ours: float | None, theirs: float | None) -> bool:
    """Whether annealing was better by more than a thousandth, or found what the search refused."""
    if theirs is None:
        return False
    return ours is None or theirs > ours + BEATEN_BY * abs(theirs) + 1e-6


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--questions", type=int, default=300)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--houses", default="alder_street,wren_cottage")
    chosen = parser.parse_args()
    asked = questions(chosen.questions, chosen.seed, tuple(chosen.houses.split(",")))
    numbers = range(chosen.first, len(asked))
    answers, lost = [], 0
    for number in numbers:
        answers.append(compare(asked[number], number))
        if beaten(*answers[-1]):
            lost += 1
            ours, theirs = answers[-1]
            print(f"{number} {asked[number]}: search {ours}, annealing {theirs}", flush=True)
    none = sum(theirs is None and ours is not None for ours, theirs in answers)
    ahead = sum(
        ours is not None and theirs is not None and ours > theirs + BEATEN_BY * abs(ours)
        for ours, theirs in answers
    )
    print(
        f"{len(answers)} questions: search beaten {lost} times; ahead by over 0.1 % "
        f"{ahead} times; annealing found nothing where the search did {none} times"
    )
    return bool(lost)


if __name__ == "__main__":
    raise SystemExit(main())
