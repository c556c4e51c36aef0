"""Ducts of a described house: how much of what the equipment makes arrives, and what warms the duct's place."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retrofit_lab.house.description import INSIDE, House
from retrofit_lab.physics.annual_balance import BufferNode, regain
from retrofit_lab.physics.ducts import conduction_effectiveness, duct_losses
from retrofit_lab.physics.elementwise import larger, smaller
from retrofit_lab.values import Value

LEAST_DELIVERED = 0.05
"""Ducts that deliver less than this are broken, not leaky; the model goes no lower. [1] (judgement)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Distribution:
    """Share that is delivered, share that counts with regain, and where the rest goes, by place. [1]

    ``around`` is the temperature of the places where the ducts are. [F]
    """

    useful: Value
    lost: Mapping[str, Value]
    around: Mapping[str, Value]

    @property
    def delivered(self) -> Value:
        """Share that reaches the rooms. [1]"""
        return _within_reason(1.0 - sum(self.lost.values()))


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
    losses = duct_losses(
        supply_leakage=ducts.supply_leakage,
        return_leakage=ducts.return_leakage,
        supply_conduction=conduction_effectiveness(ducts.supply_area, ducts.supply_r, ducts.flow),
        return_conduction=conduction_effectiveness(ducts.return_area, ducts.return_r, ducts.flow),
        supply_temperature_difference=room - place_temperature[ducts.supply_place],
        return_temperature_difference=room - place_temperature[ducts.return_place],
        equipment_temperature_rise=temperature_rise,
    )
    lost = {ducts.supply_place: losses.supply}
    lost[ducts.return_place] = lost.get(ducts.return_place, 0.0) + losses.back
    useful = 1.0 - losses.supply - losses.back
    for place, share in lost.items():
        useful = useful + share * (1.0 if place == INSIDE else regain(nodes[place]))
    return Distribution(
        useful=_within_reason(useful),
        lost=lost,
        around={place: place_temperature[place] for place in lost},
    )


def _within_reason(share: Value) -> Value:
    return smaller(larger(share, LEAST_DELIVERED), 1.0)


def imbalance(house: House) -> Value:
    """Air that unequal duct leaks draw through the house while the blower runs. [cfm]"""
    return np.abs(house.ducts.supply_leakage - house.ducts.return_leakage) * house.ducts.flow
