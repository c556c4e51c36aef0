"""What people type on a walk: sums, feet and inches, the compass, percent, tons, duct tests; parts copied."""

from dataclasses import replace

import pytest

from retrofit_lab.app.walk.wording import walk_words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.units import SPELLING
from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.editing import with_answer, with_copy, with_same_windows
from retrofit_lab.house.file import load_house
from retrofit_lab.house.typed import read_typed
from retrofit_lab.texts import LANGUAGES

ALDER = load_house(data_path("houses", "alder_street.toml"))


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("52x26 + 8x(3x4)", "ft2", 1448.0), ("52 × 26", "ft2", 1352.0), ("8(3x4)", "ft2", 96.0),
        ("10'6\" x 8'", "ft2", 84.0), ("2x(30+20) ft", "ft", 100.0), ("3x4 m2", "ft2", 129.1669),
        ("40 - 2x3", "ft", 34.0), ("1,200+300", "ft2", 1500.0), ("4 x 60", "W", 240.0), ("100/4 + 1", "ft", 26.0),
        ("5'6\"", "ft", 5.5), ("3 1/2 in", "inch", 3.5), ("-12", "ft", -12.0), ("SSE", "degree", 157.5),
        ("north west", "degree", 315.0), ("sur", "degree", 180.0), ("NO", "degree", 315.0), ("oeste", "degree", 270.0),
        ("200", "degree", 200.0), ("3 ton", "Btu/hour", 36000.0), ("2.5 tons", "Btu/hour", 30000.0),
        ("36000", "Btu/hour", 36000.0), ("1850 cfm", "cfm", 1850.0), ("1,600 pies cuadrados", "ft2", 1600.0),
        ("5 pies 6 pulgadas", "ft", 5.5), ("20 galones", "gallon", 20.0), ("3 galones por minuto", "gallon/minute", 3.0),
    ],
)  # fmt: skip
def test_reads_it_as_meant(text: str, unit: str, value: float) -> None:
    assert read_typed(text, unit) == pytest.approx(value, rel=1e-4)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("unit", sorted(SPELLING))
def test_what_stands_beside_a_box_may_be_typed_in_it(unit: str, language: str) -> None:
    beside = walk_words(language).quantity(13.0, unit)
    assert read_typed(beside, unit) == 13.0, beside


@pytest.mark.parametrize(
    "text", ["52x", "x26", "(3+4", "3+4)", "4/0 + 1", "1+" * 38, "2x3 kg", "((((((", "3**4**5**6"]
)
def test_what_cannot_be_worked_out_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(InputError):
        read_typed(text, "ft2")


def answered(path: str, text: str) -> float:
    house = with_answer(ALDER, path, text)
    section, _, name = path.rpartition(".")
    return float(getattr(getattr(house, section), name))


def test_a_share_may_be_typed_in_percent_and_a_duct_test_as_it_was_read() -> None:
    assert answered("ducts.supply_leakage", "12") == pytest.approx(0.12)
    assert answered("ducts.supply_leakage", "0.12") == pytest.approx(0.12)
    assert answered("ducts.supply_leakage", "12 %") == pytest.approx(0.12)
    flow = float(ALDER.ducts.flow)
    assert answered("ducts.supply_leakage", "180 cfm at 25 Pa") == pytest.approx(180.0 / flow)
    assert answered("ducts.return_leakage", "90 cfm") == pytest.approx(90.0 / flow)
    with pytest.raises(HouseError, match="must be 0 to"):
        with_answer(ALDER, "ducts.supply_leakage", "1.5")


def test_a_copy_is_answered_and_open_as_the_part_was() -> None:
    path = f"windows.{ALDER.windows[0].key}"
    house = replace(ALDER, assumed=frozenset({f"{path}.shgc"}))
    copied, new = with_copy(house, path)
    assert new != path
    assert len(copied.windows) == len(house.windows) + 1
    assert replace(copied.windows[-1], key=ALDER.windows[0].key) == ALDER.windows[0]
    assert copied.assumed == {f"{path}.shgc", f"{new}.shgc"}
    with pytest.raises(HouseError, match="there is no"):
        with_copy(house, "windows.gone")


def test_windows_of_one_kind_are_answered_once() -> None:
    first, second, *_ = (f"windows.{window.key}" for window in ALDER.windows)
    house = replace(
        ALDER, assumed=frozenset({f"{second}.u_value", f"{second}.shgc", f"{first}.shgc"})
    )
    house = with_answer(house, f"{first}.u_value", "U-0.31")
    same = with_same_windows(house, first)
    assert same.windows[1].u_value == 0.31
    assert f"{second}.u_value" not in same.assumed
    assert f"{second}.shgc" in same.assumed
    with pytest.raises(HouseError, match="answer the U-value"):
        with_same_windows(house, second)
