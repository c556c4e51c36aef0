"""A slip in a catalog is refused with a sentence: file, entry, field, value, and what there is."""

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from retrofit_lab.base import records, shipped_files
from retrofit_lab.base.records import RecordError, record
from retrofit_lab.base.values import InputError
from retrofit_lab.measures import catalog, look_for
from retrofit_lab.safety import cautions, hazards
from retrofit_lab.savings import explaining
from retrofit_lab.uncertainty import realizing

AIR = "measures/1_air_sealing.toml"
READ: dict[str, Callable[[], object]] = {
    AIR: catalog.catalog,
    "findings.toml": look_for.findings,
    "cautions.toml": cautions.cautions,
    "hazards.toml": hazards.hazards,
    "reasons.toml": lambda: list(explaining.sentences()),
    "realized.csv": realizing.realized_kinds,
}
KEPT = (
    records.shipped_table, catalog.catalog, catalog.vocabulary, look_for.findings, cautions.cautions,
    hazards.hazards, explaining._reasons, realizing.realized_kinds,
)  # fmt: skip


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A copy of the data folder that the catalogs are read from."""
    copy = tmp_path / "data"
    shutil.copytree(
        shipped_files.data_path(), copy, ignore=shutil.ignore_patterns("climates", "houses")
    )
    monkeypatch.setattr(shipped_files, "shipped_folder", lambda name: tmp_path / name)
    for kept in KEPT:
        kept.cache_clear()
    yield copy
    monkeypatch.undo()
    for kept in KEPT:
        kept.cache_clear()


SLIPS = [
    (AIR, r'tags = \["air_leakage", "heating_load"', 'tags = ["air_leakge", "heating_load"',
     r"data/measures/1_air_sealing\.toml, measure 'attic_air_sealing': tags 'air_leakge' is unknown; nearest .*'air_leakage'"),
    (AIR, 'part = "attic"', 'part = "loft"', r"'attic_air_sealing': part 'loft' is unknown; known are under the house"),
    (AIR, 'doer = "trade"', 'doer = "trde"', r"'attic_air_sealing': doer 'trde' is unknown; nearest .*'trade'"),
    (AIR, 'phase = "seal_and_insulate"', 'phase = "seal_and_insulat"', r"phase 'seal_and_insulat' is unknown; nearest is 'seal_and_insulate'"),
    (AIR, '"old_wiring"', '"old_wirng"', r"'attic_air_sealing': cautions 'old_wirng' is unknown; nearest .*'old_wiring'"),
    (AIR, 'findings = \\["attic_floor_holes"', 'findings = ["attic_floor_hole"', r"findings 'attic_floor_hole' is unknown; nearest .*'attic_floor_holes'"),
    (AIR, 'part = "attic"', 'prt = "attic"', r"'attic_air_sealing': there is no field 'prt'; nearest is 'part'"),
    (AIR, r'why = "Warm air rises[^\n]*\n', "", r"'attic_air_sealing': 'why' is missing"),
    (AIR, "years = 15", 'years = "15"', r"'attic_air_sealing': life: years is '15'; must be a number"),
    (AIR, "years = 15", "years = 150", r"'attic_air_sealing': life of 150 years must be 1 to 60"),
    (AIR, 'op = "seal"', 'op = "sealed"', r"op 'sealed' is unknown; nearest is 'seal'"),
    (AIR, 'cautions = \\["combustion_spillage"[^\n]*\n', 'cautions = "combustion_spillage"\n', r"cautions is 'combustion_spillage'; must be a list"),
    (AIR, 'key = "foundation_air_sealing"', 'key = "attic_air_sealing"', r"measure 'attic_air_sealing': it appears twice"),
    (AIR, 'key = "attic_air_sealing"', "key = attic_air_sealing", r"data/measures/1_air_sealing\.toml: .*line \d+.*Correct that line"),
    (AIR, 'field = "sealed"', 'field = "seled"', r"'attic_air_sealing': field 'seled' is unknown; nearest .*'sealed'"),
    (AIR, 'where = "leakage.sites', 'where = "leakge.sites', r"'attic_air_sealing': where 'leakge' is unknown; nearest is 'leakage'"),
    (AIR, 'doer = "trade"\ntrade = "insulation"', 'doer = "trde"\ntrade = "isolation"',
     r"(?s)'attic_air_sealing': doer 'trde' is unknown.*\n.*'attic_air_sealing': trade 'isolation' is unknown; nearest are 'insulation'"),
    ("findings.toml", 'stop = "[^"]*"', 'stop = "roof garden"', r"data/findings\.toml, finding '\w+': stop 'roof garden' is unknown; known are"),
    ("findings.toml", "look = ", "smell = ", r"data/findings\.toml, finding '\w+': there is no field 'smell'"),
    ("cautions.toml", 'tier = "[^"]*"', 'tier = "grave"', r"data/cautions\.toml, caution '\w+': tier 'grave' is unknown; known are stops the work"),
    ("hazards.toml", 'caution = "[^"]*"', 'caution = "ghosts"', r"data/hazards\.toml, hazard '\w+': caution 'ghosts' is unknown"),
    ("hazards.toml", 'tells = \\["[^"]*"', 'tells = ["ghosts_seen"', r"hazard '\w+': tells 'ghosts_seen' is unknown"),
    ("hazards.toml", 'tags = \\["[^"]*"', 'tags = ["air_leakag"', r"hazard '\w+': tags 'air_leakag' is unknown; nearest .*'air_leakage'"),
    ("reasons.toml", 'touches = \\["[^"]*"', 'touches = ["ductz"', r"data/reasons\.toml, reason .*: touches 'ductz' is unknown; nearest is 'ducts'"),
    ("realized.csv", "habits,thermostat", "habits,thermostats", r"data/realized\.csv, kind 'habits': tags 'thermostats' is unknown; nearest is 'thermostat'"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("file", "old", "new", "told"), SLIPS, ids=[slip[2] or slip[1] for slip in SLIPS]
)
def test_a_slip_is_told(data: Path, file: str, old: str, new: str, told: str) -> None:
    path = data / file
    text = path.read_text(encoding="utf-8")
    slipped = re.sub(old, lambda _: new, text, count=1)
    assert slipped != text
    path.write_text(slipped, encoding="utf-8")
    with pytest.raises(InputError, match=told):
        READ[file]()


@pytest.mark.parametrize("file", READ)
def test_what_is_shipped_is_read(data: Path, file: str) -> None:
    assert READ[file]()


def test_every_word_of_the_vocabularies_is_used_and_explained(data: Path) -> None:
    measures = catalog.catalog()
    assert {tag for measure in measures for tag in measure.tags} == set(catalog.vocabulary("tag"))
    assert {measure.part for measure in measures} == set(catalog.vocabulary("part"))
    for kind in ("tag", "part", "trade"):
        assert all(meaning.strip() for meaning in catalog.vocabulary(kind).values())


def test_numbers_stay_what_they_are() -> None:
    life = record(catalog.Life, {"years": 15, "source": "a", "mark": "memory"}, "life")
    assert life == catalog.Life(years=15, source="a", mark="memory")
    with pytest.raises(RecordError, match="life: years is True; must be a number"):
        record(catalog.Life, {"years": True, "source": "a", "mark": "memory"}, "life")
