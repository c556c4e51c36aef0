"""Made-up files of the mess that real bills come in: each comes out as it must, is asked about, or is refused in words."""

import tomllib
from pathlib import Path

import pytest

from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.bills.reading.record import BillError, BillQuestion, BillSet

FOLDER = Path(__file__).parent.parent / "data/bills"
CASES = tomllib.loads((FOLDER / "expected.toml").read_text(encoding="utf-8"))["case"]
FUELS = ("electricity", "natural_gas", "heating_oil", "propane", "wood")


def name_of(case) -> str:
    return "+".join(case["files"]) + "".join(
        f" {key}" for key in ("answers", "prices") if key in case
    )


def read(case) -> BillSet:
    prices = {fuel: tuple(pair) for fuel, pair in case.get("prices", {}).items()}
    return read_bills(
        [FOLDER / file for file in case["files"]],
        fuel=case.get("fuel", ""),
        unit=case.get("unit", ""),
        answers=case.get("answers"),
        prices=prices or None,
    )


def test_there_are_at_least_forty_and_every_file_has_a_case() -> None:
    listed = {file for case in CASES for file in case["files"]}
    assert listed == {path.name for path in FOLDER.iterdir()} - {"expected.toml"}
    assert len(listed) >= 40


@pytest.mark.parametrize("case", [c for c in CASES if "refuses" in c or "asks" in c], ids=name_of)
def test_what_cannot_be_told_is_asked_or_refused_in_words(case) -> None:
    with pytest.raises(BillError) as caught:
        read(case)
    text = str(caught.value)
    assert case["files"][0] in text
    for part in (*case.get("refuses", ()), *case.get("says", ())):
        assert part in text
    if "asks" in case:
        assert isinstance(caught.value, BillQuestion)
        assert caught.value.key == case["asks"]
        assert len(caught.value.choices) == 2
        assert f"{case['asks']}={caught.value.choices[0][0]}" in text


@pytest.mark.parametrize(
    "case", [c for c in CASES if "refuses" not in c and "asks" not in c], ids=name_of
)
def test_what_comes_out(case) -> None:
    found = read(case)
    for fuel in FUELS:
        bills = found.sound(fuel)
        assert bool(bills) == (fuel in case), fuel
        if not bills:
            continue
        count, total, first, last = case[fuel]
        assert len(bills) == count
        assert sum(b.quantity for b in bills) == pytest.approx(total, rel=case.get("within", 1e-4))
        assert str(min(b.start for b in bills)) == first
        assert str(max(b.end for b in bills)) == last
    told = " ".join(found.read)
    for part in case.get("says", ()):
        assert part in told, told
    if "dollars" in case:
        assert sum(b.cost or 0.0 for b in found.bills) == pytest.approx(case["dollars"])
    assert sum(b.quantity for b in found.sent) == pytest.approx(case.get("sent", 0.0))
    assert bool(found.set_aside) == case.get("aside", False)
    assert case.get("problem", "") in " ".join(p.sentence for p in found.problems)


@pytest.mark.parametrize("case", [c for c in CASES if c.get("aside")], ids=name_of)
def test_bills_that_are_not_the_use_are_never_fitted(case) -> None:
    found = read(case)
    assert not found.usable("electricity")
    assert "not fitted" in dict(found.set_aside)["electricity"]
