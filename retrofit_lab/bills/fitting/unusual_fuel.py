"""Looks at the bills of one fuel for what neither the house nor the weather explains."""

from collections.abc import Callable, Iterator

import numpy as np

from retrofit_lab.base.fuels import several
from retrofit_lab.bills.fitting.changes_in_time import Change, step_change, trend
from retrofit_lab.bills.fitting.splitting import ENOUGH_TO_SPLIT, ENOUGH_TO_TRUST, FuelSplit
from retrofit_lab.bills.fitting.unusual import (
    DAYS_A_YEAR,
    MUCH_MORE,
    WATTS_PER_KWH_A_DAY,
    Finding,
    Setting,
)
from retrofit_lab.bills.reading.fuels import fuel_units
from retrofit_lab.texts import Word

MILD = (44.0, 60.0)
COLD = 40.0
"""Mean outdoor temperatures of mild and of cold periods. [F] judgment"""
BACKUP_SIGN = 1.25
"""How much more of the model's use must be billed in mild periods than in cold ones. [1] judgment"""
DEAD = 0.1
"""Share of the expected use below which a meter is asked about. [1] judgment"""
HEATED_BY = 0.15
"""Share of its heating in a fuel's use from which its bills must follow the weather. [1] judgment"""
WEATHER_SPAN = 20.0
"""Span of period temperatures that shows an answer to weather. [F] judgment"""


def _summer(setting: Setting, split: FuelSplit) -> Iterator[Finding]:
    if split.base_load is None or split.fuel == "electricity":
        return
    explained = float((setting.months(split.fuel) / setting.climate.days).min())
    if split.base_load.low > MUCH_MORE * explained:
        yield Finding(
            key="high_summer_use",
            fuel=split.fuel,
            values=_amounts(split, amount=split.base_load.value, explained=explained),
        )


def _constant_load(setting: Setting, split: FuelSplit) -> Iterator[Finding]:
    if split.base_load is None or split.fuel != "electricity":
        return
    uses = ("lighting", "standby", "appliances", "ventilation", "hot_water")
    explained = setting.daily("electricity", uses)
    if split.base_load.low > MUCH_MORE * explained:
        more = (split.base_load.value - explained) * WATTS_PER_KWH_A_DAY
        yield Finding(
            key="constant_load",
            fuel="electricity",
            values={
                "load": f"{split.base_load.value:.1f}",
                "explained": f"{explained:.1f}",
                "watts": f"{more:.0f}",
            },
        )


def _mild_heat(setting: Setting, split: FuelSplit) -> Iterator[Finding]:
    pumps = setting.house.heat_pumps
    if split.fuel != "electricity" or not pumps or split.fit is None:
        return
    mean = np.array([setting.weather.between(p.start, p.end).mean() for p in split.periods])
    billed, modeled = np.array([p.quantity for p in split.periods]), setting.modeled(split)
    mild, cold = (mean > MILD[0]) & (mean < MILD[1]), mean < COLD
    if mild.sum() < 2:
        return
    ratio = billed[mild].sum() / modeled[mild].sum()
    usual = max(billed[cold].sum() / modeled[cold].sum() if cold.any() else 1.0, 1.0)
    if ratio > BACKUP_SIGN * usual:
        yield Finding(
            key="electric_heat_when_mild",
            fuel="electricity",
            values={
                "low": f"{MILD[0]:.0f}",
                "high": f"{MILD[1]:.0f}",
                "more": f"{ratio - 1:.0%}",
            },
        )


def _no_weather(setting: Setting, split: FuelSplit) -> Iterator[Finding]:
    total = setting.months(split.fuel).sum()
    if split.kind not in ("none", "cooling") or len(split.periods) < ENOUGH_TO_TRUST or total <= 0:
        return
    heating = setting.daily(split.fuel, ["heating"]) * DAYS_A_YEAR / total
    mean = [setting.weather.between(p.start, p.end).mean() for p in split.periods]
    if heating > HEATED_BY and np.ptp(mean) > WEATHER_SPAN:
        yield Finding(
            key="no_answer_to_weather",
            fuel=split.fuel,
        )


def _dead(setting: Setting, split: FuelSplit) -> Iterator[Finding]:
    if split.fit is None:
        return
    use = np.array([p.quantity for p in split.periods])
    line = np.array(
        [split.fit.use(setting.weather.between(p.start, p.end)).sum() for p in split.periods]
    )
    dead = (use < DEAD * line) & (line > 0.2 * line.mean())
    for place in np.flatnonzero(dead):
        period = split.periods[place]
        yield Finding(
            key="dead_meter",
            fuel=split.fuel,
            values={
                "start": f"{period.start}",
                "end": f"{period.end}",
                **_amounts(split, amount=use[place], expected=line[place]),
            },
            rows=period.rows,
        )


def _in_time(setting: Setting, split: FuelSplit) -> Iterator[Finding]:
    """A step or a trend in what the weather does not explain: the one that explains more."""
    if split.fit is None or len(split.periods) < ENOUGH_TO_SPLIT:
        return
    days = np.array([float(p.days) for p in split.periods])
    use = np.array([p.quantity for p in split.periods]) / days
    line = np.array(
        [split.fit.use(setting.weather.between(p.start, p.end)).mean() for p in split.periods]
    )
    middle = np.array([p.start.toordinal() + p.days / 2.0 for p in split.periods])
    changes = [
        change
        for change in (
            step_change(middle, use - line, days, use.mean()),
            trend(middle, use - line, days, use.mean()),
        )
        if change is not None
    ]
    if changes:
        best = min(changes, key=lambda change: change.residual_sum)
        yield _change_finding(split, best, float(use.mean()))


def _change_finding(split: FuelSplit, change: Change, mean: float) -> Finding:
    by = {
        **_amounts(split, amount=abs(change.size)),
        "share": f"{abs(change.size) / mean:.0%}",
    }
    if change.kind == "step":
        first = next(p for p in split.periods if p.start.toordinal() + p.days / 2.0 >= change.at)
        return Finding(
            key="step_change",
            fuel=split.fuel,
            way="up" if change.size > 0 else "down",
            values={"start": f"{first.start}", **by},
            rows=first.rows,
        )
    return Finding(
        key="rising_trend" if change.size > 0 else "falling_trend",
        fuel=split.fuel,
        values=by,
    )


def _amounts(split: FuelSplit, **values: float) -> dict[str, str | Word]:
    """Amounts of one fuel by name, with their unit."""
    unit = several(fuel_units()[split.fuel])
    return {name: f"{value:.3g}" for name, value in values.items()} | {
        "unit": Word("word", unit, unit)
    }


LOOKS: tuple[Callable[[Setting, FuelSplit], Iterator[Finding]], ...] = (
    _summer,
    _constant_load,
    _mild_heat,
    _no_weather,
    _dead,
    _in_time,
)
"""All looks at one fuel, in the order of their findings."""
