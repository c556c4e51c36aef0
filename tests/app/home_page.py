"""The page at home run by node beside what the program says itself: pieces for tests and for the table of guesses."""

import json
import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from retrofit_lab.app.home import writing
from retrofit_lab.app.shared.scripts import STATIC
from retrofit_lab.proposals.plan_estimate import plan_estimate

SAMPLE = 2500
"""Plans that the guess is fitted to in tests; the page takes more."""
RUN = """
import { readFileSync } from "node:fs";
import { homeModel } from "./home.js";
const { data, plans } = JSON.parse(readFileSync("data.json"));
const model = homeModel(data, { read: () => null, write: () => undefined });
const names = ["now", "plan", "drawing", "sure", "said"];
const look = () => JSON.parse(JSON.stringify(Object.fromEntries(names.map((name) => [name, model.get(name)]))));
const shown = plans.map((plan) => {
  model.set("ticked", []);
  model.set("ticked", plan);
  model.save_changes();
  return look();
});
console.log(JSON.stringify(shown));
"""


def quickly(patch: pytest.MonkeyPatch, few: tuple[str, ...]) -> None:
    """Make pages at home of fewer looked-up fixes, a smaller sample, and starts that nobody searches for."""
    starts = {"rater": few[::2], "cheap": few[:2], "value": few[1::2]}
    patch.setattr(writing, "plan_estimate", lambda study: plan_estimate(study, SAMPLE))
    patch.setattr(writing, "plans_to_start_from", lambda _: starts)
    patch.setattr("retrofit_lab.app.home.words.budget_line", lambda *_: [])
    patch.setattr("retrofit_lab.proposals.all_plans.MOST_MEASURES", len(few))


def shown_at_home(data: dict[str, Any], plans: Sequence[Sequence[str]], folder: Path) -> list[Any]:
    """What the page at home shows of some plans."""
    node = shutil.which("node")
    if node is None:
        reason = "no node here; the page needs none, only these tests"
        pytest.fail(reason) if os.environ.get("CI") else pytest.skip(reason)
    for path in STATIC.glob("*.js"):
        shutil.copy(path, folder)
    (folder / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    (folder / "data.json").write_text(json.dumps({"data": data, "plans": plans}), encoding="utf-8")
    (folder / "run.js").write_text(RUN, encoding="utf-8")
    ran = subprocess.run([node, "run.js"], capture_output=True, text=True, check=False, cwd=folder)
    assert ran.returncode == 0, ran.stderr[-2000:]
    return list(json.loads(ran.stdout))
