"""Makes the table of directions of the evenly spread points from SciPy's scrambled Sobol sequence.

    python data/even_points/make.py

The table keeps the first bits of what SciPy works out, so that drawing needs neither SciPy nor its memory.
"""

import csv
from pathlib import Path

import numpy as np
from scipy.stats import qmc

from retrofit_lab.uncertainty.even_points import BITS

COLUMNS = 256
SEED = 1
NOTES = """# Directions of a scrambled Sobol sequence, one row for each column of the points; made by make.py.
# shift and d1 to d12 are whole numbers of 12 bits, without unit: a point is the exclusive or of the shift and of
# the directions whose bit is set in the Gray code of the point's number, as a share of 4,096.
# Source: scipy.stats.qmc.Sobol (read), which holds the direction numbers of Joe and Kuo (2008); seed 1.
"""


def main() -> None:
    """Write the table."""
    engine = qmc.Sobol(COLUMNS, bits=BITS, rng=np.random.default_rng(SEED))
    first = (engine.random(1)[0] * 2**BITS).astype(int)
    with (Path(__file__).parent / "directions.csv").open("w", newline="", encoding="utf-8") as file:
        file.write(NOTES)
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["column", "shift", *(f"d{bit + 1}" for bit in range(BITS))])
        for column, (shift, found) in enumerate(zip(first, _directions(), strict=True)):
            rows.writerow([column, shift, *found])


def _directions() -> np.ndarray:
    """What each bit of the Gray code changes: points 2**k - 1 and 2**k differ in bit k alone."""
    engine = qmc.Sobol(COLUMNS, bits=BITS, rng=np.random.default_rng(SEED))
    points = (engine.random_base2(BITS) * 2**BITS).astype(int)
    steps = [points[2**bit - 1] ^ points[2**bit] for bit in range(BITS)]
    return np.array(steps).T


if __name__ == "__main__":
    main()
