"""Looks at the bills of one fuel for what neither the house nor the weather explains."""

from collections.abc import Callable, Iterator

import numpy as np

from retrofit_lab.bills.fitting.changes_in_time import Change, step_change, trend
from retrofit_lab.bills.fitting.splitting import ENOUGH_TO_SPLIT, ENOUGH_TO_TRUST, FuelSplit
from retrofit_lab.bills.fitting.unusual import (
    DAYS_A_YEAR,
    MUCH_MORE,
    WATTS_PER_KWH_A_DAY,
    Finding,
    Setting,
)
from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units

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
            sentence=f"{_name(split)} goes on at {_amount(split.base_load.value, split)} a day in summer; what is "
            f"known of the house explains {_amount(explained, split)}.",
            look_for="Look for a standing pilot, a hot-water leak or a dripping hot tap, a circulation pump that "
            "always runs, a pool or spa heater, a second user on the meter; smell for gas, and if you smell it, "
            "leave and call the supplier.",
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
            sentence=f"The base load is {split.base_load.value:.1f} kWh a day; lamps, standby, appliances and hot "
            f"water explain {explained:.1f}. About {more:.0f} W are on without a name.",
            look_for="Go round with the watt meter: second refrigerator, dehumidifier, sump or well pump, aquarium, "
            "pipe or gutter heater, server, pool pump, a fan that never stops.",
        )


def _mild_heat(setting: Setting, split: FuelSplit) -> Iterator[Finding]:
    pumps = setting.house.heat_pumps
    if split.fuel != "electricity" or not pumps or split.fit is None:
        return
    mean = np.array([setting.weather.between(p.start, p.end).mean() for p in split.periods])
    billed, modelled = np.array([p.quantity for p in split.periods]), setting.modelled(split)
    mild, cold = (mean > MILD[0]) & (mean < MILD[1]), mean < COLD
    if mild.sum() < 2:
        return
    ratio = billed[mild].sum() / modelled[mild].sum()
    usual = max(billed[cold].sum() / modelled[cold].sum() if cold.any() else 1.0, 1.0)
    if ratio > BACKUP_SIGN * usual:
        yield Finding(
            key="electric_heat_when_mild",
            fuel="electricity",
            sentence=f"In mild weather ({MILD[0]:.0f} to {MILD[1]:.0f} F) {ratio - 1:.0%} more electricity is billed "
            f"than the heat pump should need, far more than in the cold. Backup heat may be stuck on.",
            look_for="With the thermostat just above room temperature, have a qualified person measure whether the "
            "backup elements draw current; look at the wiring and settings of the thermostat, at the outdoor "
            "sensor, and whether the thermostat is left on emergency heat.",
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
            sentence=f"The bills for {fuel_names()[split.fuel]} do not follow the cold, though the house is said to be "
            f"heated with it.",
            look_for="Ask whether another heater does the work, whether bills are levelled out over the year, and "
            "whether this is the right meter.",
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
            sentence=f"From {period.start} to {period.end} only {_amount(use[place], split)} are billed where the "
            f"other bills call for {_amount(line[place], split)}.",
            look_for="Ask whether anybody lived there; otherwise have the supplier look at the meter.",
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
    if change.kind == "step":
        first = next(p for p in split.periods if p.start.toordinal() + p.days / 2.0 >= change.at)
        word = "rose" if change.size > 0 else "fell"
        return Finding(
            key="step_change",
            fuel=split.fuel,
            sentence=f"From {first.start} on use {word} by {_amount(abs(change.size), split)} a day "
            f"({abs(change.size) / mean:.0%}), whatever the weather.",
            look_for="Ask what changed then: people, work at home, a new appliance, a repair, a new thermostat "
            "setting, a leak, a new meter.",
            rows=first.rows,
        )
    word = "rises" if change.size > 0 else "falls"
    return Finding(
        key="rising_trend" if change.size > 0 else "falling_trend",
        fuel=split.fuel,
        sentence=f"Year by year use {word} by {_amount(abs(change.size), split)} a day "
        f"({abs(change.size) / mean:.0%}), whatever the weather.",
        look_for="Look for equipment that wears out (refrigerant, burner, filter, a failing pump or compressor), wet "
        "or settled insulation, and habits that change slowly.",
    )


def _name(split: FuelSplit) -> str:
    return fuel_names()[split.fuel].capitalize()


def _amount(value: float, split: FuelSplit) -> str:
    return f"{value:.3g} {fuel_units()[split.fuel]}"


LOOKS: tuple[Callable[[Setting, FuelSplit], Iterator[Finding]], ...] = (
    _summer,
    _constant_load,
    _mild_heat,
    _no_weather,
    _dead,
    _in_time,
)
"""All looks at one fuel, in the order of their findings."""
