"""Made-up measures that are hard to choose among: crews that are paid once, large and small prices, three mechanisms."""

import numpy as np

from retrofit_lab.savings.choosing import Sets
from retrofit_lab.savings.searching import Choice, choice_of

CREWS, MECHANISMS = 3, 3


def tangled(count: int, seed: int) -> Choice:
    """Measures of three crews and of none, that overlap by mechanism and help or hinder each other in pairs."""
    rng = np.random.default_rng(seed)
    prices = np.exp(rng.normal(np.log(500), 1.4, count)).round()
    crew, setup = rng.integers(0, CREWS + 1, count), rng.uniform(50, 400, CREWS).round()
    kind, share = rng.integers(0, MECHANISMS, count), rng.uniform(0, 0.45, count)
    most, carbon = rng.uniform(300, 1500, MECHANISMS), rng.uniform(0, 400, count)
    some = rng.random((count, count)) < 0.08
    beyond = np.triu(np.where(some, rng.uniform(-60, 90, (count, count)), 0), 1)
    rivals, needed = np.zeros((2, count, count), dtype=bool)
    pick = rng.permutation(count)
    rivals[pick[0:6:2], pick[1:6:2]] = True
    needed[pick[6], pick[7]] = needed[pick[8], pick[9]] = True
    worth = rng.uniform(3, 12)
    sent = np.array([crew == one for one in range(CREWS)]).T

    def cost_of(masks: np.ndarray) -> np.ndarray:
        return masks @ prices + (masks.astype(float) @ sent > 0) @ setup

    def work_out(masks: np.ndarray) -> Sets:
        on, left = masks.astype(float), np.where(masks, 1.0 - share, 1.0)
        saving = ((on @ beyond) * on).sum(axis=1)
        for one in range(MECHANISMS):
            saving = saving + most[one] * (1.0 - left[:, kind == one].prod(axis=1))
        broken = ((on @ rivals) * on + on * ((1.0 - on) @ needed.T)).sum(axis=1) > 0
        cost = cost_of(masks)
        return Sets(
            masks=masks, cost=cost, saving=saving, co2=2.0 * saving + masks @ carbon,
            net_savings=saving * worth - cost, allowed=~broken,
        )  # fmt: skip

    alone = prices + np.append(setup, 0.0)[crew]
    return choice_of(alone, rivals, needed, work_out, cost_of)
