"""Works out many fuzzed cases of every kind of input: ``python tests/fuzz/fuzzing.py --count 20000``.

Each case ends in a result or in a sentence, within ten seconds and 500 MB more than the program itself takes.
Whatever else comes is printed with its kind and seed; ``--keep`` adds them to ``seeds.csv``, whose cases the tests
work out each time. One case again: ``python tests/fuzz/fuzzing.py --kind prices --seed 17 --count 1``.
"""

import argparse
import csv
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from contextlib import suppress
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1])]
from fuzz_cases import KINDS, case  # noqa: E402 - found by the line before

SEEDS = Path(__file__).parent / "seeds.csv"
SECONDS, MEGABYTES = 10.0, 500.0


def bounded() -> None:
    """Let this process take only so much more memory than it has now, where the system can hold that."""
    with suppress(ImportError, ValueError, OSError):
        import resource

        import psutil

        most = psutil.Process().memory_info().vms + int(MEGABYTES * 1e6)
        resource.setrlimit(resource.RLIMIT_AS, (most, resource.RLIM_INFINITY))


def late(_number: int, _frame: object) -> None:
    raise TimeoutError(f"longer than {SECONDS:g} s")


def outcome(kind: str, seed: int) -> tuple[str, str]:
    """What came of one case, and the end of the traceback where it was a slip."""
    with tempfile.TemporaryDirectory(prefix="fuzz_") as folder:
        if hasattr(signal, "setitimer"):
            signal.signal(signal.SIGALRM, late)
            signal.setitimer(signal.ITIMER_REAL, SECONDS)
        try:
            return case(kind, seed, Path(folder)), ""
        except BaseException as error:
            if isinstance(error, KeyboardInterrupt):
                raise
            return "slip", "".join(traceback.format_exception(error)[-3:])
        finally:
            if hasattr(signal, "setitimer"):
                signal.setitimer(signal.ITIMER_REAL, 0)


def main() -> int:
    options = _options()
    kinds = [options.kind] if options.kind else list(KINDS)
    for kind in kinds:  # what is read once must not count against the first case
        outcome(kind, 0)
    bounded()
    found, slips, slowest = Counter(), [], (0.0, "")
    for number in range(options.count):
        kind, seed = kinds[number % len(kinds)], options.seed + number // len(kinds)
        start = time.perf_counter()
        came, told = outcome(kind, seed)
        slowest = max(slowest, (time.perf_counter() - start, f"{kind} {seed}"))
        came = came if came in ("result", "sentence") else "slip"
        found[kind, came] += 1
        if came == "slip":
            slips.append((kind, seed))
            print(f"{kind} {seed}:\n{told}", flush=True)
    print(f"{'input':12s} {'result':>8s} {'sentence':>9s} {'slip':>6s}")
    for kind in kinds:
        print(
            f"{kind:12s} {found[kind, 'result']:8d} {found[kind, 'sentence']:9d} {found[kind, 'slip']:6d}"
        )
    print(f"{options.count} cases; the slowest took {slowest[0]:.1f} s ({slowest[1]})")
    if options.keep and slips:
        with SEEDS.open("a", newline="", encoding="utf-8") as file:
            csv.writer(file, lineterminator="\n").writerows(slips)
    return 1 if slips else 0


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--kind", choices=sorted(KINDS))
    parser.add_argument("--keep", action="store_true", help="add what was found to the kept seeds")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
