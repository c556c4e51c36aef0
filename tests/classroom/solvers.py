"""Solvers of scenario sheets: naive ones that read the sentences, and a careful one that reads the bills; no model runs here.

All of them know no more than a student's sheet says: its sentences and tables, the titles to choose from, how many
are wrong, and what a textbook says of each fault. ``python tests/classroom/solvers.py 200`` tries them on sheets.
"""

import re
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.app.lesson.sheets import bill_heads, bill_rows, reading, seen_lines
from retrofit_lab.classroom.faults import faults
from retrofit_lab.classroom.scenario import Scenario, scenario
from retrofit_lab.classroom.scenario_questions import questions_of
from retrofit_lab.classroom.scenario_texts import ScenarioTexts

TOLD = ScenarioTexts()
RAISED = 0.055
"""A part that is this much over the described one counts as raised. [1]"""
TOO_LEAKY = 1.3
"""A reading so many times the usual one is a fault. [1]"""
TEXTBOOK = {
    "attic_gaps": ("heating", "cooling"), "empty_bays": ("heating", "cooling"), "duct_leaks": ("heating", "cooling"),
    "leaky": (), "hot_leak": ("water",), "hot_tank": ("water",), "long_showers": ("water",),
    "night_load": ("electric",), "lights_on": ("electric",), "poor_burner": ("heating",), "warm_setting": ("heating",),
    "backup_on": ("heating",), "fallen_floor": ("heating",), "weak_cooling": ("cooling",), "cold_setting": ("cooling",),
}  # fmt: skip
"""What each fault raises, as a textbook of the trade says it; not read from the program's data."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What a student has before them."""

    options: dict[str, str]
    count: int
    sentences: tuple[str, ...]
    reading: str
    heads: list[str]
    rows: list[list[str]]
    owner: str
    estimated: str


def sheet_of(made: Scenario) -> Sheet:
    """The sheet of a scenario; options by letter, each with the key that its title stands for."""
    question = next(item.question for item in questions_of(made) if item.question.key == "4")
    keys = {TOLD.fault(fault, "title"): fault.key for fault in faults()}
    counted = re.match(r"(\d+) of these|One of these", question.text)
    return Sheet(
        options={letter: keys[title] for letter, title in question.options.items()},
        count=int(counted[1] or 1),
        sentences=tuple(seen_lines(made, TOLD)),
        reading=reading(made, TOLD),
        heads=bill_heads(made, TOLD),
        rows=bill_rows(made, TOLD),
        owner=f"{made.first.heating}, {made.first.hot_water}",
        estimated=_estimated(made),
    )


def _estimated(made: Scenario) -> str:
    """The fuel of which one bill was estimated, as the last question names it; nothing where none was."""
    found = [
        re.match(r"One (.+) bill was estimated", item.question.text) for item in questions_of(made)
    ]
    return next((match[1].capitalize() for match in found if match), "")


def said_by(sheet: Sheet, name: str) -> set[str]:
    """Letters of which a kind of sentence stands on the sheet, whatever numbers are in it."""
    patterns = {
        fault.key: re.sub(r"\\{[^}]*\\}", ".*", re.escape(TOLD.fault(fault, name)))
        for fault in faults()
    }
    return {
        letter
        for letter, key in sheet.options.items()
        if any(re.fullmatch(patterns[key], sentence) for sentence in sheet.sentences)
    }


def by_striking_out(sheet: Sheet, chance: np.random.Generator) -> set[str]:
    """Takes what was seen, strikes out what was seen to be sound, and guesses among the rest."""
    seen = said_by(sheet, "clue")
    return seen | _some(
        set(sheet.options) - said_by(sheet, "fine") - seen, sheet.count - len(seen), chance
    )


def by_the_owner(sheet: Sheet, chance: np.random.Generator) -> set[str]:
    """Takes what the owner mentions, and guesses where that is too little or too much."""
    said = said_by(sheet, "hint")
    found = _some(said, min(sheet.count, len(said)), chance)
    return found | _some(set(sheet.options) - found, sheet.count - len(found), chance)


def by_both(sheet: Sheet, chance: np.random.Generator) -> set[str]:
    """Takes what was seen, strikes out what is sound, and then takes the owner's word."""
    seen = said_by(sheet, "clue")
    left = set(sheet.options) - said_by(sheet, "fine") - seen
    said = left & said_by(sheet, "hint")
    found = seen | _some(said, min(sheet.count - len(seen), len(said)), chance)
    return found | _some(left - found, sheet.count - len(found), chance)


def by_the_bills(sheet: Sheet, _chance: np.random.Generator) -> set[str]:
    """Takes what was seen and measured; of the rest, what raises a part of the bills that is raised."""
    seen, sound = said_by(sheet, "clue"), said_by(sheet, "fine")
    raised = raised_parts(sheet)
    found = set(seen)
    for letter, key in sheet.options.items():
        if key == "leaky":
            read, usual = (
                float(number.replace(",", ""))
                for number in re.findall(r"([\d,]+) cfm", sheet.reading)
            )
            found |= {letter} if read > TOO_LEAKY * usual else set()
        elif letter not in seen | sound and raised & set(TEXTBOOK[key]):
            found.add(letter)
    return found


def raised_parts(sheet: Sheet) -> set[str]:
    """Parts of the use that are over the described, from the table alone."""
    table = {
        head: [_number(row[place]) for row in sheet.rows]
        for place, head in enumerate(sheet.heads[2:], 2)
    }
    days, cold, hot = (np.array(table[head]) for head in list(table)[:3])
    raised = set()
    for place, head in enumerate(sheet.heads[5::2]):
        used, usual = (
            np.array([_number(row[5 + 2 * place + at]) for row in sheet.rows]) for at in (0, 1)
        )
        electric = head.startswith("Electricity")
        columns = {"every day": days, "heating": cold} | ({"cooling": hot} if electric else {})
        columns = {name: values for name, values in columns.items() if values.sum() > 100}
        if sheet.estimated and head.startswith(sheet.estimated):
            used, usual, columns = _made_good(used, usual, columns)
        more = _more(columns, used, usual)
        heats = electric == ("heat pump" in sheet.owner)
        raised |= {"heating"} if heats and more.get("heating", 0) > RAISED else set()
        raised |= {"cooling"} if more.get("cooling", 0) > RAISED else set()
        if more.get("every day", 0) > RAISED:
            tank_is_electric = "electric tank" in sheet.owner
            raised |= ({"electric"} if electric else set()) | (
                {"water"} if electric == tank_is_electric else set()
            )
    return raised


def _more(columns: dict[str, np.ndarray], used: np.ndarray, usual: np.ndarray) -> dict[str, float]:
    """How much more each part is, where some month has a tenth of its use from it."""
    table = np.array(list(columns.values())).T
    weight = 1.0 / np.maximum(usual, 0.02 * usual.max())
    before = np.linalg.lstsq(table * weight[:, None], usual * weight, rcond=None)[0]
    now = np.linalg.lstsq(table * weight[:, None], used * weight, rcond=None)[0]
    parts = {}
    for place, name in enumerate(columns):
        if (before[place] * table[:, place] >= 0.1 * usual).any():
            parts[name] = float(now[place] / before[place] - 1.0)
    return parts


def _made_good(
    used: np.ndarray, usual: np.ndarray, columns: dict[str, np.ndarray]
) -> tuple[np.ndarray, np.ndarray, dict[str, np.ndarray]]:
    """Bills in which the estimated month and the one that makes up for it count as one: the two that fit best so."""

    def joined(values: np.ndarray, late: int) -> np.ndarray:
        return np.concatenate([values[:late], [values[late : late + 2].sum()], values[late + 2 :]])

    def scatter(late: int) -> float:
        table = np.array([joined(values, late) for values in columns.values()]).T
        weight = 1.0 / joined(usual, late)
        values = joined(used, late) * weight
        line = np.linalg.lstsq(table * weight[:, None], values, rcond=None)[0]
        return float(((values - table @ line * weight) ** 2).sum())

    late = min(
        (
            month
            for month in range(11)
            if used[month] < used[month + 1] * usual[month] / usual[month + 1]
        ),
        key=scatter,
    )
    return (
        joined(used, late),
        joined(usual, late),
        {name: joined(values, late) for name, values in columns.items()},
    )


def _some(among: set[str], count: int, chance: np.random.Generator) -> set[str]:
    return set(chance.permutation(sorted(among))[: max(count, 0)].tolist())


def _number(text: str) -> float:
    return float(text.replace(",", ""))


SOLVERS: dict[str, Callable[[Sheet, np.random.Generator], set[str]]] = {
    "striking out what is sound": by_striking_out,
    "the owner's sentences": by_the_owner,
    "both": by_both,
    "the bills": by_the_bills,
}


made_of = cache(scenario)


def tried(cases: Iterator[tuple[int, int]]) -> tuple[int, Counter[str], list[str]]:
    """How many sheets, how often each solver solved one, and which the careful one did not."""
    solved: Counter[str] = Counter()
    missed, count = [], 0
    for seed, level in cases:
        made = made_of(seed, level)
        count += 1
        for name, solver in SOLVERS.items():
            right = solver(sheet_of(made), np.random.default_rng(seed)) == set(made.right_letters)
            solved[name] += right
            if name == "the bills" and not right:
                missed.append(f"seed {seed} level {level}")
    return count, solved, missed


if __name__ == "__main__":
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    count, solved, missed = tried((seed, 1 + seed % 3) for seed in range(1000, 1000 + many))
    for name in SOLVERS:
        print(f"by {name}: {solved[name]} of {count}")
    print(*missed, sep="\n")
    hidden = Counter(
        key for seed in range(1000, 1000 + many) for key in made_of(seed, 1 + seed % 3).told
    )
    print("hidden:", ", ".join(f"{key} {times}" for key, times in hidden.most_common()))
