"""Heat balances that tests hold the model's lines and zones against, from what each record says of itself."""

from retrofit_lab.base.values import Value
from retrofit_lab.physics.annual_balance import BufferNode, LossLine


def loss_of(line: LossLine, indoor: Value, outdoor: Value) -> Value:
    """Heat that leaves the rooms at given temperatures. [Btu/h]"""
    return line.inside * indoor - line.outside * outdoor - line.fixed


def residual_of(node: BufferNode, zone: Value, indoor: Value, outdoor: Value) -> Value:
    """Heat into a zone less heat out of it; nothing when its temperature is in balance. [Btu/h]"""
    gained = node.from_house * (indoor - zone) + node.outdoor * (outdoor - zone)
    return gained + node.fixed + node.sun - node.other * zone
