"""The page at home run by node beside what the program says itself: pieces for tests and for the table of guesses."""

import json
import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from retrofit_lab.app.home import writing
from retrofit_lab.app.page.starts import budget_line
from retrofit_lab.app.page.told import Told
from retrofit_lab.app.shared.scripts import STATIC
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.proposals.plan_estimate import plan_estimate
from retrofit_lab.study.advice import Advice

SAMPLE = 2500
"""Plans that the guess is fitted to in tests; the page takes more."""
FITTED = ((1, 150),)
"""How it is fitted in tests."""
RUN = """
import { readFileSync } from "node:fs";
import { homeModel } from "./home.js";
const { data, plans, asked } = JSON.parse(readFileSync("data.json"));
const model = homeModel(data, { read: () => null, write: () => undefined });
const names = ["now", "plan", "drawing", "sure", "said", "panels"];
const look = () => JSON.parse(JSON.stringify(Object.fromEntries(names.map((name) => [name, model.get(name)]))));
Object.entries(asked).forEach(([panel, values]) => model.send({ kind: "ask", panel, values }));
const shown = plans.map((plan) => {
  model.set("ticked", []);
  model.set("ticked", plan);
  model.save_changes();
  return look();
});
console.log(JSON.stringify(shown));
"""


def line_of_few(
    few: tuple[str, ...], told: Told, real: RealHouses, advice: Advice
) -> list[dict[str, Any]]:
    """The line of budgets through plans that nobody searches for: the first fixes of a few, one more each time."""
    plans = [advice.study.plan(few[:count]) for count in range(1, len(few) + 1)]
    found = [
        SimpleNamespace(keys=p.ticked, cost=p.cost.likely, saving=p.saved, held=()) for p in plans
    ]
    found.sort(key=lambda plan: plan.cost)
    return budget_line(told, real, SimpleNamespace(frontier=lambda: found))


def plans_of_few(few: tuple[str, ...], _: Advice) -> list[Any]:
    """Plans that nobody searches for, in place of those that a search finds."""
    return [SimpleNamespace(keys=few[:count]) for count in range(len(few))]


def quickly(patch: pytest.MonkeyPatch, few: tuple[str, ...]) -> None:
    """Make pages at home of fewer looked-up fixes, a smaller sample, and starts that nobody searches for."""
    starts = {"rater": few[::2], "cheap": few[:2], "value": few[1::2]}
    patch.setattr(writing, "plan_estimate", lambda study: plan_estimate(study, SAMPLE, FITTED))
    patch.setattr(writing, "plans_to_start_from", lambda _: starts)
    patch.setattr("retrofit_lab.app.home.words.budget_line", partial(line_of_few, few))
    patch.setattr("retrofit_lab.proposals.all_plans.MOST_MEASURES", len(few))
    patch.setattr("retrofit_lab.proposals.worth_having.searched", partial(plans_of_few, few))


def shown_at_home(
    data: dict[str, Any],
    plans: Sequence[Sequence[str]],
    folder: Path,
    asked: Mapping[str, Any] | None = None,
) -> list[Any]:
    """What the page at home shows of some plans, with the questions that are open."""
    node = shutil.which("node")
    if node is None:
        reason = "no node here; the page needs none, only these tests"
        pytest.fail(reason) if os.environ.get("CI") else pytest.skip(reason)
    for path in STATIC.glob("*.js"):
        shutil.copy(path, folder)
    (folder / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    (folder / "data.json").write_text(
        json.dumps({"data": data, "plans": plans, "asked": asked or {}}), encoding="utf-8"
    )
    (folder / "run.js").write_text(RUN, encoding="utf-8")
    ran = subprocess.run([node, "run.js"], capture_output=True, text=True, check=False, cwd=folder)
    assert ran.returncode == 0, ran.stderr[-2000:]
    return list(json.loads(ran.stdout))
