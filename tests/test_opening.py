"""A study from files: own prices, rebates and terms reach the results, and bad files say what is wrong."""

from pathlib import Path

import pytest

from retrofit_lab.opening import open_study, own_terms
from retrofit_lab.reference_data import data_path
from retrofit_lab.values import InputError

ALDER = data_path("houses", "alder_street.toml")
HEAD = 'format = "retrofit-lab prices"\nversion = 1\n'


def prices(tmp_path: Path, text: str) -> str:
    path = tmp_path / "mine.toml"
    path.write_text(HEAD + text, encoding="utf-8")
    return str(path)


def test_own_price_rebate_and_rate_change_the_result(tmp_path: Path) -> None:
    usual = open_study(ALDER).stack(["heat_pump_upgrade"])
    file = prices(
        tmp_path,
        "[prices.heat_pump_upgrade]\nquote = 10000\nsource = 'an offer'\n"
        "[money]\ndiscount_rate = 0.05\nperiod_years = 15\n"
        "[[rebates]]\nname = 'the utility'\namount = 1500\nmeasures = ['heat_pump_upgrade']\n",
    )
    ours = open_study(ALDER, prices=file).stack(["heat_pump_upgrade"])
    assert usual.cost.likely == 11_500
    assert ours.cost.likely == 8_500
    assert ours.saved == pytest.approx(usual.saved)
    assert ours.period_years == 15


def test_shipped_example_of_own_prices_can_be_used() -> None:
    ours = open_study(ALDER, prices=str(data_path("prices", "my_prices.toml")))
    result = ours.stack(["heat_pump_upgrade"])
    assert result.cost.likely == 11_250 - 900
    assert result.period_years == 20


def test_bills_and_house_are_found(tmp_path: Path) -> None:
    study = open_study(ALDER, bills=str(data_path("bills", "alder_street.csv")))
    assert study.billed is not None


BAD = {
    "unknown term": (
        "[money]\nrate = 3\n",
        r"mine\.toml: money\.rate: unknown key\. Known here are discount_rate",
    ),
    "percent for share": (
        "[money]\ndiscount_rate = 3\n",
        r"mine\.toml: discount rate is 3; must be 0 to 0\.25",
    ),
    "text": ("[money]\ndiscount_rate = 'three'\n", r"mine\.toml: \[money\]: .*0\.03 is 3 %"),
    "rebate key": (
        "[[rebates]]\nname = 'x'\nsum = 5\n",
        r"is no entry\. Known keys are amount, cap",
    ),
    "empty rebate": ("[[rebates]]\nname = 'x'\n", r"rebate 'x': amount and percent are both 0"),
    "broken": ("[money\n", r"mine\.toml: it is not a readable price file"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_file_names_itself_and_the_way_out(tmp_path: Path, name: str) -> None:
    text, words = BAD[name]
    with pytest.raises(InputError, match=words):
        own_terms(prices(tmp_path, text))


def test_missing_file() -> None:
    with pytest.raises(InputError, match=r"nowhere\.toml: there is no such file"):
        own_terms("nowhere.toml")
