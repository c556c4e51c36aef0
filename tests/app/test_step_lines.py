"""What the command line says of steps: in their order, with what speaks for each, and what to look at first."""

from dataclasses import replace
from pathlib import Path

from examples import example

from retrofit_lab.app.commands.step_lines import look_lines, step_lines
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.command import main
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.proposals.steps import proposal, rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study

HOUSE = data_path("houses", "sycamore_lane.toml")


def house_with(words: tuple[str, ...], path: Path) -> Path:
    house = load_house(HOUSE)
    save_house(replace(house, observations=(*house.observations, *words)), path)
    return path


def test_savings_prints_the_chosen_steps_in_the_one_order(capsys) -> None:
    chosen = ("furnace_upgrade", "attic_insulation", "seal_boots", "duct_mastic")
    assert main(["savings", str(HOUSE), "--plan", ",".join(chosen), "--calculated"]) == 0
    said = capsys.readouterr().out
    assert "The chosen plan, in this order:" in said
    part = said[said.index("The chosen plan") :]
    found = proposal(Advice(example("sycamore_lane")), chosen, sure=False)
    places = [part.index(f". {step.key} ") for step in found.steps]
    assert places == sorted(places)
    assert "R-value on the insulation label R-13 (Attic floor)" in part
    assert "real houses" not in part


def test_savings_without_a_choice_prints_what_a_rater_would_propose(capsys) -> None:
    assert main(["savings", str(HOUSE)]) == 0
    said = capsys.readouterr().out
    assert "What a rater would propose, in this order:" in said
    assert "in real houses)" in said
    assert "Look here first." in said


def test_what_can_start_now_is_told_where_some_of_the_plan_waits(tmp_path: Path) -> None:
    free, held = (
        example("sycamore_lane"),
        Study(load_house(house_with(("bad_wiring",), tmp_path / "h.toml"))),
    )
    lines = step_lines(held, rater_plan(Advice(held), sure=False), chosen=False)
    assert any("The part that can start now costs about $" in line for line in lines)
    clean = step_lines(free, rater_plan(Advice(free), sure=False), chosen=False)
    assert not any("can start" in line for line in clean)


def test_check_names_what_the_house_needs_and_what_to_look_at(tmp_path: Path, capsys) -> None:
    path = house_with(("dryer_vents_indoors",), tmp_path / "h.toml")
    assert main(["check", str(path)]) == 0
    said = capsys.readouterr().out
    assert "h.toml: needed here: Vent the dryer outdoors" in said
    assert "Find out: " in said


def test_what_is_left_to_look_at_is_counted() -> None:
    study = example("sycamore_lane")
    found = rater_plan(Advice(study), sure=False)
    lines = look_lines(study, found, 2)
    assert lines[-1] == f"     and {len(found.look_first) - 2} more"
    assert len(lines) == 4
    assert any("Settle first" in line for line in step_lines(*stopped(), chosen=False))


def stopped():
    house = example("sycamore_lane").as_found
    study = Study(replace(house, observations=("gas_smell",)))
    return study, rater_plan(Advice(study), sure=False)
