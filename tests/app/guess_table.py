"""How near the page at home comes for plans that it guesses: python tests/app/guess_table.py [HOUSE ...].

Two thousand random plans of all fixes, shared among the example houses, in dollars a year as real houses save.
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from examples import example

from retrofit_lab.app.home.words import plans_to_start_from
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import FloatArray
from retrofit_lab.proposals.all_plans import all_sets
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.proposals.plan_estimate import estimated_bills, plan_estimate, random_plans
from retrofit_lab.study.advice import Advice

PLANS = 2000
LEAST, SHARE = 10.0, 0.02


def off(name: str, count: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Errors of some plans of a house, what they save, and what the house then costs. [dollars/year]"""
    study = example(name)
    sets = all_sets(study, plans_to_start_from(Advice(study))["rater"])
    masks = random_plans(study, count, seed=7)
    true, guess = (
        study.energy(masks).cost,
        estimated_bills(study, sets, plan_estimate(study), masks),
    )
    before, real = study.energies.single_costs, RealHouses(study)
    alone = np.where(masks, before[0] - before[1:], 0.0)
    saving, ours = (
        np.array(
            [real.saving(before[0] - bill, row) for bill, row in zip(bills, alone, strict=True)]
        )
        for bills in (true, guess)
    )
    return np.abs(ours - saving), np.abs(saving), before[0] - saving


def main() -> None:
    houses = sorted(
        path.stem for path in data_path("houses", "alder_street.toml").parent.glob("*.toml")
    )
    wanted = sys.argv[1:] or houses
    count = -(-PLANS // len(houses))
    print(
        f"{'house':18} {'median':>7} {'19 of 20':>9} {'most':>6}   within $10 or 2 % of saving, of bill"
    )
    for name in wanted:
        error, saving, bill = off(name, count)
        fits = [np.mean(error <= np.maximum(LEAST, SHARE * whole)) for whole in (saving, bill)]
        middle, most = np.quantile(error, [0.5, 0.95]), error.max()
        print(
            f"{name:18} {middle[0]:7.1f} {middle[1]:9.1f} {most:6.1f}   {fits[0]:8.1%} {fits[1]:8.1%}",
            flush=True,
        )


if __name__ == "__main__":
    main()
