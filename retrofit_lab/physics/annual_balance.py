"""The monthly heat balance of a house with unheated neighbours, as a straight line in indoor and outdoor temperature.

What goes into the line (areas, air flows, gains) is worked out in the other modules of this room;
what heaters and coolers make of the load is in theirs.

The idea: in steady state every buffer zone sits at a mean of the temperatures round it, weighted by
conductance, so its temperature and the loss to it are straight lines in the indoor temperature. The
whole loss of the house is then

    loss = inside * T_in - outside * T_out - fixed

and the heat to be made in a month is ``24 * outside`` times the degree days to the base at which
loss and gains are equal.
"""

from dataclasses import dataclass

from retrofit_lab.values import Value

HOURS_PER_DAY = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BufferNode:
    """What one buffer zone exchanges, per degree, in one month; all [Btu/(h F)] unless stated.

    ``from_house`` is what the zone feels of the house: conduction and air that leaves through it.
    ``to_zone`` is what the house feels of the zone: conduction and air that enters through it.
    ``outdoor`` is conduction, ventilation and entering air; ``other`` is ground and tank; ``fixed`` is
    the heat that comes from everything but house and outdoors: ground, tank, sun and ducts. [Btu/h]
    """

    from_house: Value
    to_zone: Value
    outdoor: Value
    other: Value
    fixed: Value

    @property
    def total(self) -> Value:
        """Sum of all conductances that end at the zone. [Btu/(h F)]"""
        return self.from_house + self.outdoor + self.other


@dataclass(frozen=True, slots=True, kw_only=True)
class LossLine:
    """Heat loss of the house, ``inside * T_in - outside * T_out - fixed``. [Btu/(h F), Btu/h]"""

    inside: Value
    outside: Value
    fixed: Value

    def loss(self, indoor: Value, outdoor: Value) -> Value:
        """Heat loss at given temperatures. [Btu/h]"""
        return self.inside * indoor - self.outside * outdoor - self.fixed

    def base_temperature(self, indoor: Value, gains: Value) -> Value:
        """Outdoor temperature at which loss equals gains: the base of the degree days. [F]"""
        return (self.inside * indoor - self.fixed - gains) / self.outside

    def floating_temperature(self, outdoor: Value, gains: Value) -> Value:
        """Indoor temperature without heating or cooling. [F]"""
        return (self.outside * outdoor + self.fixed + gains) / self.inside


def buffer_temperature(node: BufferNode, indoor: Value, outdoor: Value) -> Value:
    """Temperature of a buffer zone in balance with what surrounds it. [F]"""
    return (node.from_house * indoor + node.outdoor * outdoor + node.fixed) / node.total


def buffer_residual(node: BufferNode, zone: Value, indoor: Value, outdoor: Value) -> Value:
    """Heat into a zone less heat out of it; zero when its temperature is in balance. [Btu/h]"""
    gained = node.from_house * (indoor - zone) + node.outdoor * (outdoor - zone)
    return gained + node.fixed - node.other * zone


def regain(node: BufferNode) -> Value:
    """Share of heat released in the zone that spares heat in the house. [1]"""
    return node.to_zone / node.total


def loss_line(
    direct: Value, ground: Value, ground_temperature: Value, nodes: tuple[BufferNode, ...]
) -> LossLine:
    """Loss line of a house.

    Parameters
    ----------
    direct : Value
        Conduction and air exchange with outdoors. [Btu/(h F)]
    ground : Value
        Conductance between the house and the ground. [Btu/(h F)]
    ground_temperature : Value
        Temperature of that ground. [F]
    nodes : tuple of BufferNode
        The buffer zones.

    Returns
    -------
    LossLine
        Line whose ``outside`` counts what reaches outdoors through the zones too.
    """
    inside: Value = direct + ground
    outside: Value = direct
    fixed: Value = ground * ground_temperature
    for node in nodes:
        share = node.to_zone / node.total
        inside = inside + node.to_zone - share * node.from_house
        outside = outside + share * node.outdoor
        fixed = fixed + share * node.fixed
    return LossLine(inside=inside, outside=outside, fixed=fixed)


def monthly_load(line: LossLine, degree_days: Value) -> Value:
    """Heat (or cold) to be delivered in a month for degree days to the base temperature. [Btu]"""
    return HOURS_PER_DAY * line.outside * degree_days
