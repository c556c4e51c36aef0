"""What was found after the work: the second blower-door reading as it was typed, and what the job saved; no words."""

from collections.abc import Sequence
from datetime import date

from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.units import read_quantity
from retrofit_lab.base.values import InputError
from retrofit_lab.house.finished_jobs import FinishedJob
from retrofit_lab.house.readings import REFERENCE_PRESSURE
from retrofit_lab.house.typed import reading_and_pressure
from retrofit_lab.physics.blower_door import flow_at, flow_coefficient
from retrofit_lab.proposals.bills_beside import CameRow
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study
from retrofit_lab.texts.refusals import told as refusal


def reading_after(text: str, exponent: float) -> float:
    """Flow at 50 Pa of a reading as it is typed in the field. [cfm]

    Parameters
    ----------
    text : str
        A flow, at 50 Pa where no pressure stands beside it: ``"1900 cfm"``, ``"2400 cfm at 42 Pa"``.
    exponent : float
        Flow exponent of the house. [1]

    Raises
    ------
    InputError
        When it is no reading, or one that no house gives.
    """
    flow, pressure = reading_and_pressure(text)
    read = _checked(flow, "leakage.flow")
    at = _checked(pressure, "leakage.pressure") if pressure else REFERENCE_PRESSURE
    coefficient = flow_coefficient(read, at, exponent)
    return float(flow_at(coefficient, exponent, REFERENCE_PRESSURE))


def _checked(text: str, name: str) -> float:
    rule = parameters()[name]
    try:
        number = read_quantity(text, rule.unit)
    except InputError as error:
        raise InputError(refusal("after_work.unread", why=error)) from error
    if not rule.legal_low <= number <= rule.legal_high:
        raise InputError(
            refusal(
                "after_work.within",
                number=f"{number:g}",
                unit=rule.unit,
                low=f"{rule.legal_low:g}",
                high=f"{rule.legal_high:g}",
                way_out=rule.way_out,
            )
        )
    return number


def finished_job(
    study: Study, result: PlanResult, rows: Sequence[CameRow], name: str, checked: date
) -> FinishedJob | None:
    """What a job saved in money beside what was worked out, over the fuels whose bills tell; None where none does.

    Parameters
    ----------
    study : Study
        The house before the work.
    result : PlanResult
        The plan that was carried out.
    rows : sequence of CameRow
        Usual years before and after by the bills, fuel by fuel.
    name : str
        The folder of the job.
    checked : date
        The day of the check.
    """
    prices = {row.fuel: row.tariff.price for row in study.money.fuel_prices}
    told = [(row.saved, row.promised, prices[row.fuel]) for row in rows if row.fuel in prices]
    known = [(saved, promised, price) for saved, promised, price in told if saved is not None]
    worked_out = sum(promised * price for _, promised, price in known)
    if worked_out <= 0.0:
        return None
    usual = RealHouses(study).usual_ratio(result)
    return FinishedJob(
        job=name,
        checked=checked.isoformat(),
        worked_out=worked_out,
        usual=worked_out * usual,
        came=sum(saved.value * price for saved, _, price in known),
        error=sum((saved.standard_error * price) ** 2 for saved, _, price in known) ** 0.5,
    )
