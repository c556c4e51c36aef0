"""Money and sentences that several pages write alike, in the data's own language; no arithmetic on results."""

from retrofit_lab.study.results import PlanResult


def dollars(amount: float) -> str:
    """Money as people say it: whole dollars below 100, tens below 10,000, hundreds above."""
    size = abs(amount)
    step = 1 if size < 100 else 10 if size < 10_000 else 100
    rounded = round(amount / step) * step
    return f"-${-rounded:,.0f}" if rounded < 0 else f"${rounded:,.0f}"


def saving(amount: float) -> str:
    """A yearly saving, or what it costs more."""
    if amount < -0.5:
        return f"costs {dollars(-amount)} a year more"
    return f"saves {dollars(max(amount, 0.0))} a year"


def chart_sentence(result: PlanResult) -> str:
    """What the chart shows, in words."""
    if not result.ticked:
        return "Tick two or more measures to see how they work on each other."
    one_by_one = dollars(result.sum_alone)
    together = dollars(result.saved)
    if abs(result.lost_to_overlap) < 1:
        return f"One by one they promise {one_by_one} a year, and together they keep it."
    if result.lost_to_overlap < 0:
        return (
            f"One by one they promise {one_by_one} a year; together they save {together}, because "
            f"some of them help each other."
        )
    return (
        f"One by one they promise {one_by_one} a year. Together they save {together}: "
        f"{dollars(result.lost_to_overlap)} would be counted twice."
    )


def lowered(title: str) -> str:
    """Title inside a sentence: only its first letter becomes small."""
    return title[:1].lower() + title[1:]
