"""The shipped table of published against ours is current, long enough, and honest about its sources."""

from collections import Counter
from pathlib import Path

import pytest
from checks import entered
from table import ROOT, all_checks, as_csv, counted

WIDEST = 0.45
"""Widest band against the published number: beyond it a row would hold whatever the product does."""

SHIPPED = ROOT / "data/published_checks.csv"
TOPICS_NEEDED = {
    "conduction", "air leakage", "degree days", "hot water", "money", "fair shares", "ducts", "equipment",
    "below grade", "thermostat",
}  # fmt: skip


def test_every_row_of_the_shipped_table_is_a_check_with_todays_numbers() -> None:
    shipped = SHIPPED.read_text(encoding="utf-8").splitlines()
    stale = set(shipped) - set(as_csv().splitlines())
    assert not stale, f"run: python tests/published/table.py; stale: {sorted(stale)[:3]}"


def test_there_are_enough_checks_over_all_topics() -> None:
    topics = Counter(check.topic for check in all_checks())
    assert topics.keys() >= TOPICS_NEEDED
    assert sum(topics.values()) >= 60
    assert all(check.why and check.source for check in all_checks())


def test_readme_counts_pairs_of_mechanism_and_source() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert readme == counted(readme), "run: python tests/published/table.py"


@pytest.mark.parametrize("check", all_checks(), ids=str)
def test_every_row_runs_the_product_and_can_fail(check) -> None:
    assert entered(check.ours), "no function of the product is called"
    assert check.expected == 0 or check.allowed < WIDEST * abs(check.expected), (
        "the band is too wide"
    )


OTHERS = sorted(
    path for path in Path(__file__).parent.glob("test_*.py") if path.stem != "test_table"
)


@pytest.mark.parametrize("path", OTHERS, ids=lambda path: path.stem)
def test_expected_numbers_are_worked_out_without_the_product(path: Path) -> None:
    """The file is read again, and nothing on the way to its expected values works in the product."""
    code = compile(path.read_text(encoding="utf-8"), path.name, "exec")
    called = entered(lambda: exec(code, {"__name__": path.stem, "__file__": str(path)}))  # noqa: S102 - our own tests
    working = [place for place in called if ".physics." in place or ".model." in place]
    assert not working
