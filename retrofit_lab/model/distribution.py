"""Ducts of a described house: how much of what the equipment makes arrives, and what warms the duct's place."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retrofit_lab.house.description import INSIDE, House
from retrofit_lab.physics.annual_balance import BufferNode, regain
from retrofit_lab.physics.ducts import conduction_effectiveness, delivery_effectiveness
from retrofit_lab.values import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Distribution:
    """Share that is delivered, share that counts with regain, and where the rest goes, by place. [1]"""

    delivered: Value
    useful: Value
    lost: Mapping[str, Value]


def distribution(
    house: House,
    nodes: Mapping[str, BufferNode],
    place_temperature: Mapping[str, Value],
    room: Value,
    temperature_rise: Value,
) -> Distribution:
    """Effectiveness of the ducts in one season.

    Parameters
    ----------
    temperature_rise : Value
        Warming of the air in the equipment, negative for cooling. [F]
    """
    ducts = house.ducts
    supply_cond = conduction_effectiveness(ducts.supply_area, ducts.supply_r, ducts.flow)
    return_cond = conduction_effectiveness(ducts.return_area, ducts.return_r, ducts.flow)
    delivered = delivery_effectiveness(
        supply_leakage=ducts.supply_leakage,
        return_leakage=ducts.return_leakage,
        supply_conduction=supply_cond,
        return_conduction=return_cond,
        supply_temperature_difference=room - place_temperature[ducts.supply_place],
        return_temperature_difference=room - place_temperature[ducts.return_place],
        equipment_temperature_rise=temperature_rise,
    )
    delivered = np.clip(delivered, 0.05, 1.0)
    lost = _lost(house, 1.0 - delivered, supply_cond, return_cond)
    useful = delivered
    for place, share in lost.items():
        useful = useful + share * (1.0 if place == INSIDE else regain(nodes[place]))
    return Distribution(delivered=delivered, useful=useful, lost=lost)


def _lost(house: House, lost: Value, supply_cond: Value, return_cond: Value) -> dict[str, Value]:
    ducts = house.ducts
    if ducts.supply_place == ducts.return_place:
        return {ducts.supply_place: lost}
    supply = 1.0 - (1.0 - ducts.supply_leakage) * supply_cond
    back = 1.0 - (1.0 - ducts.return_leakage) * return_cond
    share = supply / np.maximum(supply + back, 1e-12)
    return {ducts.supply_place: lost * share, ducts.return_place: lost * (1.0 - share)}


def imbalance(house: House) -> Value:
    """Air that unequal duct leaks draw through the house while the blower runs. [cfm]"""
    return np.abs(house.ducts.supply_leakage - house.ducts.return_leakage) * house.ducts.flow
