"""The shipped table of published against ours is current, long enough, and honest about its sources."""

import csv
from collections import Counter

from table import ROOT, all_checks, as_csv

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


def test_readme_tells_how_many_were_read_and_how_many_are_from_memory() -> None:
    with SHIPPED.open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        marks = Counter(row["mark"] for row in rows)
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for mark, count in marks.items():
        assert f"| {mark} | {count} |" in readme, (mark, count)
