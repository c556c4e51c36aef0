"""Breaks the product on purpose and counts which breaks an outside number notices: ``run.py --help``.

    python tests/mutation/run.py --seed 1 --count 200 --jobs 2

Each break is put into a process of its own, before the product is imported there, and runs only the checks
that reach the broken place, until the first that fails. Equivalent breaks stand in ``equivalent.toml``.
"""

import argparse
import contextlib
import importlib.abc
import importlib.util
import json
import os
import random
import re
import signal
import sys
import time
import tomllib
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from multiprocessing.pool import ThreadPool
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), *(str(ROOT / "tests" / room) for room in ("", "published", "mutation"))]

import mutants  # noqa: E402
import outside  # noqa: E402
from call_graph import Reach, modules, study_starts  # noqa: E402
from mutants import Mutant  # noqa: E402

SECONDS = 240
WARM = (
    "numpy", "scipy.stats", "scipy.optimize", "scipy.special", "pytest", "hypothesis", "pint", "ht.conduction",
    "fluids.atmosphere", "psychrolib", "CoolProp.CoolProp", "pvlib", "pandas", "numpy_financial",
)  # fmt: skip
NOBODY = "survived"
STOPPED = "stops: "
"""Before the name of a check that a break only stops from running: no number differed."""
CRASHED = f"{STOPPED}signal "


def main() -> None:
    asked = _arguments()
    for name in WARM:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
    every = list(everything())
    equivalent = {
        (entry["path"], told)
        for entry in _equivalent()
        for told in (
            *entry.get("definitions", ()),
            _told(entry.get("within", ""), entry.get("what", "")),
        )
    }
    if asked.again:
        chosen = survivors(every, Path(asked.again))
    else:
        chosen = sample(every, asked.count, asked.seed, equivalent, asked.only)
    print(f"{len(every)} places; {len(chosen)} breaks of seed {asked.seed}", flush=True)
    reach = coverage(asked.jobs)
    started = time.monotonic()
    with ThreadPool(asked.jobs) as pool:
        found = []
        for mutant, noticed in pool.imap(lambda mutant: (mutant, tried(mutant, reach)), chosen):
            found.append((mutant, noticed))
            print(f"{noticed}\t{mutant.name}", flush=True)
    report(found, time.monotonic() - started)
    if asked.write:
        lines = [f"{noticed}\t{mutant.name}" for mutant, noticed in found]
        Path(asked.write).write_text("\n".join(lines) + "\n", encoding="utf-8")


def _arguments() -> argparse.Namespace:
    asked = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--count", type=int, default=200)
    asked.add_argument("--jobs", type=int, default=2)
    asked.add_argument("--only", default="", help="only paths that hold this text")
    asked.add_argument("--write", default="", help="file for the list of all breaks")
    asked.add_argument(
        "--again", default="", help="such a file: only what survived in it, tried again"
    )
    return asked.parse_args()


def everything() -> Iterator[object]:
    """Every place where a slip can be made: in code that a study reaches, and in changes of measures."""
    package = modules(ROOT / "retrofit_lab")
    reached = Reach(package, study_starts(package)).found
    for module in package:
        path = ROOT.joinpath(*module.split(".")).with_suffix(".py")
        if module.split(".")[1:2] and module.split(".")[1] in mutants.ROOMS and path.exists():
            yield from mutants.sites(module, path, reached)
    for path in sorted((ROOT / "data/measures").glob("*.toml")):
        yield from mutants.change_sites(path)


def sample(
    every: Sequence, count: int, seed: int, equivalent: set[tuple[str, str]], only: str
) -> list[Mutant]:
    """Breaks drawn from all slips of all places, each slip as likely as any other; equivalent ones are passed over."""
    slips = [
        (site, slip) for site in every for slip in range(len(site.slips)) if only in str(site.path)
    ]
    random.Random(seed).shuffle(slips)
    chosen: list[Mutant] = []
    for site, slip in slips:
        if len(chosen) == count:
            break
        make = mutants.mutant_of if isinstance(site, mutants.Site) else mutants.changed_measure
        mutant = make(site, slip, ROOT)
        told = (mutant.place[1], mutant.what, _told(mutant.place[1], mutant.what))
        if not {(mutant.path, name) for name in told} & equivalent:
            chosen.append(mutant)
    return chosen


def survivors(every: Sequence, path: Path) -> list[Mutant]:
    """Breaks that survived by a list that `--write` made, wherever their lines stand by now."""
    told = [line.split("\t", 1) for line in path.read_text(encoding="utf-8").splitlines()]
    wanted = {_without_line(name) for noticed, name in told if noticed == NOBODY}
    files = {name.partition(" ")[0] for name in wanted}
    chosen = []
    for site in every:
        if str(site.path.relative_to(ROOT)) in files:
            make = mutants.mutant_of if isinstance(site, mutants.Site) else mutants.changed_measure
            made = (make(site, slip, ROOT) for slip in range(len(site.slips)))
            chosen += [mutant for mutant in made if _without_line(mutant.name) in wanted]
    return chosen


def _without_line(name: str) -> str:
    return re.sub(r":\d+ ", " ", name, count=1)


def _told(within: str, what: str) -> str:
    """One slip in one definition, where the same slip elsewhere in the file would be none."""
    return f"{within}: {what}" if within else what


def _equivalent() -> list[dict]:
    return tomllib.loads(Path(__file__).with_name("equivalent.toml").read_text(encoding="utf-8"))[
        "equivalent"
    ]


def coverage(jobs: int) -> dict[str, list[tuple[str, set[tuple[str, str]]]]]:
    """What each check of each file calls in the product as it stands; checks that fail already are left out."""
    with ThreadPool(jobs) as pool:
        results = pool.map(lambda name: (name, _forked(_covered, name)), outside.files())
    covered = {}
    for name, rows in results:
        if not isinstance(rows, list):
            raise SystemExit(f"{name} cannot be run: {rows}")
        broken = [row for row, places in rows if places is None]
        if broken:
            print(f"{name}: fails without a break, left out: {', '.join(broken)}", flush=True)
        covered[name] = [
            (row, {tuple(p) for p in places}) for row, places in rows if places is not None
        ]
    return covered


def _covered(name: str) -> list:
    rows = []
    for check in outside.checks_of(name):
        with outside.Watched() as places:
            try:
                check.run()
                good = True
            except Exception:  # noqa: BLE001 - whatever fails is no check of ours
                good = False
        rows.append((check.name, sorted(places) if good else None))
    return rows


def tried(mutant: Mutant, reach: dict[str, list[tuple[str, set[tuple[str, str]]]]]) -> str:
    """Name of the check that notices a break, by a number if any does, or `NOBODY`."""
    files = list(_in_order(mutant, reach))
    found = str(_forked(_first_noticed, files, mutant))
    if not found.startswith(CRASHED):
        return found
    # the process died on the way: each file in one of its own, so that those after it are asked too
    each = [str(_forked(_first_noticed, [file], mutant)) for file in files]
    numbers = [name for name in each if _by_number(name)]
    return numbers[0] if numbers else next(name for name in each if name != NOBODY)


def _first_noticed(files: Sequence[tuple[str, list[str]]], mutant: Mutant) -> str:
    _break(mutant)
    stopped = NOBODY
    for name, rows in files:
        found = _noticed(name, rows)
        if found and not found.startswith(STOPPED):
            return found
        stopped = found or stopped
    return stopped


def _in_order(mutant: Mutant, reach: dict) -> Iterator[tuple[str, list[str]]]:
    """Files whose checks reach the broken place; in each the checks that do, then those that share its caches."""
    for name, rows in reach.items():
        near = [row for row, places in rows if _touches(mutant, places)]
        if near:
            yield name, near + [row for row, _ in rows if row not in near]


def _touches(mutant: Mutant, places: set[tuple[str, str]]) -> bool:
    module, name = mutant.place
    if not module:
        return any(where.startswith("retrofit_lab.measures") for where, _ in places)
    if name.rpartition(".")[2].isupper() or (name.startswith("_") and name.isupper()):
        return any(where in _users(module, name) for where, _ in places)
    return (module, name) in places or any(
        where == module and inner.startswith(f"{name}.") for where, inner in places
    )


def _users(module: str, name: str) -> set[str]:
    """Modules in which a constant counts: its own, and those that import it."""
    if not _PACKAGE:
        _PACKAGE.update(modules(ROOT / "retrofit_lab"))
    return {module} | {
        where for where, m in _PACKAGE.items() if (module, name) in m.imported.values()
    }


_PACKAGE: dict = {}


class Broken(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Hands out the broken text in place of one module."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant

    def find_spec(self, name, path=None, target=None):
        if name != self.mutant.place[0]:
            return None
        return importlib.util.spec_from_loader(name, self, origin=str(ROOT / self.mutant.path))

    def exec_module(self, module) -> None:
        module.__file__ = str(ROOT / self.mutant.path)
        exec(compile(self.mutant.text, module.__file__, "exec"), module.__dict__)  # noqa: S102 - our own text


def _break(mutant: Mutant) -> None:
    if mutant.place[0]:
        sys.meta_path.insert(0, Broken(mutant))
        return
    measure, place, change = eval(mutant.text)  # noqa: S307 - written by changed_measure
    whole, right = (ROOT / mutant.path).read_text(encoding="utf-8"), tomllib.loads

    def loads(text: str, **options: object) -> dict:
        table = right(text, **options)
        if text == whole:
            table["measure"][measure]["changes"][place] = change
        return table

    tomllib.loads = loads


def _noticed(name: str, rows: list[str]) -> str:
    try:
        checks = {check.name: check for check in outside.checks_of(name)}
    except Exception as error:  # noqa: BLE001 - a break may do anything
        return f"{STOPPED}{name} cannot be read ({type(error).__name__})"
    stopped = ""
    for row in rows:
        try:
            checks[row].run()
        except AssertionError:
            return row
        except Exception as error:  # noqa: BLE001
            stopped = stopped or f"{STOPPED}{row} ({type(error).__name__})"
    return stopped


def _forked(work, *arguments):
    """Result of a piece of work in a process of its own, so that no cache and no break outlives it."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        signal.alarm(SECONDS)
        _work_in_child(write, work, arguments)
    os.close(write)
    with os.fdopen(read, "rb") as pipe:
        text = pipe.read()
    _, status = os.waitpid(child, 0)
    if not text:
        return f"{CRASHED}{os.WTERMSIG(status)} or crash"
    return json.loads(text)


def _work_in_child(write: int, work, arguments) -> None:
    import warnings

    warnings.simplefilter("ignore")
    code = 0
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        result = json.dumps(work(*arguments)).encode()
        with os.fdopen(write, "wb") as pipe:
            pipe.write(result)
    except BaseException:  # noqa: BLE001 - told to the parent by silence
        traceback.print_exc()
        code = 1
    os._exit(code)


def report(found: Sequence[tuple[Mutant, str]], seconds: float) -> None:
    """Which check caught how many by its number, what only stopped, and where nothing did."""
    for noticed, count in Counter(
        noticed for _, noticed in found if _by_number(noticed)
    ).most_common():
        print(f"{count:4d}  {noticed}")
    stopped = [(mutant, noticed) for mutant, noticed in found if noticed.startswith(STOPPED)]
    print("\nonly stopped by an error, a crash or the time:")
    for mutant, noticed in stopped:
        print(f"  {mutant.name}  [{noticed.removeprefix(STOPPED)}]")
    print("\nnot noticed:")
    for mutant, noticed in found:
        if noticed == NOBODY:
            print(f"  {mutant.name}")
    whole, numbers = max(len(found), 1), sum(_by_number(noticed) for _, noticed in found)
    print(
        f"\n{numbers} of {len(found)} breaks noticed by a number ({numbers / whole:.1%}), {len(stopped)} more only "
        f"stop ({len(stopped) / whole:.1%}), in {seconds:.0f} s"
    )


def _by_number(noticed: str) -> bool:
    return noticed != NOBODY and not noticed.startswith(STOPPED)


if __name__ == "__main__":
    main()
