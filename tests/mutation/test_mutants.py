"""Slips are where they should be, change what they say, and the run tells a noticed one from an unnoticed one."""

import ast
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import mutants

SOURCE = '''"""Module 1.5 text."""
LIMIT = -3.0

def flow(area: float, left: float = 2.0) -> float:
    """Docstring of 4.0."""
    if area < 0:
        raise ValueError(f"{area} below {5.0}")
    rows = [1.0, 2.0]
    return LIMIT * area + rows[1]

def unused(x):
    return x * 7.0
'''


def made(tmp_path: Path) -> list[mutants.Mutant]:
    path = tmp_path / "work.py"
    path.write_text(SOURCE)
    reached = {("lab.work", "LIMIT"), ("lab.work", "flow")}
    found = mutants.sites("lab.work", path, reached)
    return [
        mutants.mutant_of(site, slip, tmp_path) for site in found for slip in range(len(site.slips))
    ]


def test_slips_are_only_in_numbers_of_what_is_reached(tmp_path: Path) -> None:
    kinds = sorted((m.kind, m.line) for m in made(tmp_path))
    constants = [line for kind, line in kinds if kind == "constant x 1.2"]
    assert constants == [2, 8, 8]
    assert ("sign", 2) in kinds
    assert {line for _, line in kinds} == {2, 8, 9}


def test_each_slip_changes_one_place_and_still_reads(tmp_path: Path) -> None:
    whole = ast.unparse(ast.parse(SOURCE))
    for mutant in made(tmp_path):
        ast.parse(mutant.text)
        differ = [
            (a, b)
            for a, b in zip(whole.splitlines(), mutant.text.splitlines(), strict=True)
            if a != b
        ]
        assert len(differ) == 1, mutant.name


def test_changes_of_measures_slip_in_value_and_operation(tmp_path: Path) -> None:
    path = tmp_path / "some.toml"
    path.write_text(
        '[[measure]]\nkey = "fill"\nchanges = [\n'
        '  { where = "walls", field = "r_label", op = "at_least", value = "R-13" },\n'
        '  { where = "walls", field = "gap", op = "to", value = 0 },\n]\n'
    )
    first, second = mutants.change_sites(path)
    told = [mutants.changed_measure(first, slip, tmp_path).what for slip in range(3)]
    assert told[0].endswith("R-13 -> R-15.6")
    assert told[2].endswith("at_least -> at_most")
    assert second.slips == ("operation",)
    assert mutants.changed_measure(first, 0, tmp_path).line == 4


def test_whole_numbers_stay_whole_and_small_ones_in_a_list_go_one_step(tmp_path: Path) -> None:
    path = tmp_path / "work.py"
    path.write_text("CLOCK = (22, 400)\nSIZE = 2\nPART = slice(6, 10)\n")
    reached = {("lab.work", name) for name in ("CLOCK", "SIZE", "PART")}
    told = [
        mutants.mutant_of(site, slip, tmp_path).what
        for site in mutants.sites("lab.work", path, reached)
        for slip in range(len(site.slips))
    ]
    assert told[:4] == ["22 -> 23", "22 -> 21", "400 -> 480", "400 -> 320"]
    assert told[4:6] == ["2 -> 3", "2 -> 1"]
    assert told[6:] == ["6 -> 7", "6 -> 5", "10 -> 11", "10 -> 9"]


def test_axes_are_no_numbers(tmp_path: Path) -> None:
    path = tmp_path / "work.py"
    path.write_text(
        "def front(n):\n    for month in range(12):\n        n.reshape(12, 24)\n    return (1,) * (n - 2)\n"
    )
    assert not list(mutants.sites("lab.work", path, {("lab.work", "front")}))
