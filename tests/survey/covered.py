"""How often measured use lies in the range drawn for a home: python tests/survey/covered.py [--fitting]

Each home of a national survey is built again from its facts, what its facts leave open is drawn, and the use
of all fuels that was measured is looked for among the draws. Homes that no number was chosen by are shown.
"""

import sys
import time
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from homes import homes  # noqa: E402
from inside import as_text, by_class, place_all, whole  # noqa: E402

if __name__ == "__main__":
    start = time.perf_counter()
    fitting = "--fitting" in sys.argv
    found = place_all(home for home in homes() if home.shown != fitting)
    print("Share of homes whose measured use lies in the range drawn for them")
    print(as_text([*whole(found), *by_class(found)]))
    print(f"{len(found)} homes in {time.perf_counter() - start:.0f} s")
