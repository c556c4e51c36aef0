"""How much fresh air a set of measures leaves missing, and which fan of the catalog to propose for it.

Air is counted as the ventilation standard counts it: its yearly credit for leaks by the place's weather, and
all fans, add in full. Nothing here says that any
amount of air is enough for health; it is compared with the standard and no more.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from retrofit_lab.base.records import shipped_table
from retrofit_lab.base.values import Value
from retrofit_lab.house.description import House
from retrofit_lab.house.limits import recorded_words
from retrofit_lab.measures.catalog import Measure
from retrofit_lab.physics.ventilation import minimum_ventilation, ventilation_shortfall

EXHAUST = "exhaust_ventilation"
BALANCED = "balanced_ventilation"
OPENED = "open_fan"
ALL_DAY = 20.0
"""Hours a day above which a fan counts as one that runs all day. [h] (judgment)"""
OPENS_BY = 0.5
"""Most that a fan can be opened beyond what it brings, as a share of that. [1] (judgment)"""
PULLED_BACKWARDS = frozenset(
    {"natural_draft_water_heater", "natural_draft_furnace", "spillage_marks", "unvented_heater"}
)
"""Observations of burners that an exhaust fan can pull the wrong way."""
SOIL_GAS = frozenset({"radon_above_4", "crawl_bare_ground"})
"""Observations of ground whose air an exhaust fan can pull in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FreshAirProposal:
    """A fan that a set of measures calls for.

    ``flow`` is what is missing [cfm], ``minimum`` what the standard asks for [cfm], ``outdoor_air`` what
    comes in without the fan [cfm]; ``why`` says why this kind of fan and not the other.
    """

    measure: str
    flow: float
    minimum: float
    outdoor_air: float
    why: str


def missing_air(house: House, outdoor_air: Value) -> Value:
    """Fan flow that a house needs to reach the standard. [cfm]

    Parameters
    ----------
    house : House
        House as found; its floor area and bedrooms set the minimum.
    outdoor_air : Value
        Outdoor air of the plan as the standard counts it, fans included. Arrays answer many plans. [cfm]

    Returns
    -------
    Value
        Continuous flow, 0 where nothing is missing. [cfm]

    References
    ----------
    See `retrofit_lab.physics.ventilation.minimum_ventilation`; a fan that runs part of the day must
    move more.
    """
    wanted = minimum_ventilation(house.size.floor_area, house.size.bedrooms)
    return ventilation_shortfall(wanted, outdoor_air, 0.0)


def fresh_air_proposal(
    house: House, chosen: Iterable[Measure], outdoor_air: float
) -> FreshAirProposal | None:
    """Fan to propose where a set of measures leaves less outdoor air than the standard asks for.

    Parameters
    ----------
    house : House
        House as found.
    chosen : iterable of Measure
        Measures that would be carried out; a fan among them is not proposed again.
    outdoor_air : float
        Outdoor air of the plan as the standard counts it, fans included. [cfm]

    Returns
    -------
    FreshAirProposal or None
        None where nothing is missing or a fan is already among the measures.
    """
    flow = float(missing_air(house, outdoor_air))
    if flow <= 0.0 or {EXHAUST, BALANCED, OPENED} & {measure.key for measure in chosen}:
        return None
    measure, why = _kind_of_fan(house, flow)
    return FreshAirProposal(
        measure=measure,
        flow=flow,
        minimum=float(minimum_ventilation(house.size.floor_area, house.size.bedrooms)),
        outdoor_air=float(outdoor_air),
        why=why,
    )


def why_fan(kind: str) -> str:
    """Sentence of ``data/reasons.toml`` on why a kind of fan is proposed; other languages have it among their words."""
    return str(shipped_table("reasons.toml")["fan"][kind])


def _kind_of_fan(house: House, flow: float) -> tuple[str, str]:
    if PULLED_BACKWARDS & recorded_words(house) or house.leakage.flue == "open":
        return BALANCED, why_fan("gas")
    if any(site.kind == "fireplace" for site in house.leakage.sites):
        return BALANCED, why_fan("smoke")
    if SOIL_GAS & recorded_words(house):
        return BALANCED, why_fan("ground")
    running = sum(float(fan.flow) for fan in house.fans if float(fan.hours) > ALL_DAY)
    if flow <= OPENS_BY * running:
        return OPENED, why_fan("there")
    return EXHAUST, why_fan("cheapest")
