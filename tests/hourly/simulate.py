"""Many houses hour by hour through a year at once: rooms, mass, attic, knee-wall space, space below, soil.

SI inside. Four steps an hour, each solved backward in time (every side node meets only the room, so the
room's equation is closed by hand). Air is a flow network every hour; ducts, coil and thermostat act each
step with the temperatures at its start. What is kept of every step adds up to the heat balance that
``Run.residual`` checks.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from hourly import airflow, equipment, ground, sky
from hourly.describe import RefHouse

AIR = 1006.0
FT, FT2, FT3 = 0.3048, 0.092903, 0.0283168
U, R, CFM, BTU = 5.678263, 0.176110, 4.719474e-4, 0.29307107
STEPS = 4
DT = 3600.0 / STEPS
WARM_UP_DAYS = 200
"""The soil forgets where it began with a time constant of 40 to 54 days."""
FILM_RATED = 0.17
"""Outer film of labels and handbook assemblies. [h ft2 F/Btu]"""
SIDES = ("attic", "knee", "below")
EVAPORATION = 2.45e6
PLUGS = np.array([6] * 6 + [9, 11, 10, 8, 8, 9, 9, 8, 8, 9, 11, 14, 16, 17, 17, 16, 12, 8], float)
LIGHTS = np.array([1] * 5 + [2, 6, 7, 3, 1, 1, 1, 1, 1, 1, 2, 5, 10, 15, 18, 19, 17, 10, 4], float)
HOME = np.array([1] * 9 + [0] * 8 + [1] * 7, float)
PERSON_WATTS = 230 * BTU
PERSON_VAPOR = 0.058 / 3600
"""Moisture of a person and what is cooked and washed for one. [kg/s] (handbook: near 2.5 L a day all told, half of it away; memory)"""
SETTLED = {
    "heat": 0.0, "furnace_heat": 0.0, "fuel": 0.0, "pump_kwh": 0.0, "backup_kwh": 0.0, "fan_heat_kwh": 0.0,
    "cool_kwh": 0.0, "fan_cool_kwh": 0.0, "sensible": 0.0, "latent": 0.0, "natural_kg": 0.0, "rest_kg": 0.0, "unmet": 0.0,
}  # fmt: skip


def fahrenheit(celsius):
    return celsius * 1.8 + 32


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


@dataclass
class Run:
    """Sums of the year by house, monthly where named so, and means for the translation."""

    names: list[str]
    totals: dict[str, np.ndarray]
    monthly: dict[str, np.ndarray]
    residual: float
    trace: dict[str, np.ndarray] = field(default_factory=dict)


class Columns:
    """Numbers of many houses as SI arrays, one column a house."""

    def __init__(self, houses: Sequence[RefHouse], off: frozenset[str] = frozenset()):
        self.houses = list(houses)
        self.off = off
        self.count = len(houses)
        keys = sorted({h.place for h in houses})
        skies = [sky.without(sky.sky_of(k), off) for k in keys]
        self.place = np.array([keys.index(h.place) for h in houses])
        self.weather = {
            name: np.stack([getattr(s, name) for s in skies], axis=-1)
            for name in ("temperature", "moisture", "wind", "roof_sun", "sky_deficit", "day_mean", "face_sun", "face_sun_inside")
        }  # fmt: skip
        self.month, self.hour = skies[0].month, skies[0].hour
        self.pressure = np.array([s.pressure for s in skies])[self.place]
        self.density = self.pressure / (287.05 * 293.15)
        self._envelope()
        self._air()
        self._soil(skies)
        self._inside()
        self._systems()

    def of(self, get) -> np.ndarray:
        return np.array([float(get(h)) for h in self.houses])

    def _envelope(self):
        u = [h.u_values() for h in self.houses]
        area = [h.areas() for h in self.houses]

        def ua(key):
            return (
                np.array([a.get(key, 0.0) * x[key] for a, x in zip(area, u, strict=True)]) * U * FT2
            )

        walls = [h.wall_by_face() for h in self.houses]
        glass = [h.window_by_face() for h in self.houses]
        self.wall_ua = (
            np.array([[w[f] * x["wall"] for w, x in zip(walls, u, strict=True)] for f in sky.FACES])
            * U
            * FT2
        )
        self.glass_ua = (
            np.array(
                [
                    [g[f] * h.window_u for g, h in zip(glass, self.houses, strict=True)]
                    for f in sky.FACES
                ]
            )
            * U
            * FT2
        )
        shaded = [h.window_shgc * h.shade * (0.92 - 0.21 * h.window_shgc) for h in self.houses]
        self.glass_sun = (
            np.array([[g[f] * s for g, s in zip(glass, shaded, strict=True)] for f in sky.FACES])
            * FT2
        )
        self.door_ua, self.slope_ua = ua("door"), ua("slope")
        self.u = {key: np.array([x[key] for x in u]) * U for key in u[0]}
        self.u["glass"] = self.of(lambda h: h.window_u) * U
        self.to_side = {
            "attic": ua("attic") + ua("hatch"),
            "knee": ua("knee") + ua("knee_floor"),
            "below": ua("floor"),
        }
        self.side_out = {k: ua(k) for k in ("attic_roof", "knee_roof", "rim", "stem")}
        self.has = {"attic": np.ones(self.count, bool), "knee": self.of(lambda h: h.knee) > 0,
                    "below": self.of(lambda h: h.foundation != "slab") > 0}  # fmt: skip
        self.basement = self.of(lambda h: h.foundation == "basement") > 0
        self.roof_absorbs = self.of(lambda h: h.roof_absorbs)
        self.wall_absorbs = self.of(lambda h: h.wall_absorbs)

    def _air(self):
        leaks = [h.leaks() for h in self.houses]
        self.exponent = self.of(lambda h: h.exponent)
        per_50 = CFM / 50**self.exponent

        def group(*keys):
            return np.array([sum(x.get(k, 0.0) for k in keys) for x in leaks]) * per_50

        coefficient = {
            "wall": group("wall", "windows"), "rim": group("rim"), "low": group("floor"),
            "attic": group("attic", "hatch"), "knee": group("knee"),
        }  # fmt: skip
        if "no_air" in self.off:
            coefficient = {k: 1e-9 * (1 + v) for k, v in coefficient.items()}
        rise = self.of(lambda h: h.stories * (h.ceiling + 1)) * FT
        self.ceiling_height = rise + self.of(lambda h: 0.8 * h.ceiling if h.knee else 0.0) * FT
        self.eaves = rise + 0.6
        knee_height = rise + self.of(lambda h: 0.4 * h.ceiling) * FT
        self.network = airflow.Network(coefficient, self.exponent, self.ceiling_height, knee_height)
        self.shelter = airflow.SHELTER[self.of(lambda h: h.shelter).astype(int) - 1]
        net = self.of(lambda h: h.vent_ratio * h.footprint) * FT2
        self.vent_area = {
            "attic": net * self.of(lambda h: 0.6 if h.knee else 1.0), "knee": net * self.of(lambda h: 0.4 if h.knee else 0.0),
            "below": self.of(lambda h: h.crawl_vent_ratio * h.footprint if h.foundation == "crawl" else 0.0) * FT2,
        }  # fmt: skip
        self.side_volume = {s: self.of(lambda h, s=s: _side_volume(h, s)) * FT3 for s in SIDES}
        self.least_changes = {"attic": 0.0, "knee": 0.0, "below": np.where(self.basement, 0.1, 0.2)}

    def _soil(self, skies):
        per_m = [_section(h) for h in self.houses]
        lumps = [ground.lump_of(g) for g in per_m]
        length = self.of(lambda h: h.perimeter) * FT
        if "ground" in self.off:
            length = length * 1e-9
        self.soil_near = np.array([x.near for x in lumps]) * length
        self.soil_far = np.array([x.far for x in lumps]) * length
        self.soil_store = np.array([x.store for x in lumps]) * length
        wave = np.array([x.wave for x in lumps])
        self.soil_mean = np.array([s.mean for s in skies])[self.place]
        self.soil_swing = np.array([s.swing for s in skies])[self.place] * np.abs(wave)
        self.soil_day = (
            np.array([s.coldest_day for s in skies])[self.place]
            - np.angle(wave) / (2 * np.pi) * 365
        )
        self.soil_below = self.has["below"]

    def far_soil(self, hour):
        turn = 2 * np.pi * (hour / 24 - self.soil_day) / 365
        return self.soil_mean - self.soil_swing * np.cos(turn)

    def _inside(self):
        capacity = self.of(lambda h: h.mass * h.floor_area) * BTU / (1 / 1.8) * 3600
        if "mass" in self.off:
            capacity = capacity * 0.02
        self.air_store, self.mass_store = 0.2 * capacity, 0.8 * capacity
        # area and film of the mass by EN ISO 13790 12.2.2 (memory); a fifth goes with the air (judgment)
        self.mass_link = self.of(lambda h: 2.5 * h.floor_area) * FT2 * 9.1
        self.side_store = {
            "attic": self.of(lambda h: 2.0 * h.areas()["attic_roof"]) * 1.8 * BTU * 3600,
            "knee": self.of(lambda h: 2.0 * h.areas().get("knee_roof", 0.0)) * 1.8 * BTU * 3600
            + 1.0,
            "below": self.of(_masonry) * 1.8 * BTU * 3600 + 1.0,
        }
        gains = 0.0 if "gains" in self.off else 1.0
        self.people = self.of(lambda h: h.people) * gains
        self.plugs = self.of(lambda h: h.plug_kwh) / 8.76 * gains
        self.lights = self.of(lambda h: h.light_kwh) / 8.76 * gains
        self.room_volume = self.of(lambda h: h.volume) * FT3

    def _systems(self):
        self.heat_day = celsius(self.of(lambda h: h.heat_day))
        self.heat_night = celsius(self.of(lambda h: h.heat_night))
        self.cool_day = celsius(self.of(lambda h: h.cool))
        self.cool_night = celsius(self.of(lambda h: max(h.cool, h.cool_night)))
        self.window_limit = celsius(self.of(lambda h: h.window_limit))
        self.night_hours = self.of(lambda h: h.night_hours)
        self.lockout = self.of(lambda h: h.lockout_hours)
        self.pump = self.of(lambda h: h.heater == "heat pump") > 0
        self.heat_capacity = self.of(lambda h: h.heat_capacity) * BTU
        self.afue = self.of(lambda h: h.afue)
        self.cop_47 = self.of(lambda h: h.cop_47)
        self.backup = self.of(lambda h: h.backup if h.heater == "heat pump" else 0.0) * BTU
        self.cutout = self.of(lambda h: h.cutout)
        self.cool_capacity = self.of(lambda h: h.cool_capacity) * BTU
        self.eer = self.of(lambda h: h.eer_95)
        cfm = self.of(lambda h: h.cfm)
        self.flow = cfm * CFM * self.density
        self.fan = self.of(lambda h: h.fan_watts)
        self.rated_fan = equipment.WATT_FAN_RATED * cfm
        on = np.array(
            [h.duct_place != "inside" and "ducts" not in self.off for h in self.houses], float
        )
        carried = self.flow * AIR
        for side in ("supply", "return"):
            area = self.of(lambda h, side=side: getattr(h, f"{side}_ft2")) * FT2
            through = np.exp(-area / (self.of(lambda h: h.duct_r) * R) / carried)
            setattr(self, f"{side}_kept", np.where(on > 0, through, 1.0))
            setattr(
                self, f"{side}_leak", on * self.of(lambda h, side=side: getattr(h, f"{side}_leak"))
            )
        self.ducts_in = {s: np.array([_duct_side(h) == s for h in self.houses]) for s in SIDES}


def _side_volume(h, side):
    if side == "below":
        return 1.0 if h.foundation == "slab" else h.space_volume(h.foundation)
    return h.space_volume(side) if side == "attic" or h.knee else 1.0


def _duct_side(h):
    return "attic" if h.duct_place == "attic" else "below"


def _masonry(h):
    """Heat kept by concrete and framing below. [Btu/F]"""
    if h.foundation == "basement":
        return 13.0 * (7.0 * h.perimeter) * 0.5 + 6.0 * h.footprint
    return 13.0 * 2.0 * h.perimeter * 0.3 + 3.0 * h.footprint if h.foundation == "crawl" else 0.0


def _section(h):
    half = h.footprint / h.perimeter * FT
    if h.foundation == "basement":
        r = (0.68 + 0.8 + h.masonry_foam) * R
        return ground.ground_of(round(5.5 * FT, 4), round(half, 2), r, (0.92 + 0.6) * R)
    if h.foundation == "crawl":
        return ground.ground_of(
            round(0.5 * FT, 4), round(half, 2), (0.68 + 0.8 + h.masonry_foam) * R, 0.92 * R
        )
    return ground.ground_of(0.0, round(half, 2), 1.5 * R, (0.92 + 0.6) * R)


def run(
    houses: Sequence[RefHouse],
    off: frozenset[str] = frozenset(),
    *,
    trace: bool = False,
    days: int = 365,
    warm_up: int = WARM_UP_DAYS,
) -> Run:
    """A year of all houses, one column each; or its first days, after some days before them."""
    return Year(Columns(houses, off), trace).run(days, warm_up)


class Year:
    """State of all houses in a step, and what is booked of the year."""

    def __init__(self, columns: Columns, trace: bool):
        self.c = c = columns
        self.trace = (
            {k: [] for k in ("room", "attic", "below", "soil", "outdoor", "heat", "natural")}
            if trace
            else None
        )
        self.room = c.heat_day.copy()
        self.mass = c.heat_day.copy()
        self.side = {s: c.heat_day * 0.5 + 5.0 for s in SIDES}  # noqa: C420, each its own array
        self.soil = c.soil_mean.copy() + 3.0
        self.moisture = np.full(c.count, 0.006)
        self.runtime = np.zeros(c.count)
        self.since_step_up = np.full(c.count, 99.0)
        self.setting = c.heat_day.copy()
        self.inner_on = np.zeros((2, c.count))
        self.sum = {k: np.zeros(c.count) for k in SETTLED}
        self.monthly = {k: np.zeros((12, c.count)) for k in SETTLED}
        self.monthly["room"] = np.zeros((12, c.count))
        self.vented = {s: np.zeros(c.count) for s in SIDES}
        self.residual = 0.0

    def run(self, days: int, warm_up: int) -> Run:
        for hour in range(-24 * warm_up, 24 * days):
            self.count = hour >= 0
            self.one_hour(hour % 8760)
        c = self.c
        totals = dict(self.sum)
        for s in SIDES:
            totals[f"{s}_changes"] = self.vented[s] / (24 * days)
        totals["natural_cfm"] = self.sum["natural_kg"] / (24 * days * 3600) / c.density / CFM
        weight = self.monthly["heat"] / np.maximum(self.monthly["heat"].sum(axis=0), 1e-9)
        whole = np.bincount(c.month) / 24
        per_month = self.monthly["rest_kg"] / (whole[:, None] * 86400) / c.density / CFM
        totals["rest_cfm_heating"] = (weight * per_month).sum(axis=0)
        made = {k: np.array(v) for k, v in self.trace.items()} if self.trace else {}
        return Run([h.name for h in c.houses], totals, self.monthly, self.residual, made)

    def one_hour(self, hour):
        c = self.c
        w = {k: v[..., hour, :][..., c.place] for k, v in c.weather.items()}
        self.out, self.out_w = w["temperature"], w["moisture"]
        speed = airflow.wind_at(w["wind"], c.eaves) * c.shelter
        self.month = c.month[hour]
        self.air_of_hour(speed)
        self.outside_of_hour(w, speed)
        clock = c.hour[hour]
        self.gain_of_hour(clock, w)
        self.windows_of_hour(w)
        self.soil_far_now = c.far_soil(hour + 0.5)
        setting = self.setting_at(clock)
        self.since_step_up = np.where(setting > self.setting + 0.1, 0.0, self.since_step_up)
        self.setting = setting
        for _ in range(STEPS):
            self.step()
            self.since_step_up += 1 / STEPS
        if self.trace is not None and self.count:
            for key, value in (("room", self.room), ("attic", self.side["attic"]), ("below", self.side["below"]),
                               ("soil", self.soil), ("outdoor", self.out), ("natural", self.natural)):  # fmt: skip
                self.trace[key].append(value.copy())

    def setting_at(self, clock):
        """Night runs up to 6 in the morning."""
        c = self.c
        into = (clock - (30 - c.night_hours)) % 24
        night = into < c.night_hours
        self.cool_setting = np.where(night, c.cool_night, c.cool_day)
        return np.where(night, c.heat_night, c.heat_day)

    def air_of_hour(self, speed):
        """Mean air of the hour: network while the blower rests and while it runs, by the share of time before."""
        c = self.c
        rest, _ = c.network.flows(self.room, self.out, speed, c.pressure)
        extra = (c.return_leak - c.supply_leak) * c.flow
        shut = c.ducts_in["below"] & (c.basement | ~c.has["below"])
        extra = np.where(shut, 0.0, extra)
        if np.abs(extra).max() > 0:
            blown, self.inner_on = c.network.flows(
                self.room, self.out, speed, c.pressure, extra, start=self.inner_on
            )
        come, leave = np.maximum(rest, 0).mean(axis=0), np.maximum(-rest, 0).mean(axis=0)
        if np.abs(extra).max() > 0:
            come = come + self.runtime * (np.maximum(blown, 0).mean(axis=0) - come)
            leave = leave + self.runtime * (np.maximum(-blown, 0).mean(axis=0) - leave)
        if "no_air" in c.off:
            come, leave = 0.0 * come, 0.0 * leave
        by = {p: c.network.places == p for p in ("out", *SIDES)}
        self.come = {p: come[m].sum(axis=0) for p, m in by.items()}
        self.leave = {p: leave[m].sum(axis=0) for p, m in by.items()}
        slab = ~c.has["below"]
        self.come["out"] = self.come["out"] + np.where(slab, self.come["below"], 0.0)
        for table in (self.come, self.leave):
            table["below"] = np.where(slab, 0.0, table["below"])
        self.natural = sum(self.come.values())
        self.rest = np.maximum(rest, 0).mean(axis=0).sum(axis=0) * ("no_air" not in c.off)
        wind = speed
        self.vent = {}
        for s in SIDES:
            area = c.vent_area[s] / 2
            warm = np.abs(self.side[s] - self.out)
            stack = 0.6 * area * np.sqrt(2 * 9.81 * 1.0 * warm / (self.out + 273.15))
            volume = (
                np.hypot(0.3 * area * wind, stack) + c.least_changes[s] * c.side_volume[s] / 3600
            )
            self.vent[s] = volume * c.density
            if self.count:
                self.vented[s] += volume * 3600 / c.side_volume[s]

    def outside_of_hour(self, w, speed):
        """What each outer surface passes: U-value with the film of the hour, and the air that sun and sky make of it.

        Film by EN ISO 6946: 4 + 4 v for the wind and 4.6 W/(m2 K) for radiation (memory); labels and
        assemblies are rated with the still stronger film R-0.17 of a winter gale, which is taken off first.
        """
        c = self.c
        film = 1 / (FILM_RATED * R) if "film" in c.off else 4.6 + 4.0 + 4.0 * speed
        cold = w["sky_deficit"]
        face = self.out + (c.wall_absorbs * w["face_sun"] - 0.45 * 0.9 * cold) / film
        glass = self.out - 0.45 * 0.9 * cold / film
        roof = self.out + (c.roof_absorbs * w["roof_sun"] - 0.9 * cold) / film
        side = face.mean(axis=0)

        def passed(ua, kind):
            return ua / (1 + c.u[kind] * (1 / film - FILM_RATED * R))

        wall, pane = passed(c.wall_ua, "wall"), passed(c.glass_ua, "glass")
        door, slope = passed(c.door_ua, "door"), passed(c.slope_ua, "slope")
        self.outside_ua = wall.sum(axis=0) + pane.sum(axis=0) + door + slope
        self.outside_heat = (
            (wall * face).sum(axis=0) + (pane * glass).sum(axis=0) + door * side + slope * roof
        )
        out = c.side_out
        self.side_ua = {
            "attic": passed(out["attic_roof"], "attic_roof"), "knee": passed(out["knee_roof"], "knee_roof"),
            "below": passed(out["rim"], "rim") + passed(out["stem"], "stem"),
        }  # fmt: skip
        self.side_c = {"attic": roof, "knee": roof, "below": side}

    def gain_of_hour(self, clock, w):
        c = self.c
        plug = PLUGS[clock] / PLUGS.mean() * c.plugs
        light = LIGHTS[clock] / LIGHTS.mean() * c.lights
        at_home = c.people * HOME[clock]
        self.sun = (c.glass_sun * w["face_sun_inside"]).sum(axis=0)
        self.inside_gain = plug + light + at_home * PERSON_WATTS
        self.vapor = c.people * PERSON_VAPOR * 2 / 3

    def windows_of_hour(self, w):
        """On mild days windows do at the cooling setting what the machine would; on others they stay shut."""
        c = self.c
        self.mild = w["day_mean"] < c.window_limit
        if "windows_shut" in c.off:
            self.mild = np.zeros(c.count, bool)
        open_now = self.mild & (self.room > c.cool_day) & (self.out < self.room)
        self.through_windows = np.where(open_now, 5.0 * c.room_volume / 3600 * c.density, 0.0)

    def step(self):
        self.couple()
        heat = self.heating()
        cool = self.cooling()
        room, side_new = self.close(heat, cool)
        self.settle(room, side_new, heat, cool)

    def couple(self):
        """Coefficients of the step: how the room feels each side, each side the room, and what drives both."""
        c = self.c
        self.felt, self.feels, self.own, self.drive = {}, {}, {}, {}
        for s in SIDES:
            self.felt[s] = c.to_side[s] + AIR * self.come[s]
            self.feels[s] = c.to_side[s] + AIR * self.leave[s]
            out = self.side_ua[s]
            air = AIR * (self.vent[s] + self.come[s])
            self.own[s] = out + air + c.side_store[s] / DT
            self.drive[s] = (
                out * self.side_c[s] + air * self.out + c.side_store[s] / DT * self.side[s]
            )
        soil_below = np.where(c.soil_below, c.soil_near, 0.0)
        self.own["below"] = self.own["below"] + soil_below
        self.drive["below"] = self.drive["below"] + soil_below * self.soil
        slab = np.where(c.soil_below, 0.0, c.soil_near)
        self.soil_room = slab
        air = AIR * (self.come["out"] + self.through_windows)
        direct = self.outside_ua + air + slab
        mass_own = c.mass_store / DT + c.mass_link
        radiant = 0.5 * (self.sun + self.inside_gain)
        mass_drive = c.mass_store / DT * self.mass + radiant
        self.mass_own, self.mass_drive = mass_own, mass_drive
        k = c.air_store / DT + direct + c.mass_link * (1 - c.mass_link / mass_own)
        b = c.air_store / DT * self.room + self.outside_heat + air * self.out + slab * self.soil
        b = b + 0.5 * (self.sun + self.inside_gain) + c.mass_link * mass_drive / mass_own
        for s in SIDES:
            total = self.own[s] + self.feels[s]
            k = k + self.felt[s] * (1 - self.feels[s] / total)
            b = b + self.felt[s] * self.drive[s] / total
        self.k, self.b = k, b
        self.float = b / k

    def duct_state(self):
        """Temperature and moisture around the ducts, as the step begins."""
        c = self.c
        around = sum(np.where(c.ducts_in[s], self.side[s], 0.0) for s in SIDES)
        damp = np.where(
            c.ducts_in["attic"], self.side_moisture("attic"), self.side_moisture("below")
        )
        return around, damp

    def side_moisture(self, s):
        """Moisture of a side space: what comes in from outdoors and leaves the rooms, well mixed."""
        outdoor = self.vent[s] + self.come[s] + 1e-9
        return (outdoor * self.out_w + self.leave[s] * self.moisture) / (outdoor + self.leave[s])

    def through_ducts(self, made, around):
        """Heat to the room and to the duct's space for a heat made at the machine, whole step running. [W]"""
        c = self.c
        carried = c.flow * AIR
        back = around + (self.room - around) * c.return_kept
        enter = (1 - c.return_leak) * back + c.return_leak * around
        after = enter + made / carried
        register = around + (after - around) * c.supply_kept
        room = (1 - c.supply_leak) * carried * (register - self.room)
        lost = carried * ((1 - c.return_leak) * (self.room - back) + (after - register))
        leaked = c.supply_leak * carried * (register - around)
        excess = np.maximum(c.return_leak - c.supply_leak, 0.0) * carried
        sealed = c.ducts_in["below"] & c.basement
        makeup = np.where(sealed, excess * (self.room - around), excess * (self.out - around))
        more = np.maximum(c.supply_leak - c.return_leak, 0.0) * carried
        room = room + np.where(sealed, more * (around - self.room), 0.0)
        return room, lost + leaked + makeup, enter

    def response(self, room_heat, side_heat):
        """Rise of the room at the end of the step for heat to it and to the duct's space. [K]"""
        c = self.c
        add = room_heat
        for s in SIDES:
            share = self.felt[s] / (self.own[s] + self.feels[s])
            add = add + np.where(c.ducts_in[s], share * side_heat, 0.0)
        return add / self.k

    def heating(self):
        """Share of the step that the heater runs, backup power, and where its heat goes."""
        c = self.c
        around, _ = self.duct_state()
        out_f = fahrenheit(self.out)
        able = np.where(
            c.pump,
            np.where(out_f > c.cutout, equipment.heating_capacity(out_f, c.heat_capacity), 0.0),
            c.heat_capacity,
        )
        extra_fan = np.where(c.pump, c.fan - c.rated_fan, c.fan)
        made = able + np.where(able > 0, extra_fan, 0.0)
        room, side, _ = self.through_ducts(made, around)
        rise = self.response(room, side)
        need = self.setting - self.float
        share = np.clip(np.where(rise > 1e-6, need / np.maximum(rise, 1e-6), 0.0), 0.0, 1.0)
        share = np.where(able > 0, share, 0.0)
        share = np.where(self.mild & (need < 0), 0.0, share)
        reached = self.float + share * rise
        per_watt_room, per_watt_side = (
            c.supply_kept * (1 - c.supply_leak),
            1 - c.supply_kept * (1 - c.supply_leak),
        )
        per_watt = self.response(per_watt_room, per_watt_side)
        short = self.setting - 1.0 - reached
        allowed = (self.since_step_up >= c.lockout) & c.pump
        backup = np.where(allowed, np.clip(short / per_watt, 0.0, c.backup), 0.0)
        backup = np.where(
            (able <= 0) & c.pump,
            np.clip((self.setting - self.float) / per_watt, 0.0, c.backup),
            backup,
        )
        return {
            "share": share, "able": able, "made": made, "room": share * room + backup * per_watt_room,
            "side": share * side + backup * per_watt_side, "backup": backup, "out_f": out_f,
        }  # fmt: skip

    def cooling(self):
        c = self.c
        around, damp = self.duct_state()
        enter_w = (1 - c.return_leak) * self.moisture + c.return_leak * damp
        back = around + (self.room - around) * c.return_kept
        enter = (1 - c.return_leak) * back + c.return_leak * around
        out_f = fahrenheit(self.out)
        wet_f = fahrenheit(_wet_bulb(enter, enter_w, c.pressure))
        total = c.cool_capacity * equipment.cool_capacity_share(out_f, np.clip(wet_f, 55, 75))
        sensible, latent = equipment.coil(total, c.flow, enter, enter_w, c.pressure)
        room, side, _ = self.through_ducts(-sensible + c.fan - c.rated_fan, around)
        rise = self.response(room, side)
        need = self.cool_setting - self.float
        share = np.clip(np.where(rise < -1e-6, need / np.minimum(rise, -1e-6), 0.0), 0.0, 1.0)
        share = np.where(self.mild | (need > 0), 0.0, share)
        leaving_w = enter_w - latent / EVAPORATION / c.flow
        return {
            "share": share, "room": share * room, "side": share * side, "sensible": sensible, "latent": latent,
            "out_f": out_f, "leaving_w": leaving_w, "damp": damp, "dry": enter_w,
        }  # fmt: skip

    def close(self, heat, cool):
        c = self.c
        side_heat = heat["side"] + cool["side"]
        room_heat = heat["room"] + cool["room"]
        room = self.float + self.response(room_heat, side_heat)
        new = {}
        for s in SIDES:
            total = self.own[s] + self.feels[s]
            mine = np.where(c.ducts_in[s], side_heat, 0.0)
            new[s] = (self.drive[s] + mine + self.feels[s] * room) / total
        return room, new

    def settle(self, room, side, heat, cool):
        c = self.c
        mass = (self.mass_drive + c.mass_link * room) / self.mass_own
        self.check(room, mass, side, heat, cool)
        below = np.where(c.soil_below, side["below"], room)
        into = c.soil_near * (below - self.soil) - c.soil_far * (self.soil - self.soil_far_now)
        self.soil = self.soil + into * DT / c.soil_store
        self.damp_step(cool)
        self.room, self.mass, self.side = room, mass, side
        # in a basement the soil lump stands for the slab's far field; zones without volume keep the room's
        for s in SIDES:
            self.side[s] = np.where(c.has[s], side[s], room)
        self.runtime = np.clip(heat["share"] + cool["share"], 0, 1)
        if self.count:
            self.book(room, heat, cool)

    def check(self, room, mass, side, heat, cool):
        """Heat stored in all nodes against all that crossed the boundary in the step. [W]"""
        c = self.c
        stored = c.air_store * (room - self.room) + c.mass_store * (mass - self.mass)
        crossed = self.sun + self.inside_gain + self.outside_heat - self.outside_ua * room
        crossed = crossed + AIR * (self.come["out"] + self.through_windows) * (self.out - room)
        crossed = crossed + self.soil_room * (self.soil - room)
        crossed = crossed + heat["room"] + heat["side"] + cool["room"] + cool["side"]
        for s in SIDES:
            stored = stored + c.side_store[s] * (side[s] - self.side[s])
            crossed = crossed + self.side_ua[s] * (self.side_c[s] - side[s])
            crossed = crossed + AIR * (self.vent[s] + self.come[s]) * (self.out - side[s])
            crossed = (
                crossed
                + AIR * self.come[s] * (side[s] - room)
                + AIR * self.leave[s] * (room - side[s])
            )
        crossed = crossed + np.where(c.soil_below, c.soil_near * (self.soil - side["below"]), 0.0)
        self.residual = max(self.residual, float(np.abs(stored / DT - crossed).max()))

    def damp_step(self, cool):
        """Moisture of the rooms; furnishings hold ten times what the air does. (judgment)"""
        c = self.c
        hold = 10.0 * c.room_volume * c.density / DT
        come = self.come["out"] + self.through_windows
        gain = self.vapor + come * self.out_w
        loss = come + 0.0
        for s in SIDES:
            gain = gain + self.come[s] * self.side_moisture(s)
            loss = loss + self.come[s]
        blown = cool["share"] * c.flow * (1 - c.supply_leak)
        gain = gain + blown * cool["leaving_w"]
        self.moisture = (hold * self.moisture + gain) / (hold + loss + blown)

    def book(self, room, heat, cool):
        c = self.c
        hours = DT / 3600
        f = heat["out_f"]
        ratio = np.where(c.pump, heat["share"], 0.0)
        power = equipment.heating_power(f, c.heat_capacity, c.cop_47) - c.rated_fan
        plf = 1 - equipment.CYCLING * (1 - ratio)
        pump = np.where(ratio > 0, ratio * power / plf, 0.0)
        furnace = np.where(c.pump, 0.0, heat["share"] * c.heat_capacity)
        delivered = np.where(c.pump, heat["share"] * heat["able"] + heat["backup"], furnace)
        cool_watts = c.cool_capacity / (c.eer * BTU) * equipment.cool_power_share(cool["out_f"])
        part = 1 - equipment.COOL_CYCLING * (1 - cool["share"])
        amounts = {
            "heat": delivered, "furnace_heat": furnace, "fuel": furnace / c.afue, "pump_kwh": pump + heat["backup"],
            "backup_kwh": heat["backup"], "fan_heat_kwh": np.maximum(heat["share"], (heat["backup"] > 0) * 1.0) * c.fan,
            "cool_kwh": cool["share"] * (cool_watts - c.rated_fan) / part, "fan_cool_kwh": cool["share"] * c.fan,
            "sensible": cool["share"] * cool["sensible"], "latent": cool["share"] * cool["latent"],
            "natural_kg": self.natural * 1000 * 3600, "rest_kg": self.rest * 1000 * 3600, "unmet": np.maximum(self.setting - room - 1.2, 0) * 1000,
        }  # fmt: skip
        for key, value in amounts.items():
            self.sum[key] += value * hours / 1000
            self.monthly[key][self.month] += value * hours / 1000
        self.monthly["room"][self.month] += room * hours
        if self.trace is not None and len(self.trace["heat"]) < 8760 * STEPS:
            self.trace["heat"].append(delivered)


def _wet_bulb(celsius_, ratio, pressure):
    """Wet-bulb temperature by two Newton steps on the psychrometer equation. [C]"""
    guess = celsius_ - 5.0
    for _ in range(3):
        saturated, slope = equipment._saturated(guess, pressure)
        miss = saturated - ratio - 1006 / EVAPORATION * (celsius_ - guess)
        guess = guess - miss / (slope + 1006 / EVAPORATION)
    return guess
