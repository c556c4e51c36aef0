"""All published checks as one table: python tests/published/table.py writes data/published_checks.csv."""

import csv
import importlib
import io
import sys
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(HERE), str(HERE.parent)]
COLUMNS = ("topic", "check", "published", "ours", "allowed_difference", "source", "mark", "why")
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
        allowed = check.tolerance * (abs(check.expected) if check.relative else 1.0)
        numbers = [f"{value:.5g}" for value in (check.expected, float(check.ours()), allowed)]
        writer.writerow([check.topic, check.name, *numbers, check.source, check.mark, check.why])
    return HEAD + out.getvalue()


if __name__ == "__main__":
    (ROOT / "data/published_checks.csv").write_text(as_csv(), encoding="utf-8")
