"""Two devices on one house: what each changed stands, and a change is taken back without losing the other's."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.editing import with_answer, with_item, with_observation, without_item
from retrofit_lab.house.file import load_house
from retrofit_lab.house.items import item_named
from retrofit_lab.house.merging import changed_paths, merged

HOUSE = load_house(data_path("houses", "alder_street.toml"))
CHANGES = {
    "walls": lambda house: with_answer(house, "surfaces.walls.r_label", "R-15"),
    "leak": lambda house: with_answer(house, "leakage.flow", "2750 cfm at 50 Pa"),
    "seen": lambda house: with_observation(house, "vermiculite", True),
    "more": lambda house: with_item(house, "leakage.sites", item_named("leakage.sites.recessed_lights"))[0],
    "gone": lambda house: without_item(house, f"windows.{house.windows[0].key}"),
    "name": lambda house: replace(house, name="Alder, again"),
}  # fmt: skip
CHOSEN = st.lists(st.sampled_from(sorted(CHANGES)), unique=True, max_size=4)


def made(names):
    house = HOUSE
    for name in names:
        house = CHANGES[name](house)
    return house


@given(CHOSEN, CHOSEN)
@settings(deadline=None, max_examples=60)
def test_both_changes_stand(ours, theirs) -> None:
    both = merged(HOUSE, made(ours), made([n for n in theirs if n not in ours]))
    again = made([*[n for n in theirs if n not in ours], *ours])
    assert set(changed_paths(HOUSE, both)) == set(changed_paths(HOUSE, again))


@given(CHOSEN, CHOSEN)
@settings(deadline=None, max_examples=60)
def test_taking_back_keeps_what_came_after(first, later) -> None:
    later = [name for name in later if name not in first]
    before, after = HOUSE, made(first)
    now = made([*first, *later])
    assert merged(after, before, now) == merged(HOUSE, made(later), HOUSE)


def test_same_field_twice_is_ours() -> None:
    ours = with_answer(HOUSE, "leakage.flow", "1500 cfm at 50 Pa")
    theirs = with_answer(HOUSE, "leakage.flow", "1900 cfm at 50 Pa")
    assert merged(HOUSE, ours, theirs).leakage.flow == 1500.0


@pytest.mark.parametrize(
    ("name", "path"),
    [("walls", "surfaces.walls.r_label"), ("seen", "observations"), ("name", "name")],
)
def test_changes_are_named(name: str, path: str) -> None:
    assert path in changed_paths(HOUSE, made([name]))
