"""Temperatures and reduction factors of unheated spaces against a standard and its own inputs."""

import pytest
from checks import Check, assert_check

from retrofit_lab.physics.buffer_zones import (
    SKY_RADIATION_HORIZONTAL,
    effective_conductance,
    reduction_factor,
    surface_gain,
    ventilation_conductance,
    zone_temperature,
)

TOPIC = "buffer zones"
OWN = "common practice, no source"
ATTIC = "ISO 13789 formula (memory) with the attic of WAC 51-11-1007 (read)"
FLOOR, ROOF, ROOF_U, VOLUME, CHANGES = 1350.0, 1423.0, 0.54, 3375.0, 3.0


def outdoor_conductance() -> float:
    """Roof and vents of the code's attic, 45 x 30 ft with a roof of 4 in 12; gables left out."""
    return ROOF * ROOF_U + ventilation_conductance(VOLUME, CHANGES)


def attic_temperature(ceiling_u: float) -> float:
    """Temperature of the same attic at 65 F indoors and 45 F outdoors."""
    return zone_temperature(
        house_conductance=ceiling_u * FLOOR,
        house_temperature=65.0,
        outdoor_conductance=outdoor_conductance(),
        outdoor_temperature=45.0,
    )


CHECKS = [
    Check(TOPIC, "attic vents, 3 air changes of 3,375 ft3 [Btu/(h F)]", "WAC 51-11-1007 inputs", "read",
          182.0, lambda: ventilation_conductance(VOLUME, CHANGES), 0.5, "rounded to a whole number"),
    *(
        Check(TOPIC, f"b of an attic, ceiling U {u}", ATTIC, "memory", b,
              lambda u=u: reduction_factor(u * FLOOR, outdoor_conductance()), 0.0006,
              "worked to three digits; with gables of planks it is 0.003 to 0.013 higher")
        for u, b in {0.031: 0.958, 0.06: 0.922, 0.25: 0.738}.items()
    ),
    *(
        Check(TOPIC, f"attic temperature, ceiling U {u}", ATTIC, "memory", 65.0 - 20.0 * b,
              lambda u=u: attic_temperature(u), 0.012, "b worked to three digits, times 20 F")
        for u, b in {0.031: 0.958, 0.25: 0.738}.items()
    ),
    Check(TOPIC, "limit: wide open zone", "limiting case", OWN, 1.0,
          lambda: reduction_factor(50.0, 1e12), 1e-9, "b goes to 1"),
    Check(TOPIC, "limit: sealed and insulated zone", "limiting case", OWN, 0.0,
          lambda: reduction_factor(50.0, 0.0), 1e-12, "b is 0"),
    Check(TOPIC, "limit: two equal conductances in series halve", "limiting case", OWN, 25.0,
          lambda: effective_conductance(50.0, 50.0), 1e-12, "exact"),
    Check(TOPIC, "limit: zone without sun, house or air is as cold as the ground", "limiting case", OWN,
          52.0, lambda: zone_temperature(
              house_conductance=0.0, house_temperature=70.0, outdoor_conductance=0.0,
              outdoor_temperature=20.0, ground_conductance=30.0, ground_temperature=52.0),
          1e-12, "exact"),
    Check(TOPIC, "dark level roof, 100 Btu/(h ft2) and film 1/3, sol-air rise less sky [F]",
          "ASHRAE Handbook Fundamentals, sol-air temperature with 0.30 and 7 F", "memory",
          0.9 * 100.0 / 3.0 - 7.0, lambda: surface_gain(
              1.0, 0.9, 100.0, 1.0 / 3.0, sky_radiation=SKY_RADIATION_HORIZONTAL), 0.5,
          "the handbook rounds 20/3 to 7; EN ISO 13790 puts the sky term a fifth lower"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
