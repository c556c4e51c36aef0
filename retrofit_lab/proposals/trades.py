"""Which trade carries out which measure, as it stands in ``data/trades.toml``; no words."""

import tomllib
from collections.abc import Mapping
from functools import cache

from retrofit_lab.base.shipped_files import data_path

GENERAL = "general"


@cache
def trade_of() -> Mapping[str, str]:
    """Trade of each measure that the table names; the others are `GENERAL`."""
    table = tomllib.loads(data_path("trades.toml").read_text(encoding="utf-8"))
    return {key: trade for trade, keys in table.items() for key in keys}
