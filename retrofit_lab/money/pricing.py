"""Which price holds for each fuel of a house, with its date and source, and what its energy then costs."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.sums import MONTHS, over_last, over_year
from retrofit_lab.base.values import FloatArray
from retrofit_lab.house.description import House
from retrofit_lab.house.usual_prices import usual_price
from retrofit_lab.money.charges import LEAST_USE, Charges, Monthly
from retrofit_lab.money.tariffs import Tariff, hourly_price
from retrofit_lab.money.terms import MoneyTerms


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedFuel:
    """How one fuel is paid, with the date and source of its price.

    ``origin`` is ``"own"`` for a price file, ``"house"`` for the house, ``"demo"`` where no one gave one.
    ``co2`` is the carbon dioxide of a unit as someone gave it, None where the national figure counts. [kg/unit]
    """

    fuel: str
    tariff: Tariff
    origin: str
    co2: float | None = None

    @property
    def carbon(self) -> float:
        """Carbon dioxide of a unit. [kg/unit]"""
        return fuels()[self.fuel].co2 if self.co2 is None else self.co2


def priced_fuels(house: House, terms: MoneyTerms, wanted: Sequence[str]) -> tuple[PricedFuel, ...]:
    """Prices of some fuels: a user's own first, then those that the house was described with, then the demo's."""
    return tuple(
        replace(_priced(fuel, house, terms), co2=_carbon_given(fuel, house, terms))
        for fuel in wanted
    )


def _carbon_given(fuel: str, house: House, terms: MoneyTerms) -> float | None:
    """Carbon dioxide of a unit from a price file, else from the house. [kg/unit]"""
    told = next((price.co2 for price in house.prices if price.key == fuel), None)
    own = terms.fuel_prices[fuel].co2 if fuel in terms.fuel_prices else None
    if own is not None:
        return own
    return None if told is None else float(told)


def _priced(fuel: str, house: House, terms: MoneyTerms) -> PricedFuel:
    if fuel in terms.fuel_prices:
        return PricedFuel(fuel=fuel, tariff=terms.fuel_prices[fuel], origin="own")
    told = next((price for price in house.prices if price.key == fuel), None)
    fixed = float(told.fixed) if told else 0.0
    if told and f"prices.{fuel}.price" not in house.assumed:
        tariff = Tariff(price=float(told.price), fixed=fixed, as_of=told.as_of, source=told.source)
        return PricedFuel(fuel=fuel, tariff=tariff, origin="house")
    usual, demo = usual_price(fuel, house.site.climate), fuels()[fuel]
    price = float(told.price) if told else usual.price
    of_state = price == usual.price
    tariff = Tariff(
        price=price,
        fixed=fixed,
        as_of=usual.as_of if of_state else demo.price_as_of,
        source=usual.source if of_state else demo.price_source,
    )
    return PricedFuel(fuel=fuel, tariff=tariff, origin="demo")


def charges_for(
    uses: tuple[tuple[str, str], ...],
    priced: Sequence[PricedFuel],
    as_found: Callable[[], Monthly],
) -> Charges:
    """What energy costs at these prices.

    Parameters
    ----------
    uses : tuple of (fuel, end use)
        Sorted by fuel.
    priced : sequence of PricedFuel
        One for each fuel of the uses.
    as_found : callable
        Gives the energy of the house as found by month. A fuel that is paid by the month gets its mean price
        from it, for whoever shares a bill among end uses.
    """
    tariffs = {row.fuel: row.tariff for row in priced}
    charges = Charges(
        uses=uses,
        prices=np.array(
            [_hourly(tariffs[fuel], use) / fuels()[fuel].heat_content for fuel, use in uses]
        ),
        fixed={fuel: MONTHS * tariff.fixed for fuel, tariff in tariffs.items()},
        by_month={fuel: tariff for fuel, tariff in tariffs.items() if tariff.by_month},
    )
    return _with_means(charges, as_found()) if charges.by_month else charges


def _hourly(tariff: Tariff, use: str) -> float:
    return float(hourly_price(tariff, use).mean()) if tariff.time_of_use else tariff.price


def _with_means(charges: Charges, monthly: Monthly) -> Charges:
    """Charges with mean prices as found where they hang on months: of each use at hours, of the fuel elsewhere."""
    energy = np.array([float(over_year(monthly(pair))) for pair in charges.uses])
    due = dict(zip(charges.fuels, charges.of_energy(energy, monthly).tolist(), strict=True))
    prices = charges.prices.copy()
    for place, (fuel, use) in enumerate(charges.uses):
        if fuel in charges.by_month:
            mean = due[fuel] / max(_all_of(charges, energy, fuel), LEAST_USE)
            if charges.by_month[fuel].time_of_use:
                mean = _at_hours(charges.by_month[fuel], fuel, use, monthly)
            prices[place] = mean if mean > 0.0 else prices[place]
    return replace(charges, prices=prices)


def _at_hours(tariff: Tariff, fuel: str, use: str, monthly: Monthly) -> float:
    """Mean price of a use as found at a rate by the hours. [dollars/Btu]"""
    months = np.broadcast_to(np.asarray(monthly((fuel, use))), (MONTHS,))
    due = float(over_last(months * hourly_price(tariff, use))) / fuels()[fuel].heat_content
    return due / max(float(over_last(months)), LEAST_USE)


def _all_of(charges: Charges, energy: FloatArray, fuel: str) -> float:
    mine = np.array([name == fuel for name, _ in charges.uses])
    return float(over_last(energy[mine]))
