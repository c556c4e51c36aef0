"""The one order of work: by phases, what must precede a measure before it, then by worth; nothing is chosen here."""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.measures.catalog import PHASES
from retrofit_lab.study.study import Study
from retrofit_lab.texts.refusals import told


class OrderError(InputError):
    """Measures that should each come after another of them."""


def working_order(study: Study, keys: Iterable[str]) -> tuple[str, ...]:
    """Some measures in the order in which they are done.

    A phase is finished before the next begins. Inside one, what can be started goes before what waits for
    a hazard, what is needed for health or for the house to last before what only saves, and then the one
    that is worth most alone: so the order of two measures does not hang on a third.

    Parameters
    ----------
    study : Study
        House and measures.
    keys : iterable of str
        Measures, in any order.

    Raises
    ------
    OrderError
        When some should each come after another of them.
    """
    waiting = [key for key in study.keys if key in set(keys)]
    phases, held, worth = phases_of(study, waiting), study.case.waiting(waiting), worth_alone(study)

    def place(key: str) -> tuple[int, bool, bool, float]:
        needed = bool(study.offer(key).measure.needed)
        phase = PHASES.index(phases[key])
        return phase, key in held, not needed, -float(worth[study.keys.index(key)])

    done: list[str] = []
    while waiting:
        ready = [key for key in waiting if not set(study.case.earlier(key)) & set(waiting)]
        best = min(ready, key=place)
        waiting.remove(best)
        done.append(best)
    return tuple(done)


def phases_of(study: Study, keys: Sequence[str]) -> Mapping[str, str]:
    """Phase in which each of some measures is done: its own, or a later one where it waits for another measure.

    Raises
    ------
    OrderError
        When some should each come after another of them.
    """
    found: dict[str, str] = {}
    left = list(keys)
    while left:
        ready = [key for key in left if not set(study.case.earlier(key)) & set(left)]
        if not ready:
            raise OrderError(told("study.circle", names=left))
        for key in ready:
            before = [found[other] for other in study.case.earlier(key) if other in found]
            found[key] = max((study.offer(key).measure.phase, *before), key=PHASES.index)
        left = [key for key in left if key not in found]
    return found


def worth_alone(study: Study) -> FloatArray:
    """Net savings of each measure by itself. shape (measures,) [dollars]"""
    saved = study.energies.single.charges[0] - study.energies.single.charges[1:]
    bought = np.diag(study.money.costs[1])
    return np.asarray(study.money.present_worth(saved) - study.money.purchases.present_cost(bought))
