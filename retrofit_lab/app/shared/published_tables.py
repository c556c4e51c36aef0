"""Tables for notebooks and people who work with data frames; the numbers come finished from below."""

import pandas as pd

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.study.results import PlanResult


def published_checks() -> pd.DataFrame:
    """Published numbers against ours, with source, mark and allowed difference."""
    return pd.read_csv(data_path("published_checks.csv"), comment="#")


def published_summary() -> pd.DataFrame:
    """How many published numbers were checked, by topic and mark."""
    table = published_checks()
    return table.pivot_table(
        index="topic", columns="mark", values="check", aggfunc="count", fill_value=0
    )


def measures_table(result: PlanResult) -> pd.DataFrame:
    """What each measure saves and costs, as seen from a plan."""
    rows = [
        {
            "measure": row.key,
            "ticked": row.ticked,
            "alone": round(row.alone, 2),
            "now": round(row.now, 2),
            "fair share": round(row.share, 2),
            "cost": round(row.cost.likely, 2),
            "payback": round(row.payback, 1),
        }
        for row in result.measures.values()
    ]
    return pd.DataFrame(rows).set_index("measure")
