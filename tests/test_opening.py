"""A study from files: own prices, rebates and terms reach the results, and bad files say what is wrong."""

from contextlib import suppress
from pathlib import Path

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.study.opening import open_study, own_terms

ALDER = data_path("houses", "alder_street.toml")
HEAD = 'format = "retrofit-lab prices"\nversion = 1\n'


def prices(tmp_path: Path, text: str) -> str:
    path = tmp_path / "mine.toml"
    path.write_text(HEAD + text, encoding="utf-8")
    return str(path)


def test_own_price_rebate_and_rate_change_the_result(tmp_path: Path) -> None:
    usual = open_study(ALDER).plan(["heat_pump_upgrade"])
    file = prices(
        tmp_path,
        "[prices.heat_pump_upgrade]\nquote = 10000\nsource = 'an offer'\n"
        "[money]\ndiscount_rate = 0.05\nperiod_years = 15\n"
        "[[rebates]]\nname = 'the utility'\namount = 1500\nmeasures = ['heat_pump_upgrade']\n",
    )
    ours = open_study(ALDER, prices=file).plan(["heat_pump_upgrade"])
    assert usual.cost.likely == 12_000
    assert ours.cost.likely == 8_500
    assert ours.saved == pytest.approx(usual.saved)
    assert ours.period_years == 15


def test_shipped_example_of_own_prices_can_be_used() -> None:
    ours = open_study(ALDER, prices=str(data_path("prices", "my_prices.toml")))
    result = ours.plan(["heat_pump_upgrade"])
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
        r"mine\.toml: money\.discount_rate is 3; must be a fraction from 0 to 0\.25\. Write 0\.03 for 3 %",
    ),
    "text": (
        "[money]\ndiscount_rate = 'three'\n",
        r"mine\.toml: money\.discount_rate is 'three'; .*0\.03 for 3 %",
    ),
    "rebate key": (
        "[[rebates]]\nname = 'x'\nsum = 5\n",
        r"rebates\[1\]\.sum: unknown key\. Known here are name, amount, percent, cap",
    ),
    "empty rebate": ("[[rebates]]\nname = 'x'\n", r"rebate 'x': amount and percent are both 0"),
    "fuel misspelt": (
        "[money]\nescalation = { elec = 0.01 }\n",
        r"mine\.toml: money\.escalation\.elec: there is no such fuel\. Known are electricity, natural_gas",
    ),
    "price of a misspelt fuel": (
        "[fuels.natural_gass]\nprice = 1.2\n",
        r"mine\.toml: fuels\.natural_gass: there is no such fuel\. Known are electricity, natural_gas",
    ),
    "misspelt word of a price": (
        "[fuels.natural_gas]\nprice = 1.2\nfixxed = 9\n",
        r"fuels\.natural_gas\.fixxed: unknown key\. Known here are price",
    ),
    "rise that is no number": (
        "[money]\nescalation = { electricity = '1 %' }\n",
        r"mine\.toml: money\.escalation\.electricity is '1 %'; must be a fraction",
    ),
    "part of a year": (
        "[money]\nperiod_years = 20.5\n",
        r"mine\.toml: money\.period_years is 20\.5; must be a whole number",
    ),
    "rebate as a fraction": (
        "[[rebates]]\nname = 'x'\npercent = 0.3\n",
        r"mine\.toml: rebates\[1\]: rebate 'x': percent is 0\.3, which may mean 30 % or 0\.3 %\. Enter 30",
    ),
    "rebate for no measure": (
        "[[rebates]]\nname = 'x'\namount = 3\nmeasures = ['attic']\n",
        r"mine\.toml: rebate 'x': there is no measure 'attic'",
    ),
    "money and prices both": (
        "cost_factor = 9\n[money]\ndiscount_rate = 3\n",
        r"mine\.toml: cost_factor is 9(.|\n)*mine\.toml: money\.discount_rate is 3",
    ),
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


EXAMPLE = data_path("prices", "my_prices.toml").read_text(encoding="utf-8")
WORDS = [
    "format",
    "version",
    "cost_factor",
    "source",
    "prices",
    "rebates",
    "money",
    "fuels",
    "discount_rate",
    "period_years",
    "escalation",
    "inflation",
    "carbon_price",
    "name",
    "amount",
    "percent",
    "cap",
    "measures",
    "attic_insulation",
    "heat_pump_upgrade",
    "tank_wrap",
    "quote",
    "low",
    "likely",
    "high",
    "fixed",
    "minimum",
    "year",
    "electricity",
    "elec",
    "natural_gas",
    "price",
    "as_of",
    "tiers",
    "time_of_use",
    "net_metering",
    "hours",
    "months",
    "up_to",
    "replaced_anyway",
]
KEYS = st.sampled_from(WORDS) | st.text(max_size=6).filter(lambda text: text < "\ud800")
LEAVES = (
    st.booleans()
    | st.integers()
    | st.integers(10**400, 10**401)
    | st.floats()
    | st.sampled_from([0.3, 3, 30, 2026, -1, "retrofit-lab prices", *WORDS])
    | st.text(max_size=8)
    | st.dates()
)
VALUES = st.recursive(
    LEAVES,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=12,
)


def result_or_sentence(path: Path) -> None:
    try:
        measures, terms = own_terms(path)
    except InputError as error:
        for line in str(error).splitlines():
            assert line.startswith("fuzzed.toml: "), line
            assert line.endswith((".", ")")), line
    else:
        assert all(0 <= m.cost.low <= m.cost.likely <= m.cost.high for m in measures)
        assert 0 <= terms.discount_rate <= 0.25


@pytest.fixture(scope="module")
def fuzzed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("prices") / "fuzzed.toml"


@given(table=st.dictionaries(KEYS, VALUES, max_size=5))
@settings(deadline=None, max_examples=150)
def test_any_table_gives_terms_or_a_sentence(fuzzed: Path, table: dict[str, object]) -> None:
    whole = {"format": "retrofit-lab prices", "version": 1, **table}
    with suppress(ValueError):  # what the writer cannot write is no price file
        fuzzed.write_bytes(tomli_w.dumps(whole).encode("utf-8", "surrogatepass"))
    if fuzzed.exists():
        result_or_sentence(fuzzed)


@given(
    place=st.integers(0, len(EXAMPLE)),
    length=st.integers(0, 12),
    put=st.text(max_size=6) | VALUES.map(str),
)
@settings(deadline=None, max_examples=150)
def test_any_slip_of_the_pen_gives_terms_or_a_sentence(
    fuzzed: Path, place: int, length: int, put: str
) -> None:
    text = EXAMPLE[:place] + put + EXAMPLE[place + length :]
    fuzzed.write_bytes(text.encode("utf-8", "surrogatepass"))
    result_or_sentence(fuzzed)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + HEAD,
        HEAD + "cost_factor = " + "9" * 5000,
        HEAD + "x = " + "[" * 3000 + "]" * 3000,
    ],
    ids=["byte-order mark", "thousands of digits", "nested"],
)
def test_odd_files_give_terms_or_a_sentence(fuzzed: Path, text: str) -> None:
    fuzzed.write_text(text, encoding="utf-8")
    result_or_sentence(fuzzed)


def test_bill_files_reach_another_process_whole() -> None:
    files = BillFiles(
        paths=("a,b.csv", "ñ;c.xml"), weather="d.csv", answers=(("dates", "day-first"),)
    )
    assert BillFiles.of_text(files.text) == files
    assert not BillFiles.of_text("")
