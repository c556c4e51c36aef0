"""Hourly weather of one place in SI units with the sun and the cold sky on each plane; own geometry, no house.

Sources: position of the sun by Cooper's declination and Spencer's equation of time; isotropic sky with
ground reflectance 0.2 (Duffie & Beckman, memory); clear-sky emissivity of Berdahl & Martin 1984 with a
cloud share from the day's clearness (memory); wind over terrain by the power law of the ASHRAE
Handbook Fundamentals (memory).
"""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

DATA = Path(__file__).parents[1] / "data" / "hourly"
FACES = ("north", "east", "south", "west")
AZIMUTH = np.radians([0.0, 90.0, 180.0, 270.0])
SIGMA = 5.670e-8
REFLECTED = 0.2
DAYS_BEFORE = np.concatenate([[0], np.cumsum([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])])


@dataclass(frozen=True, kw_only=True)
class Sky:
    """8,760 hours: [C], [kg/kg], [m/s at 10 m in the open], sun [W/m2] as (planes, hours)."""

    key: str
    latitude: float
    pressure: float
    temperature: np.ndarray
    moisture: np.ndarray
    wind: np.ndarray
    face_sun: np.ndarray
    face_sun_inside: np.ndarray
    roof_sun: np.ndarray
    sky_deficit: np.ndarray
    day_mean: np.ndarray
    hour: np.ndarray
    month: np.ndarray
    mean: float
    swing: float
    coldest_day: float


def saturation(celsius):
    """Saturation pressure over water or ice. [Pa] (Magnus forms of Alduchov & Eskridge 1996, memory)"""
    water = 610.94 * np.exp(17.625 * celsius / (celsius + 243.04))
    ice = 611.21 * np.exp(22.587 * celsius / (celsius + 273.86))
    return np.where(celsius < 0, ice, water)


def ratio_of(vapor, pressure):
    """Humidity ratio. [kg/kg]"""
    return 0.622 * vapor / (pressure - vapor)


@cache
def raw(key: str) -> dict[str, np.ndarray]:
    with np.load(DATA / f"{key}.npz") as file:
        return {name: file[name].astype(float) for name in file.files}


@cache
def sky_of(key: str) -> Sky:
    """Weather of a place."""
    r = raw(key)
    latitude, longitude, zone, elevation = r["place"]
    temperature = r["temperature_hundredth_C"] / 100.0
    dew = r["dew_point_hundredth_C"] / 100.0
    pressure = 101325.0 * (1 - 2.25577e-5 * elevation) ** 5.2559
    day = DAYS_BEFORE[r["month"].astype(int) - 1] + r["day"]
    height, cosines = _angles(latitude, longitude, zone, day, r["hour"] - 0.5)
    beam, diffuse, level = r["beam_W_m2"], r["diffuse_W_m2"], r["horizontal_W_m2"]
    direct = beam * np.where(height > 0.02, cosines, 0.0)
    soft = 0.5 * diffuse + 0.5 * REFLECTED * level
    through = direct * _through_glass(cosines) + 0.87 * soft
    day_mean = temperature.reshape(365, 24).mean(axis=1)
    mean, swing, coldest = _yearly_wave(day_mean)
    return Sky(
        key=key, latitude=latitude, pressure=pressure, temperature=temperature,
        moisture=ratio_of(saturation(dew), pressure), wind=r["wind_hundredth_m_s"] / 100.0,
        face_sun=direct + soft, face_sun_inside=through, roof_sun=level,
        sky_deficit=_deficit(temperature, dew, level, height), day_mean=np.repeat(day_mean, 24),
        hour=np.tile(np.arange(24), 365), month=r["month"].astype(int) - 1,
        mean=mean, swing=swing, coldest_day=coldest,
    )  # fmt: skip


def without(sky: Sky, off: frozenset[str]) -> Sky:
    """Weather with mechanisms switched off."""
    nothing = np.zeros_like
    if "sun" in off:
        sky = replace(sky, face_sun=nothing(sky.face_sun), roof_sun=nothing(sky.roof_sun),
                      face_sun_inside=nothing(sky.face_sun_inside))  # fmt: skip
    if "wall_sun" in off:
        sky = replace(sky, face_sun=nothing(sky.face_sun))
    if "sky" in off:
        sky = replace(sky, sky_deficit=nothing(sky.sky_deficit))
    return sky


def _yearly_wave(day_mean):
    """Mean, amplitude and coldest day of the first harmonic of the year."""
    wave = np.exp(-2j * np.pi * (np.arange(365) + 0.5) / 365)
    first = 2 * (day_mean * wave).mean()
    coldest = (np.angle(-first) / (2 * np.pi) * -365) % 365
    return day_mean.mean(), abs(first), coldest


def _angles(latitude, longitude, zone, day, clock):
    """Sine of the sun's height, and cosine of incidence on the four faces."""
    turn = 2 * np.pi * (day - 81) / 364
    minutes = 9.87 * np.sin(2 * turn) - 7.53 * np.cos(turn) - 1.5 * np.sin(turn)
    solar = clock + minutes / 60 + longitude / 15 - zone
    angle = np.radians(15 * (solar - 12))
    tilt = np.radians(23.45) * np.sin(2 * np.pi * (284 + day) / 365)
    phi = np.radians(latitude)
    up = np.sin(phi) * np.sin(tilt) + np.cos(phi) * np.cos(tilt) * np.cos(angle)
    east = -np.cos(tilt) * np.sin(angle)
    north = np.sin(tilt) * np.cos(phi) - np.cos(tilt) * np.sin(phi) * np.cos(angle)
    faces = north * np.cos(AZIMUTH)[:, None] + east * np.sin(AZIMUTH)[:, None]
    return up, np.maximum(faces, 0.0)


def _through_glass(cosine):
    """Solar gain at an angle against straight on. (form b0 (1/cos - 1), b0 0.10, memory)"""
    return np.clip(1 - 0.10 * (1 / np.maximum(cosine, 0.09) - 1), 0.0, 1.0)


def _deficit(temperature, dew, level, height):
    """How much less long-wave a level black surface gets from the sky than from air. [W/m2]"""
    clear_emissivity = 0.711 + 0.56 * dew / 100 + 0.73 * (dew / 100) ** 2
    clear_sun = (1098 * np.maximum(height, 0) * np.exp(-0.057 / np.maximum(height, 0.05))).reshape(
        365, 24
    )
    share = level.reshape(365, 24).sum(axis=1) / np.maximum(clear_sun.sum(axis=1), 1.0)
    cloud = np.clip((1 - share) / 0.75, 0, 1) ** (1 / 3.4)
    emissivity = clear_emissivity + (1 - clear_emissivity) * 0.85 * np.repeat(cloud, 24)
    return np.clip(1 - emissivity, 0, 1) * SIGMA * (temperature + 273.15) ** 4
