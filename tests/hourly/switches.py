"""Mechanisms that can be left out one at a time, in both models where both have them."""

from dataclasses import replace

from hourly.describe import RefHouse

SWITCHES = (
    "sun", "sky", "wall_sun", "film", "air", "gains", "ducts", "mass", "ground", "windows_shut",
)  # fmt: skip
"""sun: weather of both; sky, wall_sun: hourly only; film: hourly, outer film as rated; air: 50 cfm at 50 Pa; gains, ducts, ground: both; mass: 1 Btu/ft2F."""


def switched(h: RefHouse, off: frozenset[str]) -> RefHouse:
    """Description with what both models read from it left out."""
    unknown = off - set(SWITCHES)
    if unknown:
        raise SystemExit(f"unknown: {', '.join(unknown)}; known are {', '.join(SWITCHES)}")
    if "air" in off:
        h = replace(h, cfm50=80.0)
    if "gains" in off:
        h = replace(h, people=0.0, plug_kwh=0.0, light_kwh=0.0)
    if "ducts" in off:
        h = replace(h, duct_place="inside")
    if "mass" in off:
        h = replace(h, mass=1.0)
    return replace(h, window_limit=50.0) if "windows_shut" in off else h
