"""The product beside the hourly house where both must agree: assemblies, leak shares, stored results."""

import numpy as np
import pytest

from hourly.describe import RefHouse
from hourly.ground import ground_of
from hourly.results import read, stored_houses, work_out
from hourly.translate import house_record
from retrofit_lab.house.description import House
from retrofit_lab.model.air import site_shares_left
from retrofit_lab.model.envelope import surface_u
from retrofit_lab.physics.below_grade import (
    LAG_DAYS,
    LEAD,
    SOIL_CONDUCTIVITY,
    floor_u,
    floor_wave_u,
    inner_wave_u,
    wall_u,
    wall_wave_u,
)

ASSEMBLY = {
    "walls": "wall", "doors": "door", "attic_hatch": "hatch", "main_roof": "attic_roof", "slope": "slope", "kneewalls": "knee",
    "kneewall_floor": "knee_floor", "kneewall_roof": "knee_roof", "band_joist": "rim", "stem": "stem",
}  # fmt: skip
"""Surfaces of the record by assembly; open attic bays and floors over basements have films of their own."""


def both() -> list[tuple[RefHouse, House]]:
    stored = read()
    return [(h, house_record(h, stored[h.name, "as_found"])) for h in stored_houses()]


def test_assemblies_conduct_the_same_in_both() -> None:
    for h, record in both():
        for surface in record.surfaces:
            if surface.key in ASSEMBLY:
                expected = h.u_values()[ASSEMBLY[surface.key]]
                assert float(surface_u(surface)) == pytest.approx(expected, rel=0.01), (h.name, surface.key)  # fmt: skip


def test_leak_sites_share_the_reading_as_in_the_hourly_house() -> None:
    for h, record in both():
        shares = site_shares_left(record)
        for key, share in h.shares:
            if key != "wall":
                assert float(shares[key]) == pytest.approx(share, abs=1e-6)
        assert sum(map(float, shares.values())) == pytest.approx(1.0)


SOIL = SOIL_CONDUCTIVITY * 1.7307
FOOT, R_VALUE = 0.3048, 0.17611


@pytest.mark.parametrize(
    ("depth", "r_wall", "r_floor", "near"),
    [(5.5, 1.48, 1.52, 0.25), (5.5, 11.48, 1.52, 0.3), (0.5, 1.48, 0.92, 0.15), (0.0, 1.5, 1.52, 0.15)],
    ids=["basement", "basement with foam", "crawl space", "slab"],
)  # fmt: skip
def test_ground_passes_heat_as_in_the_solved_section(depth, r_wall, r_floor, near) -> None:
    """30 x 40 ft in the same soil: at rest, and in phase with the year; the standard's whole month of lag is a rounded
    one, and the section has no thickness of wall."""
    length, width = 40.0, 30.0
    edge, area = 2.0 * (length + width), length * width
    half = area / edge
    section = ground_of(
        round(depth * FOOT, 4), round(half * FOOT, 2), r_wall * R_VALUE, r_floor * R_VALUE, SOIL
    )
    rest = area * floor_u(depth, length, width, r_floor)
    wave = area * floor_wave_u(depth, length, width, r_floor)
    if depth:
        rest += edge * depth * wall_u(depth, r_wall)
        wave += edge * depth * wall_wave_u(depth, r_wall)
    own = area * inner_wave_u(floor_u(depth, length, width, r_floor), r_floor)
    if depth:
        own += edge * depth * inner_wave_u(wall_u(depth, r_wall), r_wall)
    late = np.cos(2.0 * np.pi * LAG_DAYS / 365.0)
    to_trade = edge * FOOT * 1.8956
    assert own == pytest.approx(abs(section.wave_in) * to_trade, rel=0.08)
    assert pytest.approx(float(np.angle(section.wave_in)), abs=0.1) == LEAD
    assert rest == pytest.approx(section.steady * to_trade, rel=0.13)
    assert wave * late == pytest.approx(section.wave_out.real * to_trade, rel=near)


@pytest.mark.slow
def test_stored_results_are_those_of_the_hourly_house() -> None:
    """One house of each foundation as found and after all works; renew.py mends a difference."""
    houses = stored_houses()
    some = [next(h for h in houses if h.foundation == f) for f in ("basement", "crawl", "slab")]
    stored = read()
    for key, row in work_out(some).items():
        for name in ("heat", "pump_kwh", "backup_kwh", "cool_kwh", "latent"):
            assert row[name] == pytest.approx(stored[key][name], rel=1e-4, abs=0.5), (key, name)
