"""Tables for notebooks and people who work with data frames; the numbers come finished from below."""

import pandas as pd

from retrofit_lab.base.shipped_files import data_path


def published_checks() -> pd.DataFrame:
    """Published numbers against ours, with source, mark and allowed difference."""
    return pd.read_csv(data_path("published_checks.csv"), comment="#")


def published_summary() -> pd.DataFrame:
    """How many published numbers were checked, by topic and mark."""
    table = published_checks()
    return table.pivot_table(
        index="topic", columns="mark", values="check", aggfunc="count", fill_value=0
    )
