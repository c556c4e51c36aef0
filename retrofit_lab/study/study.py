"""The one call that everything outside makes: a house, its weather, prices and measures in, results out."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from retrofit_lab.base.values import BoolArray
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.measures.catalog import Measure, MeasureError
from retrofit_lab.measures.fitted_measures import Offer, with_offers
from retrofit_lab.model.sizing import Sizing, sizing_of
from retrofit_lab.model.year import year_energy
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.savings.plan_energies import PlanEnergies
from retrofit_lab.study.case import Case, make_case, on_terms
from retrofit_lab.study.energies import Energies
from retrofit_lab.study.explanation import Explanation, explain
from retrofit_lab.study.money import Money
from retrofit_lab.study.plan_work import PlanWork
from retrofit_lab.study.results import PlanResult
from retrofit_lab.uncertainty.learning import NOTHING, Learned

if TYPE_CHECKING:
    from retrofit_lab.bills.reading.record import BillFiles


class Study:
    """One house in its climate with the measures that apply to it.

    Parameters
    ----------
    house : House
        House as found.
    climate : MonthlyClimate, optional
        Weather; by default what the house names.
    measures : sequence of Measure, optional
        Measures to consider; by default the whole catalog.
    terms : MoneyTerms, optional
        Discount rate, period, price rises and rebates.
    folder : str
        Where the weather file and the bills of the house are looked for.
    bills : str or BillFiles
        Files with bills, in place of what the house names, and the weather of their days.
    learned : Learned
        What the rater's finished jobs say of what comes about of a saving.
    """

    def __init__(
        self,
        house: House,
        climate: MonthlyClimate | None = None,
        measures: Sequence[Measure] | None = None,
        *,
        terms: MoneyTerms | None = None,
        folder: str = ".",
        bills: "str | BillFiles" = "",
        learned: Learned = NOTHING,
    ) -> None:
        case = make_case(
            house, climate, measures, terms=terms, folder=folder, bills=bills, learned=learned
        )
        self._take(case)

    def _take(self, case: Case) -> None:
        self.case = case
        self.money = Money(case)
        self.energies = Energies(case, self.money)
        self.as_found, self.house, self.climate = case.as_found, case.house, case.climate
        self.terms, self.billed, self.offers, self.keys = (
            case.terms,
            case.billed,
            case.offers,
            case.keys,
        )

    def on_terms(self, terms: MoneyTerms) -> "Study":
        """The same study on other terms of money; see `retrofit_lab.study.case.on_terms`."""
        other = Study.__new__(Study)
        other._take(on_terms(self.case, terms))
        return other

    def offer(self, key: str) -> Offer:
        """Measure of a key as it fits this house; see `Case.offer`."""
        return self.case.offer(key)

    def mask(self, ticked: Iterable[str]) -> BoolArray:
        """A set of measures as a row, in catalog order whatever the order of ticking."""
        return self.case.mask(ticked)

    @property
    def uses(self) -> tuple[tuple[str, str], ...]:
        """Pairs of fuel and end use that results have."""
        return self.case.uses

    @property
    def fuels(self) -> tuple[str, ...]:
        """Fuels that the house uses or would use, in the order of charges."""
        return self.case.fuels

    def energy(self, masks: BoolArray) -> PlanEnergies:
        """Energy of many plans; see `Energies.of`."""
        return self.energies.of(masks)

    def plan(self, ticked: Iterable[str]) -> PlanResult:
        """Results of one set of measures.

        Raises
        ------
        MeasureError
            When two of them cannot go together.
        InputError
            When one of them is unknown.
        """
        chosen = set(ticked)
        mask = self.mask(chosen)
        problem = self.case.conflict(chosen)
        if problem:
            raise MeasureError(problem)
        return PlanWork(self.case, self.money, self.energies, mask).result()

    def sizing(self, ticked: Iterable[str] = ()) -> Sizing:
        """Design loads of the house with a set of measures done, and what its ground and water are like."""
        chosen = self.mask(ticked).tolist()
        done = with_offers(self.case.house, self.case.offers, chosen)
        return sizing_of(year_energy(done, self.case.climate))

    def explain(self, topic: str) -> Explanation:
        """Formula, inputs with source, and result of one mechanism or of one path of the house.

        Raises
        ------
        InputError
            When nothing has that name; says what has.
        """
        year = year_energy(self.as_found, self.climate)
        return explain(self.as_found, year, topic)
