"""What a study answers with: frozen records of energy, money and cautions; nothing is worked out here."""

from collections.abc import Mapping
from dataclasses import dataclass

from retrofit_lab.safety.cautions import Raised
from retrofit_lab.safety.hazards import STOPS, Hazard


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """A low, a likely and a high value."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class YearResult:
    """One year of the house: energy in each fuel's unit by fuel and end use, cost [dollars], CO2 [kg].

    ``cost`` includes ``fixed``, the fixed charges of the fuels that are used; ``cost_by_use`` does not.
    [dollars] ``outdoor_air`` is counted as the ventilation standard counts it. [cfm]
    """

    energy: Mapping[tuple[str, str], float]
    cost_by_use: Mapping[str, float]
    cost: float
    fixed: float
    co2: float
    outdoor_air: float

    def fuel_total(self, fuel: str) -> float:
        """Energy of one fuel. [unit of the fuel]"""
        return sum(amount for (name, _), amount in self.energy.items() if name == fuel)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureResult:
    """What one measure saves a year, as seen from the ticked plan. [dollars/year]

    ``alone`` is by itself; ``now`` is added to the ticked ones, or, when it is ticked, what would be
    lost without it; ``cost`` and what follows from it are in the same place, after rebates; ``share`` is
    its fair share of the plan, zero when it is not ticked. ``blocked_by``
    names ticked measures that it cannot go with; ``held_by`` the hazards that it waits for: it may be
    planned, and is not started before what they name is recorded.
    """

    key: str
    ticked: bool
    alone: float
    now: float
    share: float
    cost: Range
    payback: float
    sir: float | None
    net_savings: float
    blocked_by: tuple[str, ...]
    held_by: tuple[Hazard, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """Two ticked measures: what is lost (or won, negative) when both are done. [dollars/year]"""

    first: str
    second: str
    lost: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FreshAir:
    """A fan that a plan calls for because it gets less outdoor air than the standard asks for.

    ``flow`` is what is missing [cfm]; the fan runs all day at it and costs ``yearly`` [dollars/year].
    """

    measure: str
    flow: float
    why: str
    cost: Range
    yearly: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanResult:
    """Everything about one set of measures; money a year in [dollars/year], paybacks in [year].

    ``life_cycle_cost_before`` and ``life_cycle_cost`` are the present worth of the energy bills of the study
    period, without the work, and with the work and its cost; net savings are their difference. ``carbon_worth``
    is the present worth of the CO2 kept from the air at the carbon price of the terms; it is in no other
    number. [dollars] ``sir`` and ``adjusted_internal_rate`` are None, not calculable, where the work costs nothing.
    ``cost`` is what is paid at first, after rebates. ``payback`` is without interest;
    ``discounted_payback`` is interpolated inside the year, ``discounted_payback_whole_years`` the first
    year at whose end it is paid back. ``adjusted_internal_rate`` is the yearly return. [1/year]
    ``hazards`` are those of the house, the gravest first.
    """

    ticked: tuple[str, ...]
    before: YearResult
    after: YearResult
    saved: float
    sum_alone: float
    lost_to_overlap: float
    cost: Range
    payback: float
    discounted_payback: float
    discounted_payback_whole_years: float
    sir: float | None
    adjusted_internal_rate: float | None
    net_savings: float
    life_cycle_cost_before: float
    life_cycle_cost: float
    carbon_worth: float
    measures: Mapping[str, MeasureResult]
    overlaps: tuple[Overlap, ...]
    cautions: tuple[Raised, ...]
    hazards: tuple[Hazard, ...]
    minimum_air: float
    fresh_air: FreshAir | None
    share_error: float
    period_years: int

    @property
    def stops(self) -> tuple[Hazard, ...]:
        """Hazards that stop all work in the house."""
        return tuple(hazard for hazard in self.hazards if hazard.does == STOPS)

    @property
    def held(self) -> tuple[str, ...]:
        """Ticked measures that wait for a hazard to be settled."""
        return tuple(key for key in self.ticked if self.measures[key].held_by)
