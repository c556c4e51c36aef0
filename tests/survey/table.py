"""Predicted over measured use of the homes of a national survey: python tests/survey/table.py [--fitting] [--more]

Each home is built again from the facts that the survey tells, in the typical year nearest to it in degree days.
Rows 0, 2, 4 ... of the file were looked at when usual numbers were chosen (``--fitting``); the others are shown.
"""

import sys
import time
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from homes import homes  # noqa: E402
from ratios import as_text, classes, more, rebuild, sums, uses  # noqa: E402

if __name__ == "__main__":
    start = time.perf_counter()
    fitting = "--fitting" in sys.argv
    found = rebuild(home for home in homes() if home.shown != fitting)
    print("Means of a home in kBtu a year, and predicted over measured")
    print(as_text([*sums(found), *uses(found), *classes(found)]))
    if "--more" in sys.argv:
        print(as_text(more(found)))
    print(f"{len(found)} homes in {time.perf_counter() - start:.0f} s")
