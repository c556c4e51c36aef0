"""Everything that a report says, as frozen records without words: from a study and a chosen set of measures."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from retrofit_lab.base.parameters import Parameter
from retrofit_lab.base.values import FloatArray
from retrofit_lab.house.description import FuelHeater, House, WaterHeater
from retrofit_lab.house.intake import Job
from retrofit_lab.house.limits import Beyond, beyond_limits, words_in_order
from retrofit_lab.house.measured import Measured
from retrofit_lab.house.oddity import Oddity
from retrofit_lab.house.paths import number_at, numbers, parameter_at
from retrofit_lab.house.section import Section, section_of
from retrofit_lab.measures.fitted_measures import with_offers
from retrofit_lab.measures.look_for import findings_with
from retrofit_lab.model.air import reading_at_50, site_shares_left
from retrofit_lab.model.electricity import ELECTRICITY
from retrofit_lab.model.envelope import ground_covered, surface_u, underground_conductance
from retrofit_lab.model.sizing import Sizing
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.proposals.contractors import DUCT_TEST, Target, targets
from retrofit_lab.proposals.recommend import (
    Considered,
    Order,
    Step,
    for_the_weekend,
    not_recommended,
    order_of,
)
from retrofit_lab.proposals.stated import stated_house
from retrofit_lab.proposals.steps import Proposal, judged_by_difference, proposal
from retrofit_lab.safety.cautions import Caution, cautions
from retrofit_lab.safety.hazards import releasing_words
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import Overlap, PlanResult
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.learning import Learned

MAIN_NUMBERS = (
    "site.year_built",
    "size.floor_area",
    "size.volume",
    "size.bedrooms",
    "size.occupants",
    "leakage.flow",
    "leakage.pressure",
    "ducts.supply_leakage",
    "ducts.return_leakage",
)
"""Numbers of a house that every report shows, measured or not."""
MOST_OVERLAPS = 4
LEAST_TOLD = 1.0
"""Overlap below which a pair is not worth a sentence. [dollars/year]"""

TOLD_APART = ("measured.", "job.")
"""Numbers of a house that are not listed with those that the model runs on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Maker:
    """Who hands the report over, when, and what they earn from the work; empty where no one said."""

    made_on: date
    by: str = ""
    interest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One observation of the walk: the cautions that it raises, or the measures that it calls for.

    What can hurt someone never calls for work here: someone has to look at it first. ``remedy`` marks a
    test passed or a remedy done, which calls for nothing.
    """

    key: str
    cautions: tuple[Caution, ...] = ()
    measures: tuple[str, ...] = ()
    remedy: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class UseRow:
    """One end use of one fuel before and after the work: [unit/year], [dollars/year], share of the bill. [1]"""

    fuel: str
    use: str
    before: float
    after: float
    cost_before: float
    cost_after: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberRow:
    """One number of the house: whose it is, what, how much, and whether it is a default."""

    owners: tuple[str, ...]
    rule: Parameter
    value: float
    assumed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceRow:
    """Price of one fuel [dollars/unit] and fixed charge [dollars/month], with date, source and whose price it is.

    ``carbon`` is what a unit gives off [kg/unit], ``carbon_given`` whether someone told it.
    """

    fuel: str
    price: float
    fixed: float
    as_of: str
    source: str
    origin: str
    carbon: float
    carbon_given: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ShellRow:
    """One part of the shell: area [ft2], R-value of its insulation, None for windows, and as it stands. [R]"""

    label: str
    area: float
    r_label: float | None
    r_effective: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tested:
    """What there is to test in a house: the reading as taken [cfm, Pa], ducts outside the rooms, and labels.

    ``duct_target`` is what the plan wants of the ducts, if anything.
    """

    reading: tuple[float, float]
    ducts: bool
    duct_target: Target | None
    burners: tuple[str, ...]
    fans: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """One reading of the walk: where, what by its declaration, how much, and the limit that it is beyond, if any."""

    place: str
    path: str
    rule: Parameter
    value: float
    beyond: Beyond | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportContent:
    """All that one report says about one house and one chosen set of measures.

    ``leakage`` holds the flow at 50 Pa [cfm] and ``sizing`` the design loads before and after the work.
    ``unusual`` is what does not fit together in the house. ``ways_out`` are the parts through which
    heat leaves in winter with their shares, the largest first. [1]
    """

    name: str
    note: str
    job: Job
    maker: Maker
    climate: str
    terms: MoneyTerms
    observations: tuple[Seen, ...]
    numbers: tuple[NumberRow, ...]
    shell: tuple[ShellRow, ...]
    section: Section
    ways_out: tuple[tuple[str, float], ...]
    uses: tuple[UseRow, ...]
    result: PlanResult
    proposal: Proposal
    order: Order
    overlaps: tuple[Overlap, ...]
    considered: tuple[Considered, ...]
    weekend: tuple[Step, ...]
    leakage: tuple[float, float]
    tested: Tested
    measured: Measured
    readings: tuple[ReadingRow, ...]
    sizing: tuple[Sizing, Sizing]
    prices: tuple[PriceRow, ...]
    given: tuple[NumberRow, ...]
    assumed: tuple[NumberRow, ...]
    unusual: tuple[Oddity, ...]
    learned: Learned

    @property
    def left_out(self) -> tuple[Considered, ...]:
        """What was considered and is not recommended beside the plan either."""
        beside = {step.key for step in self.proposal.beside}
        return tuple(item for item in self.considered if item.offer.key not in beside)


def report_content(study: Study, chosen: Sequence[str], maker: Maker) -> ReportContent:
    """What a report says.

    Parameters
    ----------
    study : Study
        House, weather, prices and measures.
    chosen : sequence of str
        Keys of the measures that are recommended.
    maker : Maker
        Who hands it over and when.

    Raises
    ------
    MeasureError
        When two of the measures cannot go together.
    InputError
        When one of them is unknown.
    """
    house, advice = stated_house(study), Advice(study)
    proposed = judged_by_difference(study, proposal(advice, chosen))
    result = proposed.result
    order = order_of(advice, result.ticked, proposed.span)
    told = [pair for pair in result.overlaps if abs(pair.lost) >= LEAST_TOLD]
    return ReportContent(
        name=house.name,
        note=house.note,
        job=house.job,
        maker=maker,
        climate=study.climate.name,
        terms=study.terms,
        observations=tuple(seen(study, key) for key in words_in_order(house)),
        numbers=main_numbers(study),
        shell=tuple(shell_rows(house)),
        section=section_of(study.as_found),
        ways_out=ways_out(study),
        uses=end_uses(study, result),
        result=result,
        proposal=proposed,
        order=order,
        overlaps=tuple(told[:MOST_OVERLAPS]),
        considered=not_recommended(study, result),
        weekend=for_the_weekend(order.steps),
        leakage=leakage_at_50(study, result.ticked),
        tested=tested_in(study, result.ticked),
        measured=house.measured,
        readings=tuple(readings_of(house)),
        sizing=(study.sizing(), study.sizing(result.ticked)),
        prices=fuel_prices(study),
        given=given_numbers(study),
        assumed=assumed_numbers(study),
        unusual=study.case.oddities,
        learned=study.case.learned,
    )


def readings_of(house: House) -> Iterator[ReadingRow]:
    """Every reading of the walk beside the blower door, in the order of the file."""
    beyond = {found.path: found for found in beyond_limits(house)}
    for path, value in numbers(house.measured, "measured."):
        owner = number_at(house, path.rpartition(".")[0])
        yield ReadingRow(
            place=str(getattr(owner, "label", "")),
            path=path,
            rule=parameter_at(house, path),
            value=float(value),
            beyond=beyond.get(path),
        )


def shell_rows(house: House) -> Iterator[ShellRow]:
    """Surfaces, windows and parts in the ground with the R-value that each has, every way through it counted."""
    for surface in house.surfaces:
        yield ShellRow(
            label=surface.label,
            area=float(surface.area),
            r_label=float(surface.r_label),
            r_effective=1.0 / float(surface_u(surface)),
        )
    for window in house.windows:
        yield ShellRow(
            label=window.label,
            area=float(window.area),
            r_label=None,
            r_effective=1.0 / float(window.u_value),
        )
    covered = ground_covered(house)
    for part in house.underground:
        across = {"wall": part.depth, "slab": covered / max(float(part.length), 1.0)}
        area = float(part.length * across.get(part.kind, part.width))
        passed = float(underground_conductance(part, covered))
        if area > 0.0 and passed > 0.0:
            r_label, r_effective = float(part.r_value), area / passed
            yield ShellRow(label=part.label, area=area, r_label=r_label, r_effective=r_effective)


def seen(study: Study, observation: str) -> Seen:
    """An observation with its cautions or, where it has none, the measures of this house for it."""
    raised = tuple(c for c in cautions().values() if observation in c.observations)
    if raised:
        return Seen(key=observation, cautions=raised)
    if observation in releasing_words():
        return Seen(key=observation, remedy=True)
    called = {key for finding in findings_with(observation) for key in finding.measures}
    return Seen(key=observation, measures=tuple(key for key in study.keys if key in called))


def ways_out(study: Study) -> tuple[tuple[str, float], ...]:
    """Parts of the house through which heat leaves in winter, with their shares, the largest first. [1]"""
    losses = study.energies.season_losses(())
    shares = losses.of_hundred(losses.total)
    found = [(part, float(share) / 100.0) for part, share in shares.items()]
    return tuple(sorted(((p, s) for p, s in found if s > 0.0), key=lambda pair: -pair[1]))


def end_uses(study: Study, result: PlanResult) -> tuple[UseRow, ...]:
    """End uses that the house has, the most expensive first."""
    masks = np.array([study.mask(()), study.mask(result.ticked)])
    costs = study.money.cost_of_uses(study.energy(masks))
    rows = [
        _use_row(result, use, costs[:, place], costs[0].sum())
        for place, use in enumerate(study.uses)
        if costs[:, place].any()
    ]
    return tuple(sorted(rows, key=lambda row: -row.cost_before))


def _use_row(result: PlanResult, use: tuple[str, str], costs: FloatArray, total: float) -> UseRow:
    return UseRow(
        fuel=use[0],
        use=use[1],
        before=result.before.energy[use],
        after=result.after.energy[use],
        cost_before=float(costs[0]),
        cost_after=float(costs[1]),
        share=float(costs[0] / total) if total > 0 else 0.0,
    )


def main_numbers(study: Study) -> tuple[NumberRow, ...]:
    """The numbers that every report shows, and the setting of every tank."""
    house = stated_house(study)
    tanks = [f"water_heaters.{tank.key}.setpoint" for tank in house.water_heaters]
    settings = [f"zones.{zone.key}.heating_setpoint" for zone in house.zones]
    return tuple(_number(study, path) for path in (*MAIN_NUMBERS, *settings, *tanks))


def _number(study: Study, path: str) -> NumberRow:
    house = stated_house(study)
    owner = getattr(number_at(house, path.rpartition(".")[0]), "label", "")
    return NumberRow(
        owners=(owner,) if owner else (),
        rule=parameter_at(house, path),
        value=float(number_at(house, path)),
        assumed=path in house.assumed,
    )


def assumed_numbers(study: Study) -> tuple[NumberRow, ...]:
    """Numbers that no one gave, equal ones together, in the order of their declaration."""
    return _together(study, sorted(stated_house(study).assumed))


def given_numbers(study: Study) -> tuple[NumberRow, ...]:
    """Numbers that someone gave or measured, equal ones together, in the order of their declaration.

    Readings of the walk have a table of their own. What the owner can spend is no business of who reads a report.
    """
    house = stated_house(study)
    given = (path for path, _ in numbers(house) if path not in house.assumed)
    return _together(study, [path for path in given if not path.startswith(TOLD_APART)])


def _together(study: Study, paths: Iterable[str]) -> tuple[NumberRow, ...]:
    """Numbers at some paths, equal ones as one with all that they belong to."""
    together: dict[tuple[str, float], list[NumberRow]] = {}
    for path in paths:
        row = _number(study, path)
        together.setdefault((row.rule.name, row.value), []).append(row)
    return tuple(
        NumberRow(
            owners=tuple(dict.fromkeys(owner for row in rows for owner in row.owners)),
            rule=rows[0].rule,
            value=rows[0].value,
            assumed=rows[0].assumed,
        )
        for _, rows in sorted(together.items())
    )


def leakage_at_50(study: Study, chosen: Sequence[str]) -> tuple[float, float]:
    """Blower-door flow at 50 Pa as found and to be expected after the chosen sealing. [cfm]"""
    after = with_offers(study.house, study.offers, study.mask(chosen).tolist())
    left = sum(site_shares_left(after).values()) / sum(site_shares_left(study.house).values())
    reading = float(reading_at_50(stated_house(study)))
    return reading, reading * float(left)


def tested_in(study: Study, chosen: Sequence[str]) -> Tested:
    """What there is to test before and after some work."""
    house = stated_house(study)
    pages = (targets(study.house, study.offer(key)) for key in chosen)
    duct = (target for page in pages for target in page if target.kind == DUCT_TEST)
    tanks = (tank for tank in house.water_heaters if tank.fuel != ELECTRICITY)
    burning: tuple[FuelHeater | WaterHeater, ...] = (*house.fuel_heaters, *tanks)
    return Tested(
        reading=(float(house.leakage.flow), float(house.leakage.pressure)),
        ducts=float(house.ducts.supply_area) > 0.0,
        duct_target=next(duct, None),
        burners=tuple(item.label for item in burning if float(item.share) > 0.0),
        fans=tuple(fan.label for fan in house.fans if float(fan.flow) > 0.0),
    )


def fuel_prices(study: Study) -> tuple[PriceRow, ...]:
    """Price of every fuel that the house uses or would use."""
    return tuple(
        PriceRow(
            fuel=row.fuel,
            price=row.tariff.price,
            fixed=row.tariff.fixed,
            as_of=row.tariff.as_of,
            source=row.tariff.source,
            origin=row.origin,
            carbon=row.carbon,
            carbon_given=row.co2 is not None,
        )
        for row in study.money.fuel_prices
    )
