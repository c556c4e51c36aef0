"""The hourly house as a house record of the product, field by field, and its weather through the product's reader.

What a rater could read or measure is carried over: areas, labels, blower-door flow and the shares of
its places, settings, duct test, equipment labels, and the air changes of vented spaces as the year's
mean of the hourly house (a tracer-gas reading). Nothing else of the hourly house is known here.
"""

from collections.abc import Mapping
from functools import cache

import numpy as np

from hourly import equipment, sky
from hourly.assemblies import EMPTY_BAY
from hourly.describe import RefHouse
from retrofit_lab.climate.monthly import MonthlyClimate, monthly_climate
from retrofit_lab.climate.weather import Hours, weather_from_hours
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.file import house_from_table
from retrofit_lab.model.air import leak_rows

MEASURES = {
    "attic_insulation": "attic_insulation", "wall_fill": "wall_fill", "rim_foam": "band_joist_foam",
    "relay_batts": "relay_attic_batts", "hatch": "attic_hatch", "duct_mastic": "duct_mastic",
    "duct_insulation": "duct_insulation", "setback": "night_setback", "windows": "new_windows",
    "knee_walls": "kneewall_insulation",
}  # fmt: skip
"""Measure of the product that stands for each kind of work; the others change fields, see `after`."""
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
    """Record of a house as its file would hold it; ``read`` holds the air changes measured in its spaces."""
    content = {
        "format": "retrofit-lab house", "version": 1, "name": h.name,
        "site": {"climate": h.place, "shelter_class": h.shelter, "year_built": h.year, "open_window_below": f"{h.window_limit} F"},
        "size": {"floor_area": f"{h.floor_area} ft2", "volume": f"{h.volume} ft3", "stories": _stories(h), "bedrooms": 3,
                 "occupants": h.people, "heat_capacity": f"{h.mass} Btu/(ft2 F)"},
        "surfaces": list(_surfaces(h)), "windows": list(_windows(h)), "buffers": list(_buffers(h, read)),
        "underground": [] if "ground" in off else list(_underground(h)),
        "leakage": {"flow": f"{h.cfm50} cfm", "pressure": "50 Pa", "exponent": h.exponent, "sites": list(_sites(h))},
        **_systems(h),
    }  # fmt: skip
    house = house_from_table(content)
    check_house(house)
    return house


def _stories(h):
    """Stories above the lowest leak: an unheated basement counts for half."""
    return h.stories + (0.5 if h.knee else 0.0)


def _below(h):
    return {"basement": "basement", "crawl": "crawlspace"}.get(h.foundation, "house")


def _surfaces(h):
    area, below = h.areas(), _below(h)

    def made(key, kind, inside, outside, size, boards, **more):
        return {"key": key, "label": key, "kind": kind, "inside": inside, "outside": outside, "area": f"{size} ft2",
                "r_continuous": f"R-{boards}", "framing_fraction": 0, **more}  # fmt: skip

    def fill(r, framing, depth, gap=0.0, missing=0.0):
        return {"r_label": f"R-{r}", "framing_fraction": framing, "r_framing": f"R-{1.25 * depth}", "gap_fraction": gap,
                "missing_fraction": missing, "fill": "batt" if r > 3 else "none"}  # fmt: skip

    yield made("walls", "wall", "house", "outdoors", sum(h.wall_by_face().values()), 2.2,
               **fill(h.wall_fill or EMPTY_BAY, 0.23, h.stud_in, h.wall_gap if h.wall_fill else 0.0, h.wall_missing))  # fmt: skip
    yield made("doors", "door", "house", "outdoors", h.doors, 2.0)
    yield made("attic_floor", "ceiling", "house", "attic", area["attic"], 0.45, **fill(h.batt, 0.1, 5.5, h.batt_gap, h.batt_missing))  # fmt: skip
    yield made("attic_hatch", "hatch", "house", "attic", area["hatch"], h.hatch_r)
    yield made("main_roof", "roof", "attic", "outdoors", area["attic_roof"], 1.1)
    if h.knee:
        yield made(
            "slope",
            "ceiling",
            "house",
            "outdoors",
            area["slope"],
            2.0,
            **fill(h.slope_fill, 0.1, 7.25, 0.05),
        )
        yield made("kneewalls", "kneewall", "house", "kneewall_space", area["knee"], 0.45, **fill(h.knee_fill, 0.15, 3.5, h.knee_gap, h.knee_missing))  # fmt: skip
        yield made("kneewall_floor", "ceiling", "house", "kneewall_space", area["knee_floor"], 0.45, **fill(h.knee_floor_fill, 0.1, 7.25, 0.1))  # fmt: skip
        yield made("kneewall_roof", "roof", "kneewall_space", "outdoors", area["knee_roof"], 1.1)
    if h.foundation != "slab":
        yield made(
            "first_floor",
            "floor",
            "house",
            below,
            area["floor"],
            2.5,
            **fill(h.floor_fill, 0.1, 9.25),
        )
        yield made(
            "band_joist", "rim", below, "outdoors", area["rim"], 2.5, **fill(h.rim_fill, 0.1, 3.504)
        )
        yield made("stem", "basement_wall", below, "outdoors", area["stem"], 1.3 + h.masonry_foam)


def _windows(h):
    for face, size in h.window_by_face().items():
        yield {"key": face, "label": face, "area": f"{size} ft2", "u_value": f"U-{h.window_u}", "shgc": h.window_shgc,
               "facing": f"{90 * sky.FACES.index(face)} deg", "shading": h.shade}  # fmt: skip


def _underground(h):
    size = {"length": f"{h.length} ft", "width": f"{h.width} ft"}
    edge = {"length": f"{h.perimeter} ft"}
    if h.foundation == "basement":
        yield {"key": "cellar_walls", "label": "walls", "kind": "wall", "inside": "basement", **edge, "depth": "5.5 ft", "r_value": f"R-{1.48 + h.masonry_foam}"}  # fmt: skip
        yield {"key": "cellar_floor", "label": "floor", "kind": "floor", "inside": "basement", **size, "depth": "5.5 ft", "r_value": "R-1.52"}  # fmt: skip
    elif h.foundation == "crawl":
        yield {"key": "crawl_floor", "label": "soil", "kind": "floor", "inside": "crawlspace", **size, "depth": "0.5 ft", "r_value": "R-0.92"}  # fmt: skip
    else:
        yield {"key": "slab", "label": "slab", "kind": "slab", "inside": "house", **edge, "depth": "0 ft", "r_value": "R-1.5"}  # fmt: skip


def _buffers(h, read):
    spaces = [("attic", "attic", "attic", read["attic_changes"], h.roof_absorbs)]
    if h.knee:
        spaces.append(("kneewall_space", "kneewall", "knee", read["knee_changes"], h.roof_absorbs))
    if h.foundation == "basement":
        spaces.append(("basement", "basement", "basement", 0.1, 0.0))
    if h.foundation == "crawl":
        spaces.append(("crawlspace", "crawlspace", "crawl", read["below_changes"], 0.0))
    for key, kind, own, changes, sun in spaces:
        yield {"key": key, "label": key, "kind": kind, "volume": f"{h.space_volume(own)} ft3", "air_changes": f"{changes} per h", "sun_absorptance": sun}  # fmt: skip


def _sites(h):
    """Leak sites sized so that they share the reading as the house does; a fifth stays with no site."""
    sealed = dict(h.sealed)
    for key, share in h.shares:
        kind, place = KINDS[key]
        part = share - UNLISTED if key == "wall" else share
        count = 1000.0 * part / float(leak_rows()[kind]["likely_in2"])
        yield {"key": key, "label": key, "kind": kind, "place": _below(h) if place == "below" else place,
               "count": count, "sealed": sealed.get(key, 0.0)}  # fmt: skip


def _systems(h):
    night = {"key": "night", "label": "Night", "days_per_week": 7, "hours": f"{h.night_hours} h",
             "heating_setpoint": f"{h.heat_night} F", "cooling_setpoint": f"{max(h.cool, h.cool_night)} F"}  # fmt: skip
    cooler = {"key": "cooling", "label": "Cooling", "seer": f"{float(equipment.seer_label(h.eer_95))} Btu/Wh",
              "capacity": f"{h.cool_capacity} Btu/h", "ducted": "yes", "share": 1}  # fmt: skip
    systems = {
        "zones": [{"key": "whole", "label": "Whole house", "share": 1, "heating_setpoint": f"{h.heat_day} F",
                   "cooling_setpoint": f"{h.cool} F", "periods": [night]}],
        "ducts": _ducts(h),
        "air_conditioners": [cooler],
        "water_heaters": [{"key": "tank", "label": "Tankless", "kind": "tankless", "fuel": "natural_gas", "place": "house",
                           "share": 1, "volume": "0 gal", "r_tank": "R-16", "setpoint": "120 F", "efficiency": 0.8}],
        "hot_water": {"pipe_length": "0 ft", "machine_gallons": "5 gal/day"},
        "lamps": [{"key": "lamps", "label": "Lamps", "kind": "led", "place": "house", "inside": 1,
                   "watts": f"{max(h.light_kwh, 4.0) / 7.3} W", "count": 10, "hours": "2 h"}],
        "appliances": [{"key": "plugs", "label": "Plugs", "use": f"{h.plug_kwh} kWh/year", "inside": 1}],
        "prices": [{"key": "electricity", "price": 0.15}, {"key": "natural_gas", "price": 1.2}],
    }  # fmt: skip
    if h.heater == "heat pump":
        label = float(equipment.hspf_label(h.heat_capacity, h.cop_47))
        systems["heat_pumps"] = [{"key": "pump", "label": "Heat pump", "ducted": "yes", "share": 1, "hspf": f"{label} Btu/Wh",
                                  "capacity": f"{h.heat_capacity} Btu/h", "cutout": f"{h.cutout} F",
                                  "recovery_hours": f"{h.lockout_hours} h"}]  # fmt: skip
    else:
        systems["fuel_heaters"] = [{"key": "furnace", "label": "Furnace", "kind": "furnace", "fuel": "natural_gas", "share": 1,
                                    "efficiency": h.afue, "capacity": f"{h.heat_capacity} Btu/h"}]  # fmt: skip
    return systems


def _ducts(h):
    common = {"flow": f"{h.cfm} cfm", "fan_watts": f"{h.fan_watts} W"}
    if h.duct_place == "inside":
        return common
    place = "attic" if h.duct_place == "attic" else _below(h)
    return {**common, "supply_place": place, "return_place": place, "supply_area": f"{h.supply_ft2} ft2",
            "return_area": f"{h.return_ft2} ft2", "supply_r": f"R-{h.duct_r}", "return_r": f"R-{h.duct_r}",
            "supply_leakage": h.supply_leak, "return_leakage": h.return_leak}  # fmt: skip


def as_measured(totals: Mapping[str, np.ndarray], column: int) -> dict[str, float]:
    """What a tracer-gas reading in the spaces around the rooms would say."""
    return {
        key: float(totals[key][column])
        for key in ("attic_changes", "knee_changes", "below_changes")
    }
