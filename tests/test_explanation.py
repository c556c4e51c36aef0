"""What `explain` says can be done again by hand, for one input of each mechanism."""

import math

import numpy as np
import pytest
from examples import example

from retrofit_lab.base.values import InputError
from retrofit_lab.house.paths import numbers, with_numbers
from retrofit_lab.model.year import year_energy
from retrofit_lab.study.explanation import TOPICS, topic_named
from retrofit_lab.study.study import Study

ALDER = example("alder_street")
WREN = example("wren_cottage")


FILM = "film outdoors in the mean wind at the walls: R"


def step(study, topic: str, text: str) -> float:
    return next(s.value for s in study.explain(topic).steps if s.text == text)


@pytest.mark.parametrize("topic", TOPICS)
@pytest.mark.parametrize("study", [ALDER, WREN], ids=["alder", "wren"])
def test_every_topic_tells_formula_inputs_with_source_and_result(study, topic: str) -> None:
    told = study.explain(topic)
    assert told.formula
    assert told.inputs or topic == "natural air flow"
    assert all(item.source for item in told.inputs)
    assert told.steps
    assert all(math.isfinite(s.value) for s in told.steps)
    assert topic.upper() in str(told)


@pytest.mark.parametrize("study", [ALDER, WREN], ids=["alder", "wren"])
def test_every_number_of_the_house_can_be_traced(study) -> None:
    for path, value in numbers(study.as_found):
        told = study.explain(path)
        assert told.inputs[0].value == value
        assert told.inputs[0].source


@pytest.mark.parametrize("topic", TOPICS)
def test_every_topic_is_told_in_spanish(topic: str) -> None:
    told = WREN.explain(topic)
    assert topic_named(topic, "en") == topic
    assert topic_named(topic, "es") != topic
    assert told.formula_said("es") != told.formula
    for step in told.steps:
        assert step.said("es") != step.text or step.key == "u_value", step.key
        assert "{" not in step.said("es")


def test_unknown_topic_names_the_known() -> None:
    with pytest.raises(InputError, match=r"nothing is called 'magic'; topics are conduction"):
        ALDER.explain("magic")


def test_wall_by_hand() -> None:
    around = 2.2 + 0.68 + step(ALDER, "conduction", FILM)
    u = 0.23 / (4.38 + around) + 0.77 * (0.97 / (11 + around) + 0.03 / (1 + around))
    assert step(ALDER, "conduction", "Outside walls: U") == pytest.approx(u, rel=1e-9)
    assert step(ALDER, "conduction", "Outside walls: U x area") == pytest.approx(1750 * u, rel=1e-9)


def test_outdoor_film_by_hand() -> None:
    """The mean wind counts a month by how far it lies from 65 F; its share at the walls is the air model's."""
    climate = ALDER.climate
    weight = abs(climate.temperature - 65.0)
    wind = 0.44704 * float((weight * climate.wind).sum() / weight.sum())
    stories, shelter = ALDER.as_found.size.stories, ALDER.as_found.site.shelter_class
    at_wall = (
        wind * np.interp(stories, [1, 2, 3], [0.48, 0.59, 0.67]) * {3.0: 0.7, 4.0: 0.5}[shelter]
    )
    film = 5.678263 / (4.0 + 4.0 * at_wall + 0.9 * 5.1)
    assert step(ALDER, "conduction", FILM) == pytest.approx(film, rel=1e-6)


def test_empty_bays_of_an_attic_floor_hold_no_air_by_hand() -> None:
    """Nothing closes them off: boards and films are all there is."""
    study = Study(with_numbers(ALDER.as_found, {"surfaces.attic_floor.missing_fraction": 1.0,
                                                "surfaces.attic_floor.framing_fraction": 0.0}))  # fmt: skip
    assert step(study, "conduction", "Attic floor: U") == pytest.approx(1 / (0.45 + 0.61 + 0.46))


def test_knee_wall_with_missing_bays_by_hand() -> None:
    around = 0.45 + 0.68 + 0.46
    filled = 0.92 / (11 + around) + 0.08 / (1 + around)
    u = 0.15 / (4.38 + around) + 0.85 * (0.78 * filled + 0.22 / (0.91 + around))
    assert step(ALDER, "conduction", "Knee walls: U") == pytest.approx(u, rel=1e-9)
    as_it_lies = step(ALDER, "conduction", "Knee walls: label R-11, as it lies R")
    assert as_it_lies == pytest.approx(1 / u - around, rel=1e-9)


def test_deep_fill_over_joists_by_hand() -> None:
    """R-49 over 5.6 in joists: the joists are covered, so the floor is near its label."""
    study = Study(with_numbers(ALDER.as_found, {"surfaces.attic_floor.r_label": 49.0,
                                                "surfaces.attic_floor.gap_fraction": 0.0}))  # fmt: skip
    over_joist = 7 + 49 - 5.6 * 3.3
    around = 0.45 + 0.61 + 0.46
    as_it_lies = 1 / (0.9 / (49 + around) + 0.1 / (over_joist + around)) - around
    told = step(study, "conduction", "Attic floor: label R-49, as it lies R")
    assert told == pytest.approx(as_it_lies, rel=1e-9)
    assert told == pytest.approx(47, abs=1)


def test_leak_share_by_hand() -> None:
    areas = {"floor": 8 * 1.5, "hatch": 1.5}
    share = step(WREN, "air leakage", "Attic hatch: share of the leaks")
    from retrofit_lab.model.air import leak_rows

    likely = {key: float(row["likely_in2"]) for key, row in leak_rows().items()}
    whole = (
        areas["floor"] * likely["plumbing_penetrations"] + 134 * 0.6 * likely["band_joist"]
        + 1.5 * likely["attic_hatch"] + 18 * likely["wiring_penetrations"] + likely["chimney_chase"]
        + 9 * 1.5 * likely["register_boots"] + 18 * likely["outlets"] + 130 * likely["baseboard"]
        + 132 * 1.5 * likely["windows"] + 2 * likely["doors"]
    )  # fmt: skip
    assert share == pytest.approx(80 * 1.5 * likely["attic_hatch"] / whole, rel=1e-9)


def test_months_heat_by_hand() -> None:
    slope = step(ALDER, "heat balance", "loss per degree outdoors")
    degree_days = step(ALDER, "heat balance", "degree days in January")
    loss = 24 * slope * degree_days
    assert step(ALDER, "heat balance", "heat that leaves in January") == pytest.approx(loss)
    gains = 31 * 24 * step(ALDER, "heat balance", "heat from people, sun and plugs")
    base = step(ALDER, "heat balance", "base of the degree days")
    mean = slope * (base - float(ALDER.climate.temperature[0])) - gains / (31 * 24)
    scale = 0.3989 / 0.6931 * step(ALDER, "heat balance", "deviation of loss less gains in January")
    heat = 31 * 24 * scale * math.log1p(math.exp(mean / scale))
    assert step(ALDER, "heat balance", "heat for the rooms in January") == pytest.approx(heat)
    used = (loss - heat) / gains
    assert step(ALDER, "heat balance", "of it in use in January") == pytest.approx(100 * used)


def test_ducts_by_hand() -> None:
    room = step(ALDER, "setback", "mean of the rooms in January")
    basement = step(ALDER, "ducts", "Basement: in January, warmed by the ducts")
    carried = step(ALDER, "natural air flow", "heat per flow and degree") * 1050
    b_supply = math.exp(-210 / (1.2 * carried))
    b_return = math.exp(-90 / (1.2 * carried))
    rise = step(ALDER, "ducts", "warming in the equipment, January")
    outdoor = step(ALDER, "ducts", "outdoors while it is heated, January")
    assert 17 < outdoor < 35
    assert rise * carried >= 32_000 * (0.62 + 0.18 * (outdoor - 17) / 18) - 1e-6
    kept = 0.9 * b_supply
    difference = room - basement
    delivered = kept - kept * (1 - 0.92 * b_return) * difference / rise
    delivered -= 0.9 * (1 - b_supply) * difference / rise
    assert step(ALDER, "ducts", "delivered in January") == pytest.approx(100 * delivered, rel=1e-9)


def test_hot_water_by_hand() -> None:
    cold = step(ALDER, "hot water", "mains in January")
    mixed = 4 * (0.75 * 8 * 2.6 + 3 * 2.2)
    hot = mixed * (105 - cold) / (138 - cold) + 11 + 8 * 0.5
    assert step(ALDER, "hot water", "hot water drawn") == pytest.approx(hot, rel=1e-6)


def test_standby_by_hand() -> None:
    use = (34 * 19 + 26 * 18) * 365 / 1000 * 3412.14
    assert step(ALDER, "lights and plugs", "electricity for standby in the year") == pytest.approx(
        use, rel=1e-6
    )


def test_time_constant_by_hand() -> None:
    hours = step(ALDER, "setback", "time constant in January")
    line = year_energy(ALDER.as_found, ALDER.climate).heating.state.line
    assert hours == pytest.approx(5 * 1920 / line.inside[0], rel=1e-9)
