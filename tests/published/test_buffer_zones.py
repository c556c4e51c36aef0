"""Temperatures and reduction factors of unheated spaces against a standard and its own inputs."""

import pytest
from checks import Check, assert_check

from retrofit_lab.physics.annual_balance import BufferNode, buffer_temperature
from retrofit_lab.physics.buffer_zones import surface_gain

TOPIC = "buffer zones"
ATTIC = "ISO 13789 formula (memory) with the attic of WAC 51-11-1007 (read)"
FLOOR, ROOF, ROOF_U, VENTS = 1350.0, 1423.0, 0.54, 182.0


def attic_temperature(ceiling_u: float) -> float:
    """Temperature of the code's attic, 45 x 30 ft with a roof of 4 in 12, at 65 F indoors and 45 F outdoors."""
    house = ceiling_u * FLOOR
    node = BufferNode(
        from_house=house, to_zone=house, outdoor=ROOF * ROOF_U + VENTS, other=0.0, fixed=0.0
    )
    return buffer_temperature(node, 65.0, 45.0)


CHECKS = [
    *(
        Check(TOPIC, f"attic temperature, ceiling U {u}", ATTIC, "memory", 65.0 - 20.0 * b,
              lambda u=u: attic_temperature(u), 0.012,
              "b worked to three digits, times 20 F; with gables of planks b is 0.003 to 0.013 higher")
        for u, b in {0.031: 0.958, 0.06: 0.922, 0.25: 0.738}.items()
    ),
    Check(TOPIC, "dark level roof, 100 Btu/(h ft2) and film 1/3, sol-air rise less sky [F]",
          "ASHRAE Handbook Fundamentals, sol-air temperature with 0.30 and 7 F", "memory",
          0.9 * 100.0 / 3.0 - 7.0,
          lambda: surface_gain(1.0, 0.9, 100.0, 1.0 / 3.0, sky_radiation=20.0), 0.5,
          "the handbook rounds 20/3 to 7"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
