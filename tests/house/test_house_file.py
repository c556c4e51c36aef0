"""House files: what they refuse, with which words, and that nothing is lost between saving and loading."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.file import house_from_table, house_to_table, load_house, save_house
from retrofit_lab.house.paths import number_at, numbers, parameter_at, with_numbers

ALDER = data_path("houses", "alder_street.toml").read_text(encoding="utf-8")


def written(tmp_path: Path, old: str, new: str) -> Path:
    assert old in ALDER
    path = tmp_path / "house.toml"
    path.write_text(ALDER.replace(old, new, 1), encoding="utf-8")
    return path


BAD = {
    "missing field": ('floor_area = "1920 ft2"\n', "", r"house\.toml: size\.floor_area: is missing"),
    "negative area": ('area = "1750 ft2"', 'area = "-12 ft2"', r"surfaces\.walls\.area: area is -12 sq ft; must be"),
    "U typed for R": ('r_label = "R-19"', 'r_label = "R-0.052"', r"attic_floor\.r_label: R-0\.052 looks like a U"),
    "U letter for R": ('r_label = "R-19"', 'r_label = "U-0.052"', r"an R-value is needed; U-0\.052 is R-19\.2"),
    "50 air changes": ('flow = "2650 cfm"', 'flow = "13125 cfm"', r"50 air changes an hour .* at most 40"),
    "unknown key": ("bedrooms = 3", "bedroms = 3", r"size\.bedroms: unknown key.*bedrooms"),
    "no unit": ('volume = "15750 ft3"', "volume = 15750", r"15750 has no unit; write for example"),
    "wrong unit": ('volume = "15750 ft3"', 'volume = "15750 kg"', r"cannot be read as cu ft"),
    "broken file": ("[site]", "[site", r"not a readable house file: .*line"),
    "other format": ("retrofit-lab house", "something else", r"format is 'something else'"),
    "newer version": ("version = 1", "version = 9", r"version is 9; this program reads version 1"),
    "unknown place": ('outside = "kneewall_space"', 'outside = "loft"', r"there is no place 'loft'.*attic"),
    "unknown kind": ('kind = "kneewall"\ninside', 'kind = "knee"\ninside', r"'knee' is unknown; use one of"),
    "same key twice": (
        'key = "attic_hatch"\nlabel = "Attic hatch"\nkind = "hatch"',
        'key = "walls"\nlabel = "A"\nkind = "hatch"',
        r"the key 'walls' appears twice"),
    "shares": ("share = 0.5", "share = 0.4", r"zones: the shares add up to 0\.9; must add up to 1"),
    "leak kind": ('kind = "outlets"', 'kind = "sockets"', r"sockets' is unknown; use one of .*outlets"),
    "not text": ('name = "Alder Street"', "name = 5", r"name: 5 is not text"),
    "yes for a number": ("bedrooms = 3", "bedrooms = true", r"is yes or no"),
    "no volume": ('volume = "15750 ft3"', 'volume = "0 ft3"', r"size\.volume: .* is 0 cu ft; must be"),
    "reading at no pressure": ('pressure = "50 Pa"', 'pressure = "0 Pa"', r"leakage\.pressure: .* is 0 Pa; must be"),
    "pressure below none": ('pressure = "50 Pa"', 'pressure = "-50 Pa"', r"leakage\.pressure: .* is -50 Pa; must be"),
    "more digits than a number has": ("bedrooms = 3", "bedrooms = " + "9" * 400, r"house\.toml: size\.bedrooms: "),
    "more digits than are read": ("bedrooms = 3", "bedrooms = " + "9" * 5000, r"house\.toml: "),
    "lists in lists without end": ("bedrooms = 3", "bedrooms = " + "[" * 5000 + "]" * 5000, r"house\.toml: "),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_refused_with_file_field_value_and_way_out(tmp_path: Path, name: str) -> None:
    old, new, words = BAD[name]
    with pytest.raises(HouseError, match=words):
        load_house(written(tmp_path, old, new))


def test_every_problem_is_told_at_once(tmp_path: Path) -> None:
    text = ALDER.replace('area = "1750 ft2"', 'area = "1750 kg"').replace(
        "bedrooms = 3", "beds = 3"
    )
    path = tmp_path / "two.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(HouseError) as caught:
        load_house(path)
    assert len(re.findall(r"two\.toml:", str(caught.value))) == 2


def test_missing_and_binary_and_large_files(tmp_path: Path) -> None:
    with pytest.raises(HouseError, match="there is no such file"):
        load_house(tmp_path / "none.toml")
    with pytest.raises(HouseError, match="null"):
        load_house("a\0b.toml")
    (tmp_path / "b.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(HouseError, match="cannot be read"):
        load_house(tmp_path / "b.toml")
    (tmp_path / "l.toml").write_bytes(b"#" * 2_000_001)
    with pytest.raises(HouseError, match="at most 2,000,000"):
        load_house(tmp_path / "l.toml")


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
def test_saved_and_loaded_is_the_same(tmp_path: Path, name: str) -> None:
    house = load_house(data_path("houses", f"{name}.toml"))
    save_house(house, tmp_path / "again.toml")
    assert load_house(tmp_path / "again.toml") == house
    assert list(tmp_path.iterdir()) == [tmp_path / "again.toml"]


@given(st.data())
@settings(deadline=None, max_examples=30)
def test_any_legal_number_survives_the_file(data: st.DataObject) -> None:
    house = load_house(data_path("houses", "wren_cottage.toml"))
    paths = [path for path, _ in numbers(house) if path not in house.assumed]
    path = data.draw(st.sampled_from(paths))
    rule = parameter_at(house, path)
    value = data.draw(st.floats(rule.legal_low, rule.legal_high, allow_nan=False))
    changed = with_numbers(house, {path: value})
    assert house_from_table(house_to_table(changed)) == changed


def test_defaults_are_remembered_as_assumed() -> None:
    house = load_house(data_path("houses", "alder_street.toml"))
    assert "size.heat_capacity" in house.assumed
    assert "size.floor_area" not in house.assumed


def test_estimates_that_are_no_default_survive_the_file(tmp_path: Path) -> None:
    house = load_house(data_path("houses", "alder_street.toml"))
    paths = {"size.floor_area", "surfaces.walls.r_label", "size.heat_capacity"}
    house = replace(house, assumed=house.assumed | paths)
    save_house(house, tmp_path / "again.toml")
    assert load_house(tmp_path / "again.toml") == house
    assert "heat_capacity" not in (tmp_path / "again.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("line", "words"),
    [('["size.floors"]', r"assumed: there is no number 'size\.floors'"), ("7", r"assumed: a list of paths")],
)  # fmt: skip
def test_wrong_estimates_are_refused(tmp_path: Path, line: str, words: str) -> None:
    path = written(tmp_path, "version = 1", f"version = 1\nassumed = {line}")
    with pytest.raises(HouseError, match=words):
        load_house(path)


def test_unusual_numbers_warn_and_go_on(tmp_path: Path) -> None:
    house = load_house(written(tmp_path, 'floor_area = "1920 ft2"', 'floor_area = "900 ft2"'))
    assert any("ceilings 17.5 ft high" in oddity.sentence for oddity in check_house(house))


def test_number_by_path_and_its_replacement() -> None:
    house = load_house(data_path("houses", "alder_street.toml"))
    path = "zones.upstairs.periods.night.heating_setpoint"
    assert number_at(house, path) == 69.0
    assert number_at(with_numbers(house, {path: 61.0}), path) == 61.0
    with pytest.raises(ValueError, match="there is no 'cellar'; known are"):
        number_at(house, "buffers.cellar.volume")
