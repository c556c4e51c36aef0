"""Annual heat of both example houses against a house written again here, hour by hour, with no shared code.

The house file and the daily weather are read raw. Every day has its own wind, sun and air flow; the
thermostat is followed hour by hour; rooms and zones are solved together with SciPy. The monthly model
may differ by 5 %: it takes month means of wind, sun and air flow, and ducts at month-mean temperatures.
"""

import csv
import math
import re
import tomllib
from collections import defaultdict
from functools import cache

import numpy as np
import pytest
from examples import example
from scipy.linalg import solve

from retrofit_lab.reference_data import data_path

FILM_OUT, FILM_SEMI = 0.17, 0.46
FILM_IN = {"ceiling": 0.61, "hatch": 0.61, "roof": 0.61, "floor": 0.92}
MASS_PER_FT2 = 5.0
DAY_OF_MONTH_MIDDLE = [15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5]


def number(text, default: float = 0.0) -> float:
    """The first number in a text such as 'R-13' or '1920 ft2'."""
    if text is None:
        return default
    if isinstance(text, int | float):
        return float(text)
    return float(re.search(r"\d+(\.\d+)?", text)[0])


def raw_house(name: str) -> dict:
    return tomllib.loads(data_path("houses", f"{name}.toml").read_text(encoding="utf-8"))


@cache
def weather(site: str) -> dict[str, np.ndarray]:
    with data_path("climates", f"{site}.csv").open() as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([float(row[key]) for row in rows]) for key in rows[0]}


def u_value(s: dict) -> float:
    around = number(s.get("r_continuous"), 1.5) + FILM_IN.get(s["kind"], 0.68)
    around += FILM_OUT if s["outside"] == "outdoors" else FILM_SEMI
    label = number(s.get("r_label"))
    gaps = s.get("gap_fraction", 0.0)
    if s.get("fill") == "loose_fiberglass":
        label *= 1 - 0.4 * (50 - 20) / 50
    framing = s.get("framing_fraction", 0.1)
    empty = (1 - framing) * s.get("missing_fraction", 0.0)
    wood = number(s.get("r_framing"), 4.38)
    if s["kind"] == "ceiling" and label > 0:
        deep = number(s.get("r_label")) / {"batt": 3.3, "loose_fiberglass": 2.5}[s["fill"]]
        wood += label * max(deep - wood / 1.25, 0.0) / deep
    filled = 1 - framing - empty
    return (
        framing / (wood + around)
        + empty / (min(0.91, label) + around)
        + filled * gaps / (min(1.0, label) + around)
        + filled * (1 - gaps) / (label + around)
    )


def ground_u(part: dict) -> float:
    depth, k = number(part["depth"]), 0.8
    r = number(part.get("r_value"), 1.47)
    if part["kind"] == "wall":
        a = 2 * k * r / math.pi
        return (
            2 * k / (math.pi * depth) * math.log((depth + a) / a) * number(part["length"]) * depth
        )
    width = number(part["width"])
    a = depth / 2 + k * r / math.pi
    return (
        2 * k / (math.pi * width) * math.log((width / 2 + a) / a) * number(part["length"]) * width
    )


def soil(house: dict, month_means: np.ndarray) -> np.ndarray:
    mean = np.average(month_means, weights=[31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    swing = np.ptp(month_means) / 2
    depth = min(number(p["depth"]) for p in house["underground"]) / 2
    lag = depth / 2 * math.sqrt(365 / (math.pi * 0.6))
    damp = swing * math.exp(-depth * math.sqrt(math.pi / (365 * 0.6)))
    days = np.arange(365) + 0.5
    return mean - damp * np.cos(2 * math.pi * (days - 18 - lag) / 365)


def air_flow(house: dict, difference: float, wind: float) -> float:
    """Enhanced stack-and-wind model for the whole house. [cfm]"""
    leak, stories = house["leakage"], house["size"]["stories"]
    n, flue = leak["exponent"], leak.get("flue") == "open"
    crawl = any(b["kind"] == "crawlspace" for b in house["buffers"])
    stack = np.interp(stories, [1, 2, 3], [0.069, 0.089, 0.107] if flue else [0.054, 0.078, 0.098])
    blown = (
        [0.128, 0.142, 0.154]
        if crawl
        else ([0.142, 0.156, 0.167] if flue else [0.156, 0.170, 0.170])
    )
    wind_factor = np.interp(stories, [1, 2, 3], blown)
    shelter = np.interp(
        house["site"]["shelter_class"], [1, 2, 3, 4, 5],
        [1.10, 1.02, 0.86, 0.70, 0.53] if flue else [1.0, 0.9, 0.7, 0.5, 0.3],
    )  # fmt: skip
    speed = wind * 0.44704 * np.interp(stories, [1, 2, 3], [0.48, 0.59, 0.67]) * shelter
    c = number(leak["flow"]) / number(leak["pressure"]) ** n
    return c * math.hypot(stack * (max(difference, 0.0) / 1.8) ** n, wind_factor * speed ** (2 * n))


def site_paths(house: dict) -> tuple[dict[str, float], dict[str, float]]:
    """Shares of the flow that come in and go out by each buffer zone."""
    with data_path("leak_sites.csv").open() as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        likely = {row["key"]: float(row["likely_in2"]) for row in rows}
    kind = {b["key"]: b["kind"] for b in house["buffers"]}
    area = [
        (s["place"], likely[s["kind"]] * s.get("count", 1) * s.get("condition", 1))
        for s in house["leakage"]["sites"]
    ]
    whole = sum(a for _, a in area) / 0.8
    low, high, middle = defaultdict(float), defaultdict(float), 0.2
    for place, a in area:
        if kind.get(place) in ("basement", "crawlspace"):
            low[place] += a / whole
        elif kind.get(place) in ("attic", "kneewall"):
            high[place] += a / whole
        else:
            middle += a / whole
    enter = {p: a / (sum(low.values()) + middle / 2) for p, a in low.items()}
    leave = {p: a / (sum(high.values()) + middle / 2) for p, a in high.items()}
    return enter, leave


def window_sun(house: dict, sky: dict[str, np.ndarray]) -> np.ndarray:
    total = np.zeros(365)
    for w in house["windows"]:
        name = ["north", "east", "south", "west"][round(number(w["facing"]) / 90)]
        shgc = w["shgc"]
        total += (
            number(w["area"]) * shgc * (0.92 - 0.21 * shgc) * w.get("shading", 0.7)
            * sky[f"sun_{name}_Btu_per_ft2_day"] / 24
        )  # fmt: skip
    return total


def plug_heat(house: dict) -> float:
    """Mean heat of people, lamps, standby and appliances. [Btu/h]"""
    lamps = sum(
        number(x["watts"]) * x.get("count", 1) * number(x.get("hours"), 2) / 24 * x.get("inside", 1)
        for x in house["lamps"]
    )
    standby = sum(number(x["watts"]) * number(x["hours"]) / 24 for x in house["standby"])
    plugs = sum(number(x["use"]) / 8.76 * x.get("inside", 0.8) for x in house["appliances"])
    return 3.41214 * (lamps + standby + plugs) + house["size"]["occupants"] * 230 * 16 / 24


def tank(house: dict) -> tuple[str, float, float]:
    """Place, loss per degree and temperature of the water heater."""
    t = house["water_heaters"][0]
    width = (4 * number(t["volume"]) / 7.4805 / (math.pi * 2.5)) ** (1 / 3)
    area = math.pi * width**2 * 3.0
    return t["place"], area / number(t["r_tank"]), number(t["setpoint"])


def pipes(house: dict) -> tuple[str, float]:
    p = house["hot_water"]
    per_foot = 1.9 * math.pi * 0.875 / 12
    return p["pipe_place"], per_foot * number(p["pipe_length"]) * 3 / 24


def daily_air_matrix(house: dict, flow: float, sigma: float) -> dict[str, dict]:
    """Conductances of a day: house to out, and each zone's to house, from house, to out. [Btu/(h F)]"""
    conduction = defaultdict(float)
    for s in house["surfaces"]:
        conduction[s["inside"], s["outside"]] += number(s["area"]) * u_value(s)
    for w in house["windows"]:
        conduction["house", "outdoors"] += number(w["area"]) * number(w["u_value"])
    enter, leave = site_paths(house)
    carried = 1.08 * sigma
    zones = {}
    for b in house["buffers"]:
        key = b["key"]
        between = conduction["house", key]
        vent = carried * number(b["volume"]) * number(b["air_changes"]) / 60
        come = carried * flow * enter.get(key, 0)
        zones[key] = {
            "feels_house": between + carried * flow * leave.get(key, 0),
            "felt_by_house": between + come,
            "out": conduction[key, "outdoors"] + vent + come,
        }
    direct = conduction["house", "outdoors"] + carried * flow * (1 - sum(enter.values()))
    return {"direct": direct, "zones": zones}


def settings(house: dict, hour: int) -> float:
    """Thermostat at an hour of the day, zones weighted; the night is the first hours of the day."""
    total = 0.0
    for z in house["zones"]:
        night = z["periods"][0]
        on = hour < number(night["hours"])
        total += z.get("share", 1.0) * number(
            night["heating_setpoint"] if on else z["heating_setpoint"]
        )
    return total


def year_of_heat(name: str) -> float:
    """Heat that the rooms ask for in the year. [Btu]"""
    house = raw_house(name)
    sky = weather(house["site"]["climate"])
    outdoor, month = sky["mean_temperature_F"], sky["month"].astype(int) - 1
    means = np.array([outdoor[month == m].mean() for m in range(12)])
    ground, sun = soil(house, means), window_sun(house, sky)
    with data_path("climates", "sites.csv").open() as file:
        feet = {row["key"]: float(row["elevation_ft"]) for row in csv.DictReader(file)}
    sigma = (1 - 6.8754e-6 * feet[house["site"]["climate"]]) ** 5.2559
    gains, capacity = plug_heat(house), MASS_PER_FT2 * number(house["size"]["floor_area"])
    day_set = sum(z.get("share", 1.0) * number(z["heating_setpoint"]) for z in house["zones"])
    room, heat = day_set, 0.0
    for day in range(365):
        flow = air_flow(house, day_set - outdoor[day], sky["wind_mph"][day])
        air = daily_air_matrix(house, flow, sigma)
        horizontal = sky["sun_horizontal_Btu_per_ft2_day"][day] / 24
        state = {"ground": ground[day], "outdoor": outdoor[day], "horizontal": horizontal}
        for hour in range(24):
            room, used = hour_step(
                house, air, state, gains + sun[day], capacity, room, settings(house, hour)
            )
            heat += used
    return heat


def hour_step(house, air, state, gains, capacity, room, setting) -> tuple[float, float]:
    """One hour by an implicit step: drift without heat, then heat up to the setting if it is too cold."""
    keys = list(air["zones"])
    size = 1 + len(keys)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    matrix[0, 0] = capacity + air["direct"]
    right[0] = capacity * room + air["direct"] * state["outdoor"] + gains
    tank_place, tank_ua, tank_hot = tank(house)
    pipe_place, pipe_ua = pipes(house)
    warm = defaultdict(float, {tank_place: tank_ua})
    warm[pipe_place] += pipe_ua
    matrix[0, 0] += warm["house"]
    right[0] += warm["house"] * tank_hot
    for i, key in enumerate(keys, start=1):
        z = air["zones"][key]
        earth = sum(ground_u(p) for p in house["underground"] if p["inside"] == key)
        matrix[0, 0] += z["felt_by_house"]
        matrix[0, i] -= z["felt_by_house"]
        matrix[i, i] = z["feels_house"] + z["out"] + earth + warm[key]
        matrix[i, 0] = -z["feels_house"]
        right[i] = z["out"] * state["outdoor"] + earth * state["ground"] + warm[key] * tank_hot
        right[i] += roof_heat(house, key, state["horizontal"])
    drifted = solve(matrix, right)[0]
    if drifted >= setting:
        return float(drifted), 0.0
    zones = solve(matrix[1:, 1:], right[1:] - matrix[1:, 0] * setting)
    need = matrix[0, 0] * setting + matrix[0, 1:] @ zones - right[0]
    return setting, float(need)


def roof_heat(house: dict, key: str, horizontal: float) -> float:
    absorbs = next(number(b.get("sun_absorptance")) for b in house["buffers"] if b["key"] == key)
    return sum(
        number(s["area"]) * u_value(s) * absorbs * horizontal * FILM_OUT
        for s in house["surfaces"]
        if s["inside"] == key and s["kind"] == "roof"
    )


@pytest.mark.slow
@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
def test_heat_asked_for_in_the_year(name: str) -> None:
    study = example(name)
    from retrofit_lab.model.year import year_energy

    ours = float(year_energy(study.as_found, study.climate).heating.demand.sum())
    assert ours == pytest.approx(year_of_heat(name), rel=0.05)
