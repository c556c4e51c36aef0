"""Retrofit Lab: how home energy improvements interact, what they save, cost and need.

>>> import retrofit_lab as rl
>>> s = rl.open("alder_street")
>>> plan = s.plan(["duct_mastic", "attic_insulation"])
>>> plan.saving.low < plan.saving.high < plan.result.sum_alone
True

``plan.table()`` gives a pandas DataFrame and ``plan.plot()`` a plotly Figure. Each name below is imported when it is
first used, so that ``import retrofit_lab`` takes no time.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from retrofit_lab.base.presenting import present_with

if TYPE_CHECKING:
    from retrofit_lab.base.values import InputError
    from retrofit_lab.measures.catalog import catalog as measures
    from retrofit_lab.money.rebates import Rebate
    from retrofit_lab.money.terms import MoneyTerms
    from retrofit_lab.study.lab import Lab, examples, start
    from retrofit_lab.study.lab import open_lab as open
    from retrofit_lab.study.study import Study

__version__ = "0.1.0"
__all__ = [
    "InputError",
    "Lab",
    "MoneyTerms",
    "Rebate",
    "Study",
    "examples",
    "measures",
    "open",
    "start",
]
_HOMES = {
    "InputError": "base.values:InputError",
    "Lab": "study.lab:Lab",
    "MoneyTerms": "money.terms:MoneyTerms",
    "Rebate": "money.rebates:Rebate",
    "Study": "study.study:Study",
    "examples": "study.lab:examples",
    "measures": "measures.catalog:catalog",
    "open": "study.lab:open_lab",
    "start": "study.lab:start",
}

present_with(lambda: import_module("retrofit_lab.app.lab.presenter"))


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(
            f"module 'retrofit_lab' has no name '{name}'; it has {', '.join(__all__)}"
        )
    module, _, own = _HOMES[name].partition(":")
    return getattr(import_module(f"retrofit_lab.{module}"), own)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
