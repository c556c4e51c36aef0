"""Results of the hourly house: worked out, written to ``tests/data/hourly_results.csv`` and read back."""

import csv
from collections.abc import Sequence
from pathlib import Path

from hourly.describe import RefHouse, random_houses, states
from hourly.simulate import run

FILE = Path(__file__).parents[1] / "data" / "hourly_results.csv"
HOUSES, SEED = 40, 2026
KEPT = (
    "heat", "fuel", "pump_kwh", "backup_kwh", "fan_heat_kwh", "cool_kwh", "fan_cool_kwh", "sensible", "latent",
    "unmet", "natural_cfm", "rest_cfm_heating", "attic_changes", "knee_changes", "below_changes",
)  # fmt: skip
"""Columns: heat, fuel, electricity, sensible and latent heat [kWh/year]; kelvin-hours below the setting; air."""
Results = dict[tuple[str, str], dict[str, float]]


def stored_houses() -> list[RefHouse]:
    return random_houses(HOUSES, SEED)


def work_out(houses: Sequence[RefHouse], off: frozenset[str] = frozenset()) -> Results:
    """Results of all houses as found and after each work, by name and state."""
    both = [(h.name, key, state) for h in houses for key, state in states(h)]
    done = run([state for _, _, state in both], off)
    return {
        (name, key): {k: float(done.totals[k][i]) for k in KEPT}
        for i, (name, key, _) in enumerate(both)
    }


def write(results: Results, path: Path = FILE) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["house", "state", *KEPT])
        for (name, key), row in results.items():
            table.writerow([name, key, *(f"{row[k]:.6g}" for k in KEPT)])


def read(path: Path = FILE) -> Results:
    with path.open(encoding="utf-8") as file:
        return {
            (row["house"], row["state"]): {k: float(row[k]) for k in KEPT}
            for row in csv.DictReader(file)
        }
