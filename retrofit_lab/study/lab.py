"""The public way in, for notebooks: a house opened or started by a few answers, and short questions to it.

`Lab` asks a `Study` and its `Advice`; nothing is worked out here.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import sqrt
from pathlib import Path
from typing import Any

from retrofit_lab.base.nearest import known_names
from retrofit_lab.base.presenting import Shown
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.units import spelled
from retrofit_lab.base.values import InputError, Value
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import (
    HALF_STORY_FLOOR,
    default_answers,
    first_answers,
    questions,
)
from retrofit_lab.house.paths import number_at, number_fields, numbers, parameter_at, with_numbers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.house.typed import read_typed
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.answers import (
    BillsAnswer,
    EnergyAnswer,
    PlanAnswer,
    RangesAnswer,
    one_or_several,
)
from retrofit_lab.study.explanation import Explanation
from retrofit_lab.study.opening import open_study
from retrofit_lab.study.study import Study
from retrofit_lab.study.working_order import working_order
from retrofit_lab.texts.refusals import told
from retrofit_lab.uncertainty.narrowing import what_to_measure

LONG_BY_WIDE = 10.0 / 7.0
"""Length over width of a footprint of which only the floor area is known. [1] (judgment)"""
NO_LIMIT = float("inf")


@dataclass(frozen=True, eq=False, repr=False)
class Lab(Shown):
    """One house with its weather, prices and measures, to ask in a notebook.

    ``study`` answers everything that the page and the report know. A table of a lab lists all measures that fit
    the house; its plot shows where the heat goes.
    """

    study: Study

    @cached_property
    def advice(self) -> Advice:
        """Best plans, plans over years and ranges."""
        return Advice(self.study)

    @property
    def house(self) -> House:
        """The house as found."""
        return self.study.as_found

    @property
    def keys(self) -> tuple[str, ...]:
        """Measures that fit the house, in catalog order."""
        return self.study.keys

    def numbers(self, part: str = "") -> dict[str, Value]:
        """Every number of the house by its path, or those whose path holds a word.

        Examples
        --------
        >>> import retrofit_lab as rl
        >>> list(rl.open("alder_street").numbers("attic_floor.r_label"))
        ['surfaces.attic_floor.r_label']
        """
        return {path: value for path, value in numbers(self.house) if part in path}

    def energy(self, keys: Iterable[str] = ()) -> EnergyAnswer:
        """A year of the house as it stands, or with a plan done.

        Parameters
        ----------
        keys : iterable of str
            Measures of the plan.

        Examples
        --------
        >>> import retrofit_lab as rl
        >>> s = rl.open("alder_street")
        >>> s.energy(["led_lamps"]).cost < s.energy().cost
        True
        >>> s.energy().bills.shape
        (1, 12)
        """
        study, keys = self.study, tuple(keys)
        return EnergyAnswer(
            house=self.house.name,
            keys=keys,
            year=study.plan(keys).after,
            fuels=study.fuels,
            bills=study.energies.bills_by_month(keys),
        )

    def plan(self, keys: Iterable[str]) -> PlanAnswer:
        """What a plan saves, costs and is worth, with its overlaps and ranges.

        Parameters
        ----------
        keys : iterable of str
            Measures, in any order.

        Raises
        ------
        InputError
            When one is unknown, with the nearest names, or two cannot go together.

        Examples
        --------
        >>> import retrofit_lab as rl
        >>> plan = rl.open("alder_street").plan(["attic_insulation", "duct_mastic"])
        >>> plan.saving.low < plan.saving.middle < plan.saving.high
        True
        >>> plan.result.saved < plan.result.sum_alone
        True
        """
        return self._answer(self.study.plan(keys).ticked)

    def _answer(self, keys: Sequence[str], *, exact: bool = True) -> PlanAnswer:
        return PlanAnswer(
            house=self.house.name,
            keys=working_order(self.study, keys),
            measures={offer.key: offer.measure for offer in self.study.offers},
            result=self.study.plan(keys),
            draw=lambda: self.advice.outcome(keys),
            exact=exact,
        )

    def best(
        self,
        budget: float | Sequence[float] = NO_LIMIT,
        *,
        payback: float | Sequence[float] = NO_LIMIT,
        saving: float | Sequence[float] = -NO_LIMIT,
        aim: str = "net_savings",
    ) -> Any:
        """The plan that reaches most within limits; a list of limits gives a plan for each.

        Parameters
        ----------
        budget : float or sequence of float
            Most to spend at first. [dollars]
        payback : float or sequence of float
            Longest simple payback. [year]
        saving : float or sequence of float
            Least yearly saving. [dollars/year]
        aim : str
            ``"net_savings"``, ``"saving"``, ``"co2"`` or ``"cost"``.

        Returns
        -------
        PlanAnswer or Several

        Raises
        ------
        InputError
            When no plan keeps the limits, or the aim is unknown.

        Examples
        --------
        >>> import retrofit_lab as rl
        >>> s = rl.open("wren_cottage")
        >>> s.best(budget=3000).cost.likely <= 3000
        True
        >>> small, large = s.best(budget=[1000, 5000])
        >>> small.net_savings <= large.net_savings
        True
        """
        limits = {"budget": budget, "payback": payback, "saving": saving}
        units = {"budget": "$", "payback": "years", "saving": "$/year"}

        def one(within: Mapping[str, Any]) -> PlanAnswer:
            found = self.advice.best(Limits(**{k: float(v) for k, v in within.items()}), aim)
            return self._answer(found.keys, exact=found.exact)

        return one_or_several(limits, units, one)

    def with_(self, changes: Mapping[str, Any] | None = None, **more: Any) -> Any:
        """The same house with some of its numbers or words changed; a list of values gives a house for each.

        Numbers that bills moved stay as they are; the bills are not read again.

        Parameters
        ----------
        changes : mapping of str to value
            By path, such as ``{"surfaces.attic_floor.r_label": 30}``.
        **more
            The same with two underscores for each dot: ``leakage__flow=3000``. Numbers are in the unit that
            house files use, or text with its unit: ``"1,400 L/s"``.

        Returns
        -------
        Lab or Several

        Raises
        ------
        InputError
            When a path leads nowhere, with the nearest names, or a value is impossible.

        Examples
        --------
        >>> import retrofit_lab as rl
        >>> s = rl.open("alder_street")
        >>> float(s.with_(leakage__flow="1,400 L/s").house.leakage.flow) > 2900
        True
        >>> s.with_(leakage__flow=[3000, 1500]).energy().table().columns[0]
        'leakage.flow [cfm]'
        >>> s.with_(leakage__flw=3000)
        Traceback (most recent call last):
        retrofit_lab.house.paths.PathError: there is no 'flw' in leakage; nearest are 'flow', ...
        """
        wanted = {**(changes or {}), **{k.replace("__", "."): v for k, v in more.items()}}
        units = {path: unit_at(self.house, path) for path in wanted}
        return one_or_several(wanted, units, self._changed)

    def _changed(self, changes: Mapping[str, Any]) -> "Lab":
        house, study = self.house, self.study
        read = {path: _read(house, path, value) for path, value in changes.items()}
        if "leakage.flow" in read:
            read["leakage.readings"] = ()
        changed = replace(with_numbers(house, read), assumed=house.assumed - set(read), bills="")
        check_house(changed)
        climate = None if "site.climate" in read else study.climate
        return Lab(Study(changed, climate, study.case.measures, terms=study.terms))

    def sweep(self, path: str, values: Iterable[Any], keys: Iterable[str] | None = None) -> Any:
        """Energy of the house for several values of one number, or what a plan does for each.

        Parameters
        ----------
        path : str
            The number, such as ``"surfaces.attic_floor.r_label"``.
        values : iterable of float or str
            Its values; see `with_`.
        keys : iterable of str, optional
            Measures of the plan.

        Returns
        -------
        Several
            One row each in its table, a line in its plot.

        Examples
        --------
        >>> import retrofit_lab as rl
        >>> rows = rl.open("alder_street").sweep("surfaces.attic_floor.r_label", [11, 19, 30, 49]).table()
        >>> bool(rows["bills [$/year]"].is_monotonic_decreasing)
        True
        """
        houses = self.with_({path: list(values)})
        return houses.energy() if keys is None else houses.plan(tuple(keys))

    def ranges(self, keys: Iterable[str], most: int = 6) -> RangesAnswer:
        """How sure the saving of a plan is, and what to measure to be surer.

        Parameters
        ----------
        keys : iterable of str
            Measures of the plan.
        most : int
            How many things to measure to name.

        Examples
        --------
        >>> import retrofit_lab as rl
        >>> sure = rl.open("alder_street").ranges(["attic_air_sealing"])
        >>> bool(sure.saving.low < np.median(sure.savings) < sure.saving.high)
        True
        """
        advice, ticked = self.advice, self.study.plan(keys).ticked
        outcome = advice.outcome(ticked)
        to_measure = what_to_measure(self.study.house, advice.draws, outcome.savings, most)
        return RangesAnswer(
            house=self.house.name, keys=ticked, outcome=outcome, to_measure=to_measure
        )

    def bills(self) -> BillsAnswer:
        """The house beside its bills: what they say, and which of its numbers moved until both agree.

        Raises
        ------
        InputError
            When the house was opened without bills.

        Examples
        --------
        >>> import retrofit_lab as rl
        >>> fitted = rl.open("wren_cottage", bills="wren_cottage").bills()
        >>> [one.fuel for one in fitted.compared]
        ['electricity', 'natural_gas']
        """
        billed = self.study.case.billed
        if billed is None:
            raise InputError(told("study.no_bills", house=self.house.name))
        return BillsAnswer(house=self.house.name, billed=billed)

    def explain(self, topic: str) -> Explanation:
        """Formula, inputs with source, and result of one mechanism or of one number; see `Study.explain`."""
        return self.study.explain(topic)


def unit_at(house: House, path: str) -> str:
    """Unit of the number at a path, as people read it; nothing for a word or a number without one."""
    return spelled(parameter_at(house, path).unit) if _is_number(house, path) else ""


def _is_number(house: House, path: str) -> bool:
    number_at(house, path)
    parent, _, name = path.rpartition(".")
    owner = number_at(house, parent) if parent else house
    return name in number_fields(type(owner))


def _read(house: House, path: str, value: Any) -> Any:
    if not _is_number(house, path):
        return value
    return (
        read_typed(value, parameter_at(house, path).unit)
        if isinstance(value, str)
        else float(value)
    )


def open_lab(
    house: str | Path,
    *,
    climate: str | MonthlyClimate = "",
    bills: str | BillFiles = "",
    prices: str = "",
) -> Lab:
    """Open a house: an example that ships with the package, or a house file.

    Parameters
    ----------
    house : str or Path
        Name of an example (see `examples`) or a file.
    climate : str or MonthlyClimate
        A ZIP code, a station or a weather file, in place of what the house names.
    bills : str or BillFiles
        Files with bills, in place of what the house names; or the name of an example that ships with some.
    prices : str
        File with own prices and terms.

    Raises
    ------
    InputError
        When there is no such house, with the nearest names, or one of the files cannot be used.

    Examples
    --------
    >>> import retrofit_lab as rl
    >>> rl.open("alder_street").house.name
    'Alder Street'
    >>> rl.open("alder_stret")
    Traceback (most recent call last):
    retrofit_lab.base.values.InputError: there is no house 'alder_stret'; nearest are 'alder_street', ...
    """
    shipped = data_path("houses", f"{house}.toml")
    named = str(house) in examples()
    if not named and not Path(house).suffix:
        known = known_names(str(house), examples())
        raise InputError(told("study.no_house", house=house, known=known))
    own = data_path("bills", f"{bills}.csv") if isinstance(bills, str) and bills else None
    read = str(own) if own and own.is_file() else bills
    return Lab(open_study(shipped if named else house, climate=climate, bills=read, prices=prices))


def start(**answers: Any) -> Any:
    """Start a house from a few answers; the rest is what such houses usually are.

    Parameters
    ----------
    **answers
        By the keys of the questions before a walk: ``climate`` (ZIP code or place), ``year_built``, ``stories``,
        ``foundation``, ``roof``, ``heating``, ``cooling``, ``hot_water``, ``bedrooms``, ``occupants``,
        ``length`` and ``width`` of the footprint [ft], or ``floor_area`` [ft2] in place of both. What is not
        given has the answer that is in the question. A list of values gives a house for each.

    Returns
    -------
    Lab or Several

    Raises
    ------
    InputError
        When an answer has no question, with the nearest names, or cannot be.

    Examples
    --------
    >>> import retrofit_lab as rl
    >>> s = rl.start(year_built=1952, floor_area=1400, stories=1, foundation="crawl space",
    ...              heating="gas furnace", climate="55401")
    >>> round(float(s.house.size.floor_area))
    1400
    >>> old, new = rl.start(year_built=[1930, 2015], floor_area=1400, climate="55401").energy()
    >>> old.cost > new.cost
    True
    >>> rl.start(year=1952)
    Traceback (most recent call last):
    retrofit_lab.base.values.InputError: there is no question 'year'; nearest is 'year_built'
    """
    known = [*(row["key"] for row in questions()), "floor_area"]
    for name in answers:
        if name not in known:
            raise InputError(told("study.no_question", name=name, known=known_names(name, known)))
    units = {row["key"]: str(row.get("unit", "")) for row in questions()} | {"floor_area": "ft2"}
    return one_or_several(answers, units, _started)


def _started(answers: Mapping[str, Any]) -> Lab:
    given = {**default_answers(), "name": "House", **_footprint(answers)}
    return Lab(Study(starting_house(first_answers({k: str(v) for k, v in given.items()}))))


def _footprint(answers: Mapping[str, Any]) -> dict[str, Any]:
    """Answers with length and width in place of a floor area, where that is given."""
    given = dict(answers)
    if "floor_area" not in given:
        return given
    area = read_typed(str(given.pop("floor_area")), "ft2")
    floors = float(given.get("stories", 1))
    floors += HALF_STORY_FLOOR * (given.get("roof") == "rooms with knee walls")
    floors += given.get("foundation") == "basement, heated"
    width = sqrt(area / floors / LONG_BY_WIDE)
    return {"length": LONG_BY_WIDE * width, "width": width, **given}


def examples() -> tuple[str, ...]:
    """Names of the houses that ship with the package.

    Examples
    --------
    >>> import retrofit_lab as rl
    >>> "alder_street" in rl.examples()
    True
    """
    return tuple(sorted(path.stem for path in data_path("houses").glob("*.toml")))
