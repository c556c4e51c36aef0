"""Air through the openings of a house by a flow network of one room with many openings; no heat.

Each hour the pressure indoors is found at which as much air comes in as goes out, from the weight of
the air inside and outside and the wind on each face. Openings are powers of the pressure, shared out
over floor, walls at four heights and ceiling. Wind pressures on an isolated low house and their change
with direction are Walker & Wilson's (AIM-2, 1998: 0.6, -0.3, -0.65; memory); two directions stand for
all, since the files keep none. Shelter lowers the wind speed: 1.0, 0.9, 0.7, 0.5, 0.3 for the five
classes (the same paper, memory). Terrain: ASHRAE Handbook Fundamentals chapter 24 (memory).
"""

import numpy as np

GRAVITY, GAS, ZERO = 9.81, 287.05, 273.15
DIRECTIONS = np.radians([22.5, 67.5])
SHELTER = np.array([1.0, 0.9, 0.7, 0.5, 0.3])
LEVELS = np.array([1, 3, 5, 7]) / 8
ATTIC_CP = -0.3


def wall_pressure(angle):
    """Pressure coefficient of a wall for wind from an angle off its normal."""
    front, back, side = 0.6, -0.3, -0.65
    c, s = np.cos(angle), np.sin(angle)
    return 0.5 * (
        (front + back) * (c**2) ** 0.25
        + (front - back) * np.sign(c) * np.abs(c) ** 0.75
        + 2 * side * (s**2) ** 2
    )


def wind_at(speed_10m, height):
    """Speed at eave height in a suburb from the airport's. [m/s]"""
    return speed_10m * (270 / 10) ** 0.14 * (height / 370) ** 0.22


def face_pressures():
    """Coefficients (directions, faces), faces turned 0, 90, 180 and 270 degrees from the first."""
    turns = np.radians([0, 90, 180, 270])
    return wall_pressure(DIRECTIONS[:, None] - turns[None, :])


class Network:
    """Openings of many houses, arrays (directions, openings, houses).

    ``coefficient`` [m3/(s Pa^n)] by group: ``low`` (by the space below), ``wall``, ``rim``, ``attic``,
    ``knee``; ``height`` of the ceiling above the lowest floor [m].
    """

    groups = ("low", "wall", "attic", "knee")

    def __init__(self, coefficient, exponent, height, knee_height):
        faces = face_pressures()
        count = len(height)
        mean_wall = faces.mean(axis=1)
        places, cp, z, c = [], [], [], []

        def opening(place, coefficients, pressures, heights):
            places.append(place)
            cp.append(np.broadcast_to(pressures[:, None], (2, count)))
            z.append(np.broadcast_to(heights, (count,)))
            c.append(coefficients)

        for face in range(4):
            for level in LEVELS:
                opening("out", coefficient["wall"] / 16, faces[:, face], level * height)
            opening("below", coefficient["rim"] / 4, faces[:, face], 0.0 * height)
        opening("below", coefficient["low"], mean_wall, 0.0 * height)
        opening("attic", coefficient["attic"], np.full(2, ATTIC_CP), height)
        opening("knee", coefficient["knee"], np.full(2, ATTIC_CP), knee_height)
        self.places = np.array(places)
        self.cp = np.stack(cp, axis=1)
        self.z = np.stack(z)[None]
        self.c = np.stack(c)[None]
        self.n = exponent
        self.inner = np.zeros((2, count))

    def flows(self, inside_c, outside_c, speed, pressure, extra=0.0, start=None):
        """Mass flow inward through each opening for an extra mass flow into the room by ducts or fans. [kg/s]"""
        heavy_in = pressure / (GAS * (inside_c + ZERO))
        heavy_out = pressure / (GAS * (outside_c + ZERO))
        driving = self.cp * (0.5 * heavy_out * speed**2)
        driving = driving - (heavy_out - heavy_in) * GRAVITY * self.z
        inner = self.inner if start is None else start
        for _ in range(12):
            flow, slope = self._through(driving - inner[:, None], heavy_in, heavy_out)
            excess = flow.sum(axis=1) + extra
            step = excess / slope.sum(axis=1)
            inner = inner + np.clip(step, -20, 20)
            if np.abs(excess).max() < 2e-5:
                break
        flow, _ = self._through(driving - inner[:, None], heavy_in, heavy_out)
        if start is None:
            self.inner = inner
        return flow, inner

    def _through(self, difference, heavy_in, heavy_out):
        size = np.abs(difference)
        weight = np.where(difference > 0, heavy_out, heavy_in) * self.c
        power = np.maximum(size, 0.05) ** (self.n - 1)
        flow = weight * power * difference
        return flow, weight * power * np.where(size > 0.05, self.n, 1.0) + 1e-9
