"""What a rater's own finished jobs say of the savings of later ones: a plain Bayesian update; no file is read here.

In each finished job the bills tell what came, and the calculation what was worked out and how much of it usually
comes about in such houses. Their quotient is a reading of one number, how much more or less than usual comes
about in this rater's jobs. Before any job it is 1, give or take `FIRST_SPREAD`; each job moves it by as much as it
is sure. The usual shares themselves are argued in ``realizing.py``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from retrofit_lab.house.finished_jobs import FinishedJob

FIRST_SPREAD = 0.2
"""How far one rater's jobs lie from usual ones, as a standard deviation. [1] (judgment)"""
JOB_SPREAD = 0.35
"""How far one house lies from the mean of a rater's houses, as a standard deviation. [1] (judgment)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What finished jobs say: how many, the share of the worked-out saving that came, and what is made of it.

    ``factor`` multiplies the usual share that comes about, ``spread`` is its standard deviation. [1]
    """

    jobs: int
    share: float
    factor: float
    spread: float


NOTHING = Learned(jobs=0, share=1.0, factor=1.0, spread=FIRST_SPREAD)
"""Before any job is finished."""


def learned(finished: Sequence[FinishedJob]) -> Learned:
    """What finished jobs say of later ones.

    Parameters
    ----------
    finished : sequence of FinishedJob
        Jobs; those that promised nothing tell nothing.

    Examples
    --------
    Many jobs that saved half of the usual outweigh what was thought before:

    >>> job = FinishedJob(job="elm", checked="", worked_out=1000.0, usual=800.0, came=400.0, error=0.0)
    >>> few, many = learned([job]), learned([job] * 100)
    >>> 0.5 < many.factor < few.factor < 1.0
    True
    """
    telling = [job for job in finished if job.usual > 0.0 and job.worked_out > 0.0]
    if not telling:
        return NOTHING
    weights = [1.0 / (JOB_SPREAD**2 + (job.error / job.usual) ** 2) for job in telling]
    first = 1.0 / FIRST_SPREAD**2
    sure = first + sum(weights)
    read = sum(w * job.came / job.usual for w, job in zip(weights, telling, strict=True))
    return Learned(
        jobs=len(telling),
        share=sum(job.came for job in telling) / sum(job.worked_out for job in telling),
        factor=max((first + read) / sure, 0.0),
        spread=sqrt(1.0 / sure),
    )
