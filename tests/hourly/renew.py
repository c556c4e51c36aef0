"""Works the hourly houses out again and stores the results: ``python tests/hourly/renew.py`` (about three minutes)."""

import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from hourly.results import FILE, stored_houses, work_out, write  # noqa: E402

if __name__ == "__main__":
    write(work_out(stored_houses()))
    print(f"written: {FILE}")
