"""The hourly house as a house record of the product, field by field, and its weather through the product's reader.

What a rater could read or measure is carried over: areas, labels, blower-door flow and the shares of
its places, settings, duct test, equipment labels, and the air changes of vented spaces as the year's
mean of the hourly house (a tracer-gas reading). Nothing else of the hourly house is known here.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import numpy as np

from hourly import equipment, sky
from hourly.assemblies import EMPTY_BAY
from hourly.describe import RefHouse
from retrofit_lab.climate.monthly import MonthlyClimate, monthly_climate
from retrofit_lab.climate.weather import Hours, weather_from_hours
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.items import item_named
from retrofit_lab.house.plan import Plan
from retrofit_lab.house.starting import starting_house
from retrofit_lab.model.air import leak_rows

MEASURES = {
    "attic_insulation": "attic_insulation", "wall_fill": "wall_fill", "rim_foam": "band_joist_foam",
    "relay_batts": "relay_attic_batts", "hatch": "attic_hatch", "duct_mastic": "duct_mastic",
    "duct_insulation": "duct_insulation", "setback": "night_setback", "windows": "new_windows",
    "knee_walls": "kneewall_insulation",
}  # fmt: skip
"""Measure of the product that stands for each kind of work; the others change fields, see `after`."""
FOUNDATIONS = {
    "basement": "basement, not heated",
    "crawl": "crawl space",
    "slab": "slab on the ground",
}
KINDS = {
    "rim": ("band_joist", "below"), "floor": ("plumbing_penetrations", "below"), "attic": ("wiring_penetrations", "attic"),
    "hatch": ("attic_hatch", "attic"), "knee": ("kneewall", "kneewall_space"), "windows": ("windows", "house"),
    "wall": ("outlets", "house"),
}  # fmt: skip
UNLISTED = 0.2


def measure_for(house: RefHouse, work: str) -> str | None:
    """Key of the measure, or None where the record itself is changed."""
    if work == "foundation_wall":
        return {"basement": "basement_wall_insulation", "crawl": "crawl_encapsulation"}[
            house.foundation
        ]
    return MEASURES.get(work)


@cache
def climate_of(key: str, off: frozenset[str] = frozenset()) -> MonthlyClimate:
    """Climate of the same hours."""
    r = sky.raw(key)
    latitude, longitude, zone, elevation = r["place"]
    sun = 0.0 if "sun" in off else 1.0
    hours = Hours(
        name=key, latitude=latitude, longitude=longitude, zone=zone, elevation=elevation,
        month=r["month"], day=r["day"], hour=r["hour"], temperature=r["temperature_hundredth_C"] / 100,
        dew_point=r["dew_point_hundredth_C"] / 100, wind=r["wind_hundredth_m_s"] / 100,
        horizontal=sun * r["horizontal_W_m2"], beam=sun * r["beam_W_m2"], diffuse=sun * r["diffuse_W_m2"],
    )  # fmt: skip
    return monthly_climate(weather_from_hours(hours, key=key, source="typical year"))


def house_record(
    h: RefHouse, read: Mapping[str, float], off: frozenset[str] = frozenset()
) -> House:
    """Record of a house; ``read`` holds the air changes measured in its attic, knee-wall space and crawl space."""
    plan = Plan(
        name=h.name, climate=h.place, year_built=float(h.year), length=h.length, width=h.width,
        storeys=float(h.stories), ceiling=h.ceiling, foundation=FOUNDATIONS[h.foundation],
        roof="rooms with knee walls" if h.knee else "attic",
        heating="heat pump" if h.heater == "heat pump" else "gas furnace", cooling="central",
        hot_water="gas tankless", bedrooms=3.0, occupants=max(float(h.people), 0.0),
    )  # fmt: skip
    house = starting_house(plan)
    house = replace(
        house,
        site=replace(house.site, shelter_class=float(h.shelter), open_window_below=h.window_limit),
        size=replace(house.size, floor_area=h.floor_area, volume=h.volume, heat_capacity=h.mass),
        surfaces=tuple(_surface(s, h) for s in house.surfaces),
        windows=tuple(_window(w, h) for w in house.windows),
        underground=() if "ground" in off else tuple(_underground(u, h) for u in house.underground),
        buffers=tuple(_buffer(b, h, read) for b in house.buffers),
        leakage=replace(house.leakage, flow=h.cfm50, pressure=50.0, exponent=h.exponent, sites=tuple(_sites(h))),
        fans=(), standby=(), **_systems(house, h),
    )  # fmt: skip
    check_house(house)
    return house


def _surface(s, h):
    area = h.areas()
    known = {
        "walls": {"area": sum(h.wall_by_face().values()), "r_continuous": 2.2, "r_label": h.wall_fill or EMPTY_BAY,
                  "framing_fraction": 0.23, "r_framing": 1.25 * h.stud_in, "gap_fraction": h.wall_gap,
                  "missing_fraction": h.wall_missing, "fill": "batt" if h.wall_fill else "none"},
        "doors": {"area": h.doors, "r_continuous": 2.0},
        "attic_floor": {"area": area["attic"], "r_continuous": 0.45, "r_label": h.batt, "framing_fraction": 0.1,
                        "r_framing": 1.25 * 5.5, "gap_fraction": h.batt_gap, "missing_fraction": h.batt_missing},
        "attic_hatch": {"area": area["hatch"], "r_continuous": h.hatch_r},
        "main_roof": {"area": area["attic_roof"], "r_continuous": 1.1},
        "slope": {"area": area.get("slope"), "r_continuous": 2.0, "r_label": h.slope_fill, "framing_fraction": 0.1,
                  "r_framing": 1.25 * 7.25, "gap_fraction": 0.05},
        "kneewalls": {"area": area.get("knee"), "r_continuous": 0.45 + h.knee_foam, "r_label": h.knee_fill,
                      "framing_fraction": 0.15, "r_framing": 4.375, "gap_fraction": h.knee_gap,
                      "missing_fraction": h.knee_missing},
        "kneewall_floor": {"area": area.get("knee_floor"), "r_continuous": 0.45, "r_label": h.knee_floor_fill,
                           "framing_fraction": 0.1, "r_framing": 1.25 * 7.25, "gap_fraction": 0.1},
        "kneewall_roof": {"area": area.get("knee_roof"), "r_continuous": 1.1},
        "first_floor": {"area": area.get("floor"), "r_continuous": 2.5, "r_label": h.floor_fill, "framing_fraction": 0.1,
                        "r_framing": 1.25 * 9.25, "gap_fraction": 0.0, "fill": "batt" if h.floor_fill else "none"},
        "band_joist": {"area": area.get("rim"), "r_continuous": 2.5, "r_label": h.rim_fill, "framing_fraction": 0.1},
        "wall_above_grade": {"area": area.get("stem"), "r_continuous": 1.3 + h.masonry_foam},
    }  # fmt: skip
    return replace(s, **known[s.key])


def _window(w, h):
    return replace(
        w, area=h.window_by_face()[w.key], u_value=h.window_u, shgc=h.window_shgc, shading=h.shade
    )


def _underground(u, h):
    size = {"length": h.length, "width": h.width}
    known = {
        "basement_walls": {"length": h.perimeter, "depth": 5.5, "r_value": 1.48 + h.masonry_foam},
        "basement_floor": {**size, "depth": 5.5, "r_value": 1.52},
        "crawl_floor": {**size, "depth": 0.5, "r_value": 0.92},
        "slab_edge": {"length": h.perimeter},
    }
    return replace(u, **known[u.key])


def _buffer(b, h, read):
    name = {"kneewall_space": "knee", "crawlspace": "crawl"}.get(b.key, b.key)
    changes = {"attic": "attic_changes", "knee": "knee_changes", "crawl": "below_changes"}
    air = 0.1 if name == "basement" else float(read[changes[name]])
    sun = h.roof_absorbs if name in ("attic", "knee") else 0.0
    return replace(b, volume=h.space_volume(name), air_changes=air, sun_absorptance=sun)


def _sites(h):
    """Leak sites sized so that they share the reading as the house does; a fifth stays with no site."""
    below = {"basement": "basement", "crawl": "crawlspace"}.get(h.foundation, "house")
    sealed = dict(h.sealed)
    for key, share in h.shares:
        kind, place = KINDS[key]
        part = share - UNLISTED if key == "wall" else share
        site = item_named("leakage.sites.outlets").record
        area = float(leak_rows()[kind]["likely_in2"])
        yield replace(
            site, key=key, label=key, kind=kind, place=below if place == "below" else place,
            count=1000.0 * part / area, condition=1.0, sealed=sealed.get(key, 0.0),
        )  # fmt: skip


def _systems(house, h):
    zone = house.zones[0]
    night = replace(zone.periods[0], days_per_week=7.0, hours=float(h.night_hours), heating_setpoint=h.heat_night, cooling_setpoint=max(h.cool, h.cool_night))  # fmt: skip
    ducts = replace(house.ducts, flow=h.cfm, fan_watts=h.fan_watts)
    if h.duct_place != "inside":
        below = {"basement": "basement", "crawl": "crawlspace"}.get(h.foundation)
        place = "attic" if h.duct_place == "attic" else below
        ducts = replace(
            ducts, supply_place=place, return_place=place, supply_area=h.supply_ft2, return_area=h.return_ft2,
            supply_r=h.duct_r, return_r=h.duct_r, supply_leakage=h.supply_leak, return_leakage=h.return_leak,
        )  # fmt: skip
    else:
        ducts = replace(ducts, supply_area=0.0, return_area=0.0, supply_leakage=0.0, return_leakage=0.0, supply_place="house", return_place="house")  # fmt: skip
    label = equipment.hspf_label(h.heat_capacity, h.cop_47)
    lamp = replace(
        house.lamps[0], count=10.0, hours=2.0, watts=max(h.light_kwh, 4.0) / 7.3, inside=1.0
    )
    plug = replace(house.appliances[0], use=h.plug_kwh, inside=1.0)
    return {
        "zones": (replace(zone, heating_setpoint=h.heat_day, cooling_setpoint=h.cool, weeks_away=0.0, periods=(night,)),),
        "ducts": ducts,
        "fuel_heaters": tuple(
            replace(f, efficiency=h.afue, capacity=h.heat_capacity, pilot=0.0) for f in house.fuel_heaters
        ),
        "heat_pumps": tuple(
            replace(p, hspf=float(label), capacity=h.heat_capacity, cutout=h.cutout, recovery_hours=h.lockout_hours)
            for p in house.heat_pumps
        ),
        "air_conditioners": tuple(
            replace(a, seer=float(equipment.seer_label(h.eer_95)), capacity=h.cool_capacity)
            for a in house.air_conditioners
        ),
        "hot_water": replace(house.hot_water, pipe_length=0.0),
        "water_heaters": tuple(replace(t, place="house", volume=0.0, flue_loss=0.0) for t in house.water_heaters),
        "lamps": (lamp,),
        "appliances": (plug,),
    }  # fmt: skip


def as_measured(totals: Mapping[str, np.ndarray], column: int) -> dict[str, float]:
    """What a tracer-gas reading in the spaces around the rooms would say."""
    return {
        key: float(totals[key][column])
        for key in ("attic_changes", "knee_changes", "below_changes")
    }
