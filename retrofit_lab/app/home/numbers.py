"""Numbers of a house that a page without a model needs, packed; no words and no markup."""

import base64
from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

import numpy as np

from retrofit_lab.app.page.plan_view import LEAST_LOAN
from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.house.parts import LOSING
from retrofit_lab.measures.catalog import PHASES
from retrofit_lab.money.purchase import Anyway, Visit
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.worth import cost_factors_over_life, replacements
from retrofit_lab.physics.ventilation import minimum_ventilation
from retrofit_lab.proposals.all_plans import AllSets
from retrofit_lab.proposals.dollars_by_part import Dollars, dollars_by_part
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.proposals.known import is_lacking
from retrofit_lab.proposals.pace import LOAN, YEARLY
from retrofit_lab.proposals.plan_estimate import BILL, PlanEstimate
from retrofit_lab.proposals.stated import stated_house
from retrofit_lab.proposals.steps import Proposal, settles_hazard
from retrofit_lab.savings.choosing import Sets
from retrofit_lab.savings.explaining import reason_of
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.study.working_order import worth_alone
from retrofit_lab.uncertainty.outcomes import Outcome, drawn_bills
from retrofit_lab.uncertainty.realizing import kind_of, realized_kinds

MOST_STEPS = 2**31 - 1
"""Steps in which a saving is stored: finer than a thousandth of a cent."""
DRAWS = 128
"""Draws that carry the ranges."""
THOUSANDTHS = 1000.0
MOST_TIMES = 32.0
"""Most times its usual saving that a measure saves in a draw, either way: what two bytes hold."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Known:
    """What the numbers of one house are taken from: what is proposed, and the ranges of the plans to start from."""

    study: Study
    advice: Advice
    sets: AllSets
    guess: PlanEstimate
    miss: float
    ahead: Sets
    proposed: Proposal
    sure: Mapping[tuple[str, ...], Outcome]


def home_numbers(known: Known) -> dict[str, Any]:
    """Everything that does not hang on language and units."""
    return {
        **_looked_up(known),
        **_guessed(known),
        **_now(known.study),
        **_money(known.study),
        **_rules(known.study),
        "ahead": _ahead(known.ahead),
        "draws": _draws(known),
    }


def _looked_up(known: Known) -> dict[str, Any]:
    """Saving and outdoor air of every plan of some measures."""
    study, energy = known.study, known.sets.energy
    saved = energy.cost[0] - energy.cost
    step = max(float(np.abs(saved).max()), 1.0) / MOST_STEPS
    return {
        "keys": list(study.keys),
        "few": [study.keys.index(key) for key in known.sets.keys],
        "step": step,
        "saved": packed(np.rint(saved / step).astype("<i4")),
        "air": packed(np.rint(10.0 * energy.ventilation).astype("<u2")),
    }


def _guessed(known: Known) -> dict[str, Any]:
    estimate, bends = known.guess.estimate, known.guess.bends
    return {
        "terms": [list(term) for term in estimate.terms],
        "weights": packed(estimate.weights.astype("<f4")),
        "bends": {name: packed(getattr(bends, name).astype("<f4")) for name in ("sums", "adds")},
        "scales": known.guess.scales.tolist(),
        "bill": list(BILL),
        "losing": list(LOSING),
        "miss": known.miss,
    }


def _ahead(plans: Sets) -> dict[str, str]:
    """Plans that were worked out ahead: a bit for each measure, what they cost, save, are worth and spare."""
    columns = {
        "cost": plans.cost,
        "saved": plans.saving,
        "net": plans.net_savings,
        "co2": plans.co2,
    }
    return {
        "masks": packed(np.packbits(plans.masks, axis=1)),
        **{name: packed(values.astype("<f4")) for name, values in columns.items()},
    }


def _now(study: Study) -> dict[str, Any]:
    """The house as it is: its bill by part, its heat by its way out."""
    before = study.plan(()).before
    paid = dollars_by_part(study, (), before)
    losses = study.energies.season_losses(())
    shares = losses.of_hundred(losses.total)
    return {
        "before": before.cost,
        "paidNow": dict(paid.parts),
        "billNow": _bill(paid),
        "heatNow": [float(shares[part]) for part in LOSING],
        "minimumAir": float(
            minimum_ventilation(study.case.house.size.floor_area, study.case.house.size.bedrooms)
        ),
    }


def _bill(paid: Dollars) -> list[float]:
    rooms = sum(paid.parts[part] for part in LOSING)
    return [rooms, *(paid.parts[name] for name in BILL[1:-1]), paid.fixed]


def _money(study: Study) -> dict[str, Any]:
    terms, purchases, cost = study.terms, study.money.purchases, study.energies.single_costs
    factors = [
        cost_factors_over_life(offer.measure.life.years, terms.period_years, terms.discount_rate)
        for offer in study.offers
    ]
    bills = study.energies.single.charges[0]
    return {
        "alone": (cost[0] - cost[1:]).tolist(),
        "shares": RealHouses(study).shares.tolist(),
        "cost": study.money.costs.T.tolist(),
        "first": [first for first, _ in factors],
        "later": [later for _, later in factors],
        "replaced": [
            list(replacements(offer.measure.life.years, terms.period_years))
            for offer in study.offers
        ],
        "visits": [_visit(visit, study) for visit in purchases.visits],
        "rebates": [_rebate(rebate, study) for rebate in purchases.rebates],
        "anyway": [_anyway(purchase, study) for purchase in purchases.anyway],
        "years": terms.period_years,
        "rate": terms.discount_rate,
        "yearly": YEARLY,
        "loan": {"perDollar": LOAN.payment(1.0), "percent": LOAN.percent, "years": LOAN.years},
        "leastLoan": LEAST_LOAN,
        "worth": float(study.money.present_worth(bills)) / max(float(cost[0]), 1.0),
        "worthAlone": worth_alone(study).tolist(),
    }


def _places(study: Study, keys: Any) -> list[int]:
    return [study.keys.index(key) for key in keys if key in study.keys]


def _visit(visit: Visit, study: Study) -> dict[str, Any]:
    """Measures that one visit of a trade does, and what coming costs in the price of each."""
    pairs = zip(visit.measures, visit.setups, strict=True)
    there = [(study.keys.index(key), setup) for key, setup in pairs if key in study.keys]
    return {"measures": [p for p, _ in there], "setups": [setup for _, setup in there]}


def _rebate(rebate: Rebate, study: Study) -> dict[str, Any]:
    """An entry of rebates; no measures mean all of them."""
    return {
        "amount": rebate.amount,
        "percent": rebate.percent,
        "cap": rebate.cap if isfinite(rebate.cap) else None,
        "measures": _places(study, rebate.measures),
    }


def _anyway(purchase: Anyway, study: Study) -> dict[str, Any]:
    """What must be bought anyway: its price, its present worth, and the measures that take its place."""
    return {
        "price": purchase.price,
        "worth": study.money.purchases.present_price(purchase),
        "measures": _places(study, purchase.measures),
    }


def _rules(study: Study) -> dict[str, Any]:
    """What goes with what, what comes before what, and why two measures do not add up."""
    case, measures = study.case, [offer.measure for offer in study.offers]
    return {
        "rivals": [_places(study, case.rivals[key]) for key in study.keys],
        "needs": [_places(study, measure.needs) for measure in measures],
        "earlier": [_places(study, case.earlier(key)) for key in study.keys],
        "held": [bool(case.holds[key]) for key in study.keys],
        "phase": [PHASES.index(measure.phase) for measure in measures],
        "needed": [bool(measure.needed) for measure in measures],
        "lacking": [is_lacking(stated_house(study), measure) for measure in measures],
        "fan": _fan(study),
        "settles": [settles_hazard(study, key) for key in study.keys],
        **_pairs(study),
    }


def _fan(study: Study) -> int:
    """Place of the fan that a plan without enough outdoor air calls for; -1 where the house can have none."""
    wanted = study.energies.fan_for(study.mask(()), 0.0)
    return study.keys.index(wanted.measure) if wanted else -1


def _pairs(study: Study) -> dict[str, Any]:
    """What two measures lose beside each other, and which sentence tells why: of losing, and of winning."""
    count = len(study.keys)
    first, second = np.triu_indices(count, 1)
    one = np.eye(count, dtype=np.bool_)
    cost = study.energies.single_costs
    together = cost[0] - study.energy(one[first] | one[second]).cost
    alone = cost[0] - cost[1:]
    lost = np.zeros((count, count))
    lost[first, second] = alone[first] + alone[second] - together
    return {"pairs": np.round(lost, 4).tolist(), "why": _reasons(study)[1]}


def reasons(study: Study) -> list[str]:
    """Sentences on why two measures of a house do not add up, each once."""
    return _reasons(study)[0]


def _reasons(study: Study) -> tuple[list[str], list[list[list[int]]]]:
    said: dict[str, int] = {}
    tables: list[list[list[int]]] = []
    for sign in (1.0, -1.0):
        table = [
            [
                said.setdefault(reason_of(a, b, sign, study.case.facts) if i < j else "", len(said))
                for j, b in enumerate(study.offers)
            ]
            for i, a in enumerate(study.offers)
        ]
        tables.append(table)
    return list(said), tables


def _draws(known: Known) -> dict[str, Any]:
    """How each measure's saving and price varies, in thousandths of the usual, and what comes about by kind."""
    advice, study = known.advice, known.study
    few = advice.draws.part(0, DRAWS)
    count = len(study.keys)
    sets = np.vstack([np.zeros((1, count), dtype=np.bool_), np.eye(count, dtype=np.bool_)])
    bills = drawn_bills(advice.setting, sets, few)
    saved, usual = bills[0] - bills[1:], study.energies.single_costs
    alone = _times(saved, (usual[0] - usual[1:])[:, None])
    price = study.money.costs[1][:, None]
    kinds = realized_kinds()
    mine = [kinds.index(kind_of(offer.measure)) for offer in study.offers]
    came = np.ones((len(kinds), few.count))
    came[mine] = few.realized.T
    return {
        "count": few.count,
        "alone": _thousandths(alone),
        "costs": _thousandths(_times(few.costs.T, price)),
        "came": _thousandths(came),
        "kinds": mine,
    }


def _times(values: FloatArray, usual: FloatArray) -> FloatArray:
    small: BoolArray = np.abs(usual) < 0.5
    times = np.where(small, 1.0, values / np.where(small, 1.0, usual))
    return np.clip(times, -MOST_TIMES, MOST_TIMES)


def _thousandths(values: FloatArray) -> str:
    return packed(np.rint(values * THOUSANDTHS).astype("<i2"))


def packed(values: Any) -> str:
    """Numbers as text."""
    return base64.b64encode(values.tobytes()).decode("ascii")
