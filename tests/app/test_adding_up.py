"""What the page shows of a plan adds up as it is shown: lines, steps, parts of the bill, before and after."""

import re
from functools import cache

import numpy as np
import pytest
from examples import example

from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.now_content import now_content
from retrofit_lab.app.page.plan_view import plan_content
from retrofit_lab.app.page.starts import starts_content
from retrofit_lab.app.page.told import told
from retrofit_lab.proposals.in_real_houses import Expected, RealHouses
from retrofit_lab.proposals.plan_estimate import random_plans
from retrofit_lab.proposals.steps import proposal
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import PlanResult

HOUSES = ("alder_street", "wren_cottage")
PLANS = 4
AMOUNT = re.compile(r"-?\$[\d,]+")


def read(text: str) -> int:
    """Money that a person reads; ``costs $5 more`` takes off what is saved."""
    found = AMOUNT.search(text)
    amount = int(re.sub(r"[$,]", "", found[0])) if found else 0
    return -amount if "more" in text else amount


@cache
def plans(name: str) -> list[tuple[PlanResult, Expected]]:
    study = example(name)
    real, masks = RealHouses(study), random_plans(study, 4 * PLANS, seed=8)[::4]
    results = [study.plan(np.array(study.keys)[mask].tolist()) for mask in masks if mask.any()]
    return [(result, real.of_plan(result)) for result in results]


@pytest.mark.parametrize("name", HOUSES)
def test_lines_bars_and_facts_add_up(name: str) -> None:
    said = told(example(name), "en", "us")
    for result, expected in plans(name):
        shown = now_content(said, result, expected)
        total = read(shown["total"]) or read(shown["strip"][2][1])
        assert sum(read(shown["rows"][key][0]) for key in result.ticked) == total
        assert sum(read(row[2]) for row in shown["picture"]["table"]) == total
        now, after = (read(fact[1]) for fact in shown["strip"][:2])
        assert now - after == total


@pytest.mark.parametrize("name", HOUSES)
def test_steps_add_up_to_the_plan(name: str) -> None:
    study = example(name)
    said, advice = told(study, "en", "us"), Advice(study)
    for result, expected in plans(name)[:2]:
        shown = plan_content(said, proposal(advice, result.ticked, sure=False), expected)
        rows = [row for phase in shown["phases"] for row in phase["rows"]]
        cost, saving = (
            read(said.price(result.cost)),
            read(said.yearly(expected.saving)),
        )
        assert sum(read(row["cost"]) for row in rows) == cost
        assert sum(read(row["saves"]) for row in rows) == saving


@pytest.mark.parametrize("name", HOUSES)
def test_parts_of_the_bill_add_up(name: str) -> None:
    drawing = HouseDrawing(told(example(name), "en", "us"))
    for result, expected in plans(name):
        shown = drawing.content(result, expected)["dollars"]
        *rows, whole = shown["rows"]
        for column in (1, 2):
            assert sum(read(row[column]) for row in rows) == read(whole[column])
        assert f"{whole[2]} a year" in shown["sentence"]
        by_name = {row[0]: row[1:] for row in rows}
        for part, drawn in shown["parts"].items():
            numbers = AMOUNT.findall(drawn["numbers"])
            name_of = drawing.name(part)
            assert not numbers or part == "heating" or numbers[0] == by_name.get(name_of, ["$0"])[0]


def test_a_start_tells_bills_that_differ_by_what_it_saves() -> None:
    study = example("alder_street")
    said, real = told(study, "en", "us"), RealHouses(study)
    shown = starts_content(said, real, {"rater": plans("alder_street")[0][0].ticked})
    now, after = map(read, AMOUNT.findall(shown["lead"]))
    assert now - after == read(shown["items"][0]["text"])
