"""All published checks as one table: python tests/published/table.py writes it and the counts in the README."""

import csv
import importlib
import io
import re
import sys
from collections import Counter
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(HERE), str(HERE.parent)]
from checks import mechanism  # noqa: E402 - found beside this file

COLUMNS = (
    "topic",
    "mechanism",
    "check",
    "published",
    "ours",
    "allowed_difference",
    "source",
    "mark",
    "why",
)
HEAD = (
    "# Published numbers against ours, made by tests/published/table.py; a test keeps it current.\n"
)


def all_checks() -> list:
    """Rows of every topic, in the order of the files."""
    names = sorted(path.stem for path in HERE.glob("test_*.py"))
    return [
        check for name in names for check in getattr(importlib.import_module(name), "CHECKS", ())
    ]


def as_csv() -> str:
    """The table as the file holds it."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for check in all_checks():
        numbers = [f"{v:.5g}" for v in (check.expected, float(check.ours()), check.allowed)]
        about = (check.topic, mechanism(check), check.name)
        writer.writerow([*about, *numbers, check.source, check.mark, check.why])
    return HEAD + out.getvalue()


def pairs() -> Counter[str]:
    """Distinct pairs of mechanism and source, by mark: however many rows a pair has, it counts once."""
    found = {(mechanism(check), check.source, check.mark) for check in all_checks()}
    return Counter(mark for _, _, mark in found)


def counted(readme: str) -> str:
    """README with today's counts."""
    for mark, count in pairs().items():
        readme = re.sub(rf"\| {re.escape(mark)} \| \d+ \|", f"| {mark} | {count} |", readme)
    return readme


if __name__ == "__main__":
    (ROOT / "data/published_checks.csv").write_text(as_csv(), encoding="utf-8")
    page = ROOT / "README.md"
    page.write_text(counted(page.read_text(encoding="utf-8")), encoding="utf-8")
    print(dict(pairs()))
