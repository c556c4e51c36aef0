"""Numbers of the lesson on a heat pump's balance point: what the rooms ask for and what it gives, over the cold."""

from collections.abc import Callable, Mapping

import numpy as np

from retrofit_lab.base.values import InputError
from retrofit_lab.classroom.lesson_numbers import Curve, Curves, LessonNumbers
from retrofit_lab.model.year import year_energy
from retrofit_lab.physics.heat_pump import capacity_share
from retrofit_lab.study.study import Study
from retrofit_lab.texts.refusals import told

COLDEST, WARMEST = -20.0, 70.0
FREEZING = 32.0
CLOSE = 1e-6


Rate = Callable[[float], float]


def where_the_pump_is_enough(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """Outdoor temperature down to which the heat pump alone is enough; by hand: the backup on a colder day. [Btu/h]"""
    year, capacity = year_energy(study.as_found, study.climate), _capacity(study)
    line = year.heating.state.line
    slope = _january(line.outside) / _january(year.heating.ducts.useful)
    base = _january(line.base_temperature(year.heating.rooms.temperature, year.heating.useful))

    def asked(outdoor: float) -> float:
        return max(slope * (base - outdoor), 0.0)

    def given(outdoor: float) -> float:
        return capacity * float(capacity_share(outdoor))

    point, cold = _meeting(asked, given), values["cold"]
    return LessonNumbers(
        facts={
            **values,
            "room": _january(year.heating.rooms.temperature),
            "base": base,
            "slope": slope,
            "freezing": FREEZING,
            "rated": capacity,
            "at_17": given(17.0),
            "point": point,
            "rated_point": base - capacity / slope,
            "asked": asked(cold),
            "given": given(cold),
            "short": asked(cold) - given(cold),
            "design": float(np.asarray(study.climate.design_heating)),
        },
        charts=(_crossing(asked, given, point),),
    )


def _capacity(study: Study) -> float:
    """Rated heat of the house's heat pump. [Btu/h]"""
    house = study.as_found
    if not house.heat_pumps:
        raise InputError(told("lesson.no_pump", name=house.name))
    return float(house.heat_pumps[0].capacity)


def _crossing(asked: Rate, given: Rate, point: float) -> Curves:
    """What is asked and what is given over the outdoor temperature, and where they meet."""
    outdoors = tuple(np.arange(COLDEST, WARMEST + 1.0, 5.0).tolist())
    return Curves(
        x_unit="out",
        y_unit="Btuh",
        curves={
            "asked": Curve(x=outdoors, y=tuple(map(asked, outdoors))),
            "given": Curve(x=outdoors, y=tuple(map(given, outdoors))),
            "point": Curve(x=(point,), y=(given(point),), joined=False),
        },
    )


def _meeting(asked: Rate, given: Rate) -> float:
    """Outdoor temperature at which as much is asked as given, by halving. [F]"""
    low, high = COLDEST * 3.0, WARMEST
    while high - low > CLOSE:
        middle = (low + high) / 2.0
        low, high = (low, middle) if given(middle) >= asked(middle) else (middle, high)
    return (low + high) / 2.0


def _january(value: object) -> float:
    return float(np.broadcast_to(np.asarray(value, dtype=np.float64), (12,))[0])
