"""Every material lies within physical bounds and, where the reference library holds it, near its value."""

import pytest

from retrofit_lab.base.shipped_files import read_rows

ROWS = {row["key"]: row for row in read_rows("materials.csv")}
# Material of the library's tables (a transcription of the 2013 ASHRAE Handbook) and relative tolerance.
# Its rows for cork tiles, high-density particleboard and particleboard underlayment hold slips of the
# pen and are not used.
NEAR = {
    "fiberglass_batt": ("Glass-fiber batts, 90 mm", 0.05),
    "mineral_wool_batt": ("Mineral fiber", 0.05),
    "fiberglass_loose": ("Loose fill, Mineral fiber, 260 to 350 mm", 0.05),
    "fiberglass_dense": ("Loose fill, Mineral fiber, 90 mm", 0.05),
    "cellulose_loose": ("Loose fill, Cellulosic", 0.05),
    "cellulose_sprayed": ("Spray-applied Cellulosic fiber", 0.05),
    "vermiculite": ("Loose fill, Vermiculite, exfoliated, 120 kg/m^3", 0.05),
    "perlite_loose": ("Loose fill, Perlite, expanded, 100 kg/m^3", 0.05),
    "eps_board": ("Expanded polystyrene, molded beads", 0.05),
    "xps_board": ("Expanded polystyrene, extruded", 0.15),
    "polyiso_board": ("Polyisocyanurate, aged, unfaced", 0.10),
    "spray_foam_open": ("Spray-applied Polyurethane foam, 7 kg/m^3", 0.10),
    "spray_foam_closed": ("Spray-applied Polyurethane foam, 40 kg/m^3", 0.10),
    "glass_fiber_board": ("Glass fiber board", 0.05),
    "cellular_glass": ("Cellular glass", 0.05),
    "perlite_board": ("Perlite board", 0.05),
    "fiberboard_sheathing": ("Vegetable fiber board, Sheathing, regular density", 0.05),
    "gypsum_board": ("Gypsum or plaster board", 0.05),
    "gypsum_plaster": ("Gypsum plaster, 1120 kg/m^3", 0.10),
    "plywood": ("Plywood (douglas fir)", 0.25),
    "osb": ("Oriented strand board (OSB)", 0.10),
    "softwood_framing": ("Hem/fir, spruce/pine/fir", 0.05),
    "southern_pine": ("Southern yellow pine", 0.10),
    "oak": ("Oak", 0.05),
    "cedar_redwood": ("California redwood", 0.05),
    "hardboard": ("Hardboard, medium density", 0.05),
    "particleboard": ("Particleboard, medium density", 0.05),
    "common_brick": ("Brick, fired clay, 1600 kg/m^3", 0.10),
    "concrete": ("Concrete, Sand and gravel or stone aggregate concretes, 2240 kg/m^3", 0.05),
    "stucco": ("Cement plaster, sand aggregate", 0.05),
    "stone": (
        "Calcitic, dolomitic, limestone, marble, and granite, 1920 kg/m^3",
        0.15,
    ),
}
NOT_HELD = {
    "cellulose_dense",
    "rock_wool_loose",
}  # the library has one row for all cellulose, and no loose rock wool
AIR_AT_REST = 5.8  # nothing but gas-filled foam insulates better than still air
STEEL = 0.003


def values(row: dict[str, str]) -> tuple[float, float, float]:
    unit = "h_ft2_F_per_Btu"
    return tuple(float(row[f"{name}_{unit}"]) for name in ("low", "r_per_inch", "high"))


@pytest.mark.parametrize("row", ROWS.values(), ids=lambda row: row["key"])
def test_row_is_within_physical_bounds(row: dict[str, str]) -> None:
    low, likely, high = values(row)
    assert STEEL < low <= likely <= high
    gas_filled = {"spray_foam_closed", "polyiso_board", "xps_board"}
    assert high < (8.0 if row["key"] in gas_filled else AIR_AT_REST)
    assert row["name"]
    assert row["source"]
    assert row["mark"] in {"read", "memory", "common practice, no source"}


def test_every_row_is_checked_or_excused() -> None:
    assert set(NEAR) | NOT_HELD == set(ROWS)
    assert not set(NEAR) & NOT_HELD


@pytest.mark.parametrize("key", NEAR)
def test_row_agrees_with_reference_library(key: str) -> None:
    insulation = pytest.importorskip("ht.insulation")
    conduction = pytest.importorskip("ht.conduction")
    name, tolerance = NEAR[key]
    theirs = conduction.k_to_R_value(insulation.ASHRAE_k(name), SI=False)
    low, likely, high = values(ROWS[key])
    assert likely == pytest.approx(theirs, rel=tolerance)
    assert low <= theirs <= high
