"""Every number that a measure changes belongs to a part that people can point at."""

import pytest
from examples import example

from retrofit_lab.house.parts import LOSING, PARTS, part_of_surface, parts_of_path, parts_of_paths

ALDER, WREN = example("alder_street").house, example("wren_cottage").house


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
def test_every_measure_belongs_to_a_part(name: str) -> None:
    study = example(name)
    for offer in study.offers:
        parts = parts_of_paths(study.house, [change.path for change in offer.changes])
        assert parts, offer.key
        assert set(parts) <= set(PARTS)


@pytest.mark.parametrize(
    ("path", "parts"),
    [
        ("surfaces.attic_floor.r_label", ("attic",)),
        ("surfaces.kneewall_roof.area", ("knee_walls",)),
        ("surfaces.band_joist.r_label", ("floor",)),
        ("surfaces.walls.r_label", ("walls",)),
        ("buffers.basement.air_changes", ("floor",)),
        ("underground.basement_walls.r_value", ("floor",)),
        ("leakage.sites.attic_hatch.sealed", ("air", "attic")),
        ("leakage.sites.windows.sealed", ("air", "windows")),
        ("leakage.sites.outlets.sealed", ("air",)),
        ("leakage.flow", ("air",)),
        ("ducts.supply_leakage", ("ducts",)),
        ("ducts.fan_watts", ("heating",)),
        ("zones.downstairs.periods.night.heating_setpoint", ("heating",)),
        ("hot_water.tap_flow", ("hot_water",)),
        ("lamps.porch.hours", ("plugs",)),
    ],
)
def test_numbers_belong_where_people_look(path: str, parts: tuple[str, ...]) -> None:
    assert parts_of_path(ALDER, path) == parts


def test_parts_come_once_and_in_order() -> None:
    paths = ["ducts.supply_r", "surfaces.walls.area", "ducts.return_r"]
    assert parts_of_paths(ALDER, paths) == ("walls", "ducts")


def test_every_surface_of_the_examples_has_a_losing_part() -> None:
    for house in (ALDER, WREN):
        assert {part_of_surface(house, surface) for surface in house.surfaces} <= set(LOSING)
