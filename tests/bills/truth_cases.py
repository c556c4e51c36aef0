"""Made houses whose truth is known, with bills of real trouble: does the range of a saving hold, is every trouble told?

Run as a command: ``python tests/bills/truth_cases.py 400``. The truth is the product's own model of the year
in actual weather, so that only reading the bills back is on trial, not the physics.
"""

import sys
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache

import numpy as np

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.bills.fitting.house_fit import HouseFit, fit_house, numbers_at
from retrofit_lab.bills.fitting.model_months import fuel_months
from retrofit_lab.bills.fitting.other_load import KEY
from retrofit_lab.bills.fitting.period_weather import ActualDays, bill_weather
from retrofit_lab.bills.reading.record import Bill, BillSet
from retrofit_lab.climate.locating import find_climate, find_weather
from retrofit_lab.climate.monthly import monthly_climate
from retrofit_lab.house.description import Appliance
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import number_at, with_numbers
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.fitted_measures import offers_for, with_offers
from retrofit_lab.model.year import year_energy
from retrofit_lab.uncertainty.sampling import EIGHTY_PERCENT, WEATHER, spreads

HOUSES = ("wren_cottage", "alder_street")
KINDS = ("clean", "unlisted", "vacation", "equipment", "estimated")
FIRST = 2022
YEAR_OFF, MONTH_OFF, DAY_OFF = 1.5, 2.5, 5.0
"""Spread of a year's, a month's and a day's temperature around the usual. [F] common practice, no source"""
NOISE = 0.04
"""Spread of a month's use that neither house nor weather explains. [1] judgment"""
DRAWS = 256
FOUND = 0.5
"""How near to the truth a number is found, in half of its 80 % range. [1] judgment"""
NO_WARNINGS = ("agree", "capped", "earlier_more", "earlier_less")
TROUBLES = {
    "unlisted": {"other_load", "other_load_maybe", "forced_high"},
    "vacation": {"odd_less", "forced_low"},
    "equipment": {
        "change_after_down",
        "change_too_late_down",
        "change_maybe_down",
        "earlier_more",
        "forced_high",
    },
}
"""Verdicts that lead to each kind of trouble; bills without trouble, and estimates said to be so, need none."""
PACKAGE = (
    "attic_insulation",
    "duct_mastic",
    "wall_fill",
    "led_lamps",
    "band_joist_foam",
    "attic_air_sealing",
)


@dataclass(frozen=True)
class Case:
    """One made house: what is wrong, what is true of the saving, what the fit says of it. [dollars/year]"""

    kind: str
    seed: int
    name: str
    measured_days: bool
    true_saving: float
    low: float
    middle: float
    high: float
    fit: HouseFit
    places: tuple[tuple[float, float], ...] = ()
    """Of each number that the fit moved where it put it and where it truly is, in half ranges from what was stated."""

    @property
    def holds(self) -> bool:
        return self.low <= self.true_saving <= self.high

    @property
    def told(self) -> set[str]:
        return {verdict.key for verdict in self.fit.verdicts}

    @property
    def warned(self) -> bool:
        """Whether trouble is claimed; that more was used in earlier years is true, whatever the reason."""
        return any(key not in NO_WARNINGS for key in self.told)


@cache
def setting(name: str):
    house = load_house(data_path("houses", f"{name}.toml"))
    weather = find_weather(house.site.climate)
    ranges = tuple(s for s in spreads(house) if s.path != WEATHER)
    return house, weather, find_climate(house.site.climate), ranges


def true_house(name: str, rng: np.random.Generator):
    """The house with every cause drawn from its stated range."""
    house, _, _, ranges = setting(name)
    causes = tuple(dict.fromkeys(item.cause for item in ranges))
    places = rng.normal(0.0, 1.0 / EIGHTY_PERCENT, (1, len(causes))).clip(-2.0, 2.0)
    numbers = numbers_at(house, ranges, causes, places)
    return with_numbers(house, {path: float(v[0, 0]) for path, v in numbers.items()})


def actual_years(name: str, count: int, rng: np.random.Generator):
    """Weather of some years: the typical one with wandering differences."""
    _, weather, _, _ = setting(name)
    years = []
    for _ in range(count):
        off = rng.normal(0.0, YEAR_OFF) + rng.normal(0.0, MONTH_OFF, 12)[weather.month.astype(int)]
        days = np.convolve(rng.normal(0.0, DAY_OFF, weather.days + 3), np.ones(4) / 4.0, "valid")
        years.append(replace(weather, temperature=weather.temperature + off + days[: weather.days]))
    return years


def month_starts(years: int) -> list[date]:
    return [date(FIRST + n // 12, n % 12 + 1, 1) for n in range(12 * years + 1)]


def made_bills(houses, weathers, rng: np.random.Generator, extra) -> BillSet:
    """Bills by month of a house in each year; ``extra`` changes months of use by fuel. [unit]"""
    starts = month_starts(len(weathers))
    bills = []
    runs = [year_energy(h, monthly_climate(w)) for h, w in zip(houses, weathers, strict=True)]
    names = sorted({fuel for year in runs for fuel, _ in year.monthly})
    for fuel in names:
        use = np.concatenate([fuel_months(year, fuel, 1)[0] for year in runs])
        if use.sum() <= 0:
            continue
        use = extra(fuel, use) * (1.0 + NOISE * rng.standard_normal(len(use)))
        for n, amount in enumerate(use):
            bills.append(
                Bill(
                    fuel=fuel, start=starts[n], end=starts[n + 1], quantity=float(amount), row=n + 1
                )
            )
    return BillSet(name="made", bills=tuple(bills))


def with_equipment(house):
    """The house before its equipment was exchanged: all that heats and cools was worse."""
    old = {}
    for group, path, factor in (
        ("fuel_heaters", "efficiency", 0.78), ("heat_pumps", "hspf", 0.7), ("air_conditioners", "seer", 0.65),
    ):  # fmt: skip
        for item in getattr(house, group, ()):
            for name in (path, f"{path}2"):
                label = getattr(item, name, None)
                if label is not None:
                    old[f"{group}.{item.key}.{name}"] = float(label) * factor
    return with_numbers(house, old)


def bills_of(
    kind: str, truth, weathers, rng: np.random.Generator, noise: np.random.Generator
) -> BillSet:
    """Bills with one kind of trouble."""
    houses = [truth] * len(weathers)
    extra = lambda fuel, use: use  # noqa: E731
    if kind == "unlisted":
        load = rng.uniform(8.0, 14.0) * 365.0
        car = Appliance(key="unlisted", label="car", kind="car", use=load, inside=0.0)
        houses = [replace(truth, appliances=(*truth.appliances, car))] * len(weathers)
    if kind == "vacation":
        month = int(rng.integers(0, 12 * len(weathers)))
        left = rng.uniform(0.25, 0.45)

        def extra(fuel, use):
            changed = use.copy()
            changed[month] *= left
            return changed

    if kind == "equipment":
        houses[: len(weathers) - 1] = [with_equipment(truth)] * (len(weathers) - 1)
    bills = made_bills(houses, weathers, noise, extra)
    return _estimated(bills, rng) if kind == "estimated" else bills


def _estimated(bills: BillSet, rng: np.random.Generator) -> BillSet:
    """Two readings of each fuel guessed wrong and said to be so; the next reading makes up for it."""
    made = {(b.fuel, b.row): b for b in bills.bills}
    for fuel in bills.fuels:
        count = sum(b.fuel == fuel for b in bills.bills)
        for row in rng.choice(np.arange(1, count, 3), 2, replace=False):
            one, after = made[fuel, row], made[fuel, row + 1]
            wrong = one.quantity * rng.uniform(-0.4, 0.4)
            made[fuel, row] = replace(one, quantity=one.quantity + wrong, estimated=True)
            made[fuel, row + 1] = replace(after, quantity=after.quantity - wrong)
    return replace(bills, bills=tuple(made.values()))


def saving(house, offers, climate, scale=None, numbers=None) -> np.ndarray:
    """Yearly dollars that the package saves, at demo prices."""
    base = with_numbers(house, numbers) if numbers else house
    mask = [offer.key in PACKAGE for offer in offers]
    costs = []
    for chosen in ([False] * len(mask), mask):
        year = year_energy(with_offers(base, offers, chosen), climate)
        costs.append(
            sum(
                np.asarray(year.annual(fuel, use)) * fuels()[fuel].demo_price / fuels()[fuel].heat_content
                * (scale(fuel, use) if scale else 1.0)
                for fuel, use in year.monthly
            )
        )  # fmt: skip
    return np.atleast_1d(costs[0] - costs[1])


def made_case(kind: str, seed: int, *, spared: bool = False) -> Case:
    """One case from a seed, or the same house in the same years with bills that were ``spared`` the trouble."""
    rng, noise = (np.random.default_rng([KINDS.index(kind), seed, part]) for part in range(2))
    name = HOUSES[seed % len(HOUSES)]
    house, weather, climate, ranges = setting(name)
    years = 3 if kind == "equipment" else 1 + int(rng.integers(0, 2))
    truth = true_house(name, rng)
    weathers = actual_years(name, years, rng)
    bills = bills_of("clean" if spared else kind, truth, weathers, rng, noise)
    measured = bool(seed // len(HOUSES) % 2)
    days = np.concatenate([_leap(w.temperature, FIRST + n) for n, w in enumerate(weathers)])
    actual = (
        ActualDays(name="made", first=date(FIRST, 1, 1), temperature=days) if measured else None
    )
    bills = replace(bills, problems=_problems(bills))
    fit = fit_house(house, climate, bills, bill_weather(weather, actual), ranges)
    return _judged(kind, seed, name, truth, fit, measured)


def _problems(bills: BillSet):
    from retrofit_lab.bills.reading.checking import find_problems

    return find_problems(bills.bills)


def _leap(temperature: np.ndarray, year: int) -> np.ndarray:
    """Days of a calendar year; the model knows no 29 February."""
    if len(temperature) == 365 and (date(year + 1, 1, 1) - date(year, 1, 1)) == timedelta(days=366):
        return np.insert(temperature, 59, temperature[58])
    return temperature


def _judged(kind: str, seed: int, name: str, truth, fit: HouseFit, measured: bool) -> Case:
    _, _, climate, _ranges = setting(name)
    wanted = tuple(m for m in catalog())
    stood, offers = offers_for(fit.house, wanted, 1.0)
    true_stood, true_offers = offers_for(truth, wanted, 1.0)
    numbers = fit.drawn_numbers(DRAWS) or _prior(name)
    drawn = saving(stood, offers, climate, fit.saving_scale, numbers)
    middle = saving(stood, offers, climate, fit.saving_scale)
    low, high = np.quantile(drawn, [0.1, 0.9])
    true = saving(true_stood, true_offers, climate)
    return Case(
        kind=kind, seed=seed, name=name, measured_days=measured, true_saving=float(true[0]),
        low=float(low), middle=float(middle[0]), high=float(high), fit=fit, places=_places(truth, fit),
    )  # fmt: skip


def _places(truth, fit: HouseFit) -> tuple[tuple[float, float], ...]:
    numbers = [m for m in fit.moved if KEY not in m.path and m.after != m.before]
    steps = [(m.after - m.before) / m.half_ranges for m in numbers]
    return tuple(
        (m.half_ranges, (float(number_at(truth, m.path)) - m.before) / step)
        for m, step in zip(numbers, steps, strict=True)
    )


@cache
def _prior(name: str):
    house, _, _, ranges = setting(name)
    causes = tuple(dict.fromkeys(item.cause for item in ranges))
    places = np.random.default_rng(0).normal(0.0, 1.0 / EIGHTY_PERCENT, (DRAWS, len(causes)))
    return numbers_at(house, ranges, causes, places)


def is_told(case: Case) -> bool:
    """Whether the trouble of a case is said in any way that leads to it."""
    return bool(case.told & TROUBLES[case.kind]) if case.kind in TROUBLES else True


def pull(case: Case) -> float:
    """How far the fit moved a number of the house from what was stated, in half of its 80 % range; the farthest."""
    return max((abs(moved) for moved, _ in case.places), default=0.0)


def is_forced(case: Case) -> bool:
    """Whether the fit took a number of the house beyond its stated range to agree with the bills, where it is not.

    One true number in five lies beyond its 80 % range: to find it there is right.
    """
    return any(abs(moved) > 1.0 and abs(moved - true) > FOUND for moved, true in case.places)


def is_forced_in_silence(case: Case) -> bool:
    """Whether the fit was forced and neither the trouble of the case nor any other is told."""
    trouble = case.kind in TROUBLES and is_told(case)
    return is_forced(case) and not trouble and not case.warned


def misleads(case: Case) -> bool:
    """Whether the range misses what is true, and is farther from it than that of the same bills without the trouble."""
    if case.holds:
        return False
    spared = made_case(case.kind, case.seed, spared=True)
    true = case.true_saving
    return abs(case.middle - true) > abs(spared.middle - true)


def main(count: int) -> None:
    """Print how often the range holds and the trouble is told, by kind, and what became of cases not told."""
    every = {kind: [made_case(kind, seed) for seed in range(count // len(KINDS))] for kind in KINDS}
    for kind, cases in every.items():
        print(_line(kind, cases), flush=True)
    print(_untold([case for cases in every.values() for case in cases if not is_told(case)]))
    all_cases = [case for cases in every.values() for case in cases]
    print(
        f"all: range holds {np.mean([case.holds for case in all_cases]):.1%}, "
        f"forced and untold: {sum(map(is_forced_in_silence, all_cases))}"
    )


def _line(kind: str, cases: list[Case]) -> str:
    error = np.array([case.middle / case.true_saving - 1.0 for case in cases])
    keys = sorted({key for case in cases for key in case.told})
    shares = {
        "range holds": [case.holds for case in cases],
        "told": [is_told(case) for case in cases],
        "warned": [case.warned for case in cases],
        "forced": [is_forced(case) for case in cases],
        "forced and untold": [is_forced_in_silence(case) for case in cases],
        "fit used": [case.fit.used for case in cases],
        "headline inside its range": [case.low <= case.middle <= case.high for case in cases],
    }
    told = "  ".join(f"{name} {np.mean(found):.0%}" for name, found in shares.items())
    counts = " ".join(f"{key} {sum(key in c.told for c in cases)}" for key in keys)
    return (
        f"{kind:10s} n {len(cases)}  {told}  headline off {np.median(error):+.0%}, "
        f"spread {error.std():.0%}  {counts}"
    )


def _untold(cases: list[Case]) -> str:
    """Whether the cases of which nothing was told had to be: a fit by force, or a range that leads away."""
    forced, misled = sum(map(is_forced, cases)), sum(map(misleads, cases))
    farthest = max(map(pull, cases), default=0.0)
    return (
        f"not told {len(cases)}: forced {forced} (no number moved by more than {farthest:.2f} half ranges), "
        f"range holds {sum(c.holds for c in cases)}, led away from the truth {misled}"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 400)
