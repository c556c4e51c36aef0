"""Names what is peculiar about the bills of a house, each with what to look for; nothing is changed by it."""

from collections.abc import Iterator, Sequence

import numpy as np

from retrofit_lab.bills.fitting.night_load import night_watts
from retrofit_lab.bills.fitting.period_weather import BillWeather
from retrofit_lab.bills.fitting.splitting import FuelSplit
from retrofit_lab.bills.fitting.unusual import (
    DAYS_A_YEAR,
    MUCH_MORE,
    PAPER,
    WATTS_PER_KWH_A_DAY,
    Finding,
    Setting,
)
from retrofit_lab.bills.fitting.unusual_fuel import LOOKS
from retrofit_lab.bills.reading.fuels import heat_contents
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.house.usual import usual_use_per_area
from retrofit_lab.model.year import year_energy
from retrofit_lab.physics.degree_days import heating_degree_days

NAMED = 3
"""Rows told in full for each kind of problem; of the rest the number is told."""
NIGHT_MARGIN = 50.0
"""Load that a quiet night may hold beyond what is explained. [W] judgment"""


def find_peculiar(
    house: House,
    climate: MonthlyClimate,
    bills: BillSet,
    splits: Sequence[FuelSplit],
    weather: BillWeather,
) -> tuple[Finding, ...]:
    """Everything peculiar about the bills of a house.

    Parameters
    ----------
    house : House
        House as described, or as fitted; what it explains is not peculiar.
    climate : MonthlyClimate
        Typical year of its place.
    bills : BillSet
        Bills with their problems and intervals.
    splits : sequence of FuelSplit
        From `split_fuel`, one for each fuel.
    weather : BillWeather
        Daily temperatures for the bills.
    """
    setting = Setting(house, climate, bills, weather, year_energy(house, climate))
    found = [*_paper(bills), *_night(setting), *_per_area(setting, splits)]
    for split in splits:
        for look in LOOKS:
            found += look(setting, split)
    return tuple(found)


def _paper(bills: BillSet) -> Iterator[Finding]:
    """Missing, estimated, doubled and credited bills, once for each fuel and kind."""
    kinds = dict.fromkeys((problem.fuel, problem.kind) for problem in bills.problems)
    for fuel, kind in kinds:
        mine = [p for p in bills.problems if (p.fuel, p.kind) == (fuel, kind)]
        yield Finding(
            key=f"{PAPER}_{kind}",
            fuel=fuel,
            way="many" if len(mine) > NAMED else "",
            values={
                "sentences": tuple(problem.sentence for problem in mine[:NAMED]),
                "more": f"{len(mine) - NAMED}",
            },
            rows=tuple(problem.row for problem in mine),
        )


def _night(setting: Setting) -> Iterator[Finding]:
    for readings in setting.bills.intervals:
        watts = night_watts(readings) if readings.fuel == "electricity" else None
        if watts is None:
            continue
        explained = setting.daily("electricity", ["standby", "ventilation"]) * WATTS_PER_KWH_A_DAY
        cold = [a.use for a in setting.house.appliances if a.kind in ("refrigerator", "freezer")]
        explained += float(sum(np.mean(use) for use in cold)) / (DAYS_A_YEAR * 24.0) * 1000.0
        if watts > MUCH_MORE * explained + NIGHT_MARGIN:
            yield Finding(
                key="night_load",
                fuel="electricity",
                values={"watts": f"{watts:.0f}", "explained": f"{explained:.0f}"},
            )


def _per_area(setting: Setting, splits: Sequence[FuelSplit]) -> Iterator[Finding]:
    """Only where every fuel that the house uses has a normal year."""
    years = {split.fuel: split.normal_year for split in splits}
    used = {fuel for fuel, _ in setting.year.monthly if setting.months(fuel).sum() > 0}
    known = {fuel: year.value for fuel in used if (year := years.get(fuel)) is not None}
    if len(known) < len(used):
        return
    energy = sum(value * heat_contents()[fuel] for fuel, value in known.items()) / 1000.0
    intensity = energy / float(np.mean(setting.house.size.floor_area))
    low, high = usual_use_per_area(heating_degree_days(setting.weather.normal_year(), 65.0))
    if not low <= intensity <= high:
        yield Finding(
            key="use_per_area",
            fuel="",
            values={
                "used": f"{intensity:.0f}",
                "low": f"{low:.0f}",
                "high": f"{high:.0f}",
            },
        )


__all__ = ["Finding", "find_peculiar", "usual_use_per_area"]
