"""A plain house in weather that never changes, for checks by hand: what enters a heat balance, one part at a time."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
from examples import example

from retrofit_lab.climate.month_hours import MonthHours
from retrofit_lab.climate.monthly import MonthlyClimate, monthly_climate
from retrofit_lab.climate.weather import MONTH_DAYS, PLANES, Weather
from retrofit_lab.house.description import House
from retrofit_lab.house.items import item_named
from retrofit_lab.model.year import YearEnergy, year_energy

HOURS = 8760.0
KWH = 3412.14
LIGHT = {"heat_capacity": 5.0}
STORM = (5.678263 / 0.17 - 4.0 - 0.9 * 5.1) / 4.0 / 0.44704 / (0.59 * 0.7)
"""Wind of the open field that leaves the film of printed U-values, R-0.17, at the plain house's walls. [mph]"""


def weather(
    temperature: float,
    *,
    wind: float = STORM,
    humidity: float = 0.003,
    sun: Mapping[str, float] | float = 0.0,
    elevation: float = 0.0,
) -> MonthlyClimate:
    """Climate in which every hour of the year is the same. [F, mph, lb/lb, Btu/(ft2 day) by plane, ft]"""
    by_plane = sun if isinstance(sun, Mapping) else dict.fromkeys(PLANES, sun)
    month = np.repeat(np.arange(12.0), MONTH_DAYS)
    day = np.ones(365)
    clock = np.ones((12, 24))
    year = Weather(
        key="steady", name="steady", latitude=40.0, longitude=-80.0, elevation=elevation, source="made up for a check",
        month=month, temperature=temperature * day, wind=wind * day, humidity_ratio=humidity * day,
        sun={plane: by_plane.get(plane, 0.0) * day for plane in PLANES},
        hours=MonthHours(
            groups=temperature * clock, clock_temperature=temperature * clock,
            clock_humidity=humidity * clock, clock_sun=by_plane.get("horizontal", 0.0) / 24.0 * clock,
        ),
    )  # fmt: skip
    return monthly_climate(year)


@cache
def _whole() -> House:
    return example("wren_cottage").as_found


def surface(kind: str, outside: str = "outdoors", inside: str = "house", **numbers: Any):
    """A surface without framing, gaps or fill, unless told otherwise."""
    plain = {
        "area": 1000.0, "r_continuous": 0.0, "r_label": 0.0, "framing_fraction": 0.0, "r_framing": 4.38,
        "gap_fraction": 0.0, "r_gap": 1.0, "missing_fraction": 0.0, "edge_fraction": 0.0,
        "cavity_depth": 0.0, "label_thickness": 0.0, "fill": "none",
    }  # fmt: skip
    first = _whole().surfaces[0]
    key = f"{kind}_{inside}_{outside}"
    return replace(
        first, **{**plain, **numbers}, key=key, label=key, kind=kind, inside=inside, outside=outside
    )


def window(area: float, u_value: float = 0.5, **numbers: Any):
    """A window that faces south and has no shade."""
    plain = {"shgc": 0.0, "facing": 180.0, "shading": 1.0, **numbers}
    return replace(_whole().windows[0], key="w", area=area, u_value=u_value, **plain)


def losing(conductance: float):
    """A window of U 1 that loses so much per degree: the plainest house. [Btu/(h F)]"""
    return window(conductance, 1.0)


def box(**parts: Any) -> House:
    """A house of 2,000 ft2 that loses nothing, with electric heaters of any size, and what is told."""
    whole = _whole()
    zone = replace(
        whole.zones[0],
        share=1.0,
        heating_setpoint=70.0,
        cooling_setpoint=75.0,
        weeks_away=0.0,
        periods=(),
    )
    heater = replace(
        whole.fuel_heaters[0] if whole.fuel_heaters else item_named("electric_heaters"),
        key="h", kind="resistance", fuel="electricity", share=1.0, efficiency=1.0, capacity=1e6, pilot=0.0,
    )  # fmt: skip
    plain: dict[str, Any] = {
        "site": replace(whole.site, shelter_class=3.0, warmer_by=0.0, air_model=0.0, open_window_below=66.0),
        "size": replace(whole.size, floor_area=2000.0, volume=16_000.0, stories=2.0, occupants=0.0, heat_capacity=5.0),
        "surfaces": (), "windows": (), "underground": (), "buffers": (), "fans": (), "lamps": (), "standby": (),
        "appliances": (), "water_heaters": (), "heat_pumps": (), "air_conditioners": (),
        "leakage": replace(whole.leakage, flue="none", flow=1e-9, pressure=50.0, exponent=0.67, sites=(), readings=()),
        "zones": (zone,), "fuel_heaters": (heater,),
        "ducts": replace(whole.ducts, supply_place="house", return_place="house", supply_leakage=0.0,
                         return_leakage=0.0, supply_area=0.0, return_area=0.0, flow=1000.0, fan_watts=0.0),
        "hot_water": replace(whole.hot_water, pipe_place="house", showers=0.0, tap_minutes=0.0, machine_gallons=0.0,
                             pipe_length=0.0, waits=0.0),
    }  # fmt: skip
    return replace(whole, **{**plain, **parts})


def changed(part: str, **numbers: Any):
    """A part of the plain house with other numbers."""
    value = getattr(box(), part)
    return replace(value[0], **numbers) if isinstance(value, tuple) else replace(value, **numbers)


def item(part: str, **numbers: Any):
    """A record of the shipped house of a sort that the plain house has none of, with other numbers."""
    return replace(getattr(_whole(), part)[0], **numbers)


def year(climate: MonthlyClimate, **parts: Any) -> YearEnergy:
    """Year of the plain house with some parts."""
    return year_energy(box(**parts), climate)


def heat(climate: MonthlyClimate, **parts: Any) -> float:
    """Heat of a year by electric heaters. [million Btu]"""
    return float(year(climate, **parts).annual("electricity", "heating")) / 1e6


def by_clock(
    temperature: np.ndarray,
    *,
    sun: np.ndarray | None = None,
    falls_on: str = "south",
    humidity: float = 0.003,
    wind: float = STORM,
) -> MonthlyClimate:
    """Climate whose days are all alike, given the hours of one, the first from midnight. [F, Btu/(ft2 h), lb/lb]

    The sun falls on one plane alone. On walls it comes without a clear sky, which is told by the sun on level
    ground and would take heat.
    """
    shines = np.zeros(24) if sun is None else sun
    plain = weather(
        float(np.mean(temperature)),
        humidity=humidity,
        sun={falls_on: float(shines.sum())},
        wind=wind,
    )
    clock = np.tile(temperature, (12, 1))
    hours = MonthHours(
        groups=np.sort(clock), clock_temperature=clock, clock_humidity=humidity * np.ones((12, 24)),
        clock_sun=np.tile(shines, (12, 1)),
    )  # fmt: skip
    return replace(plain, hours=hours)
