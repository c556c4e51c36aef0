"""Money and titles that several pages write alike; no sentence and no arithmetic on results."""


def dollars(amount: float) -> str:
    """Money as people say it: whole dollars below 100, tens below 10,000, hundreds above."""
    size = abs(amount)
    step = 1 if size < 100 else 10 if size < 10_000 else 100
    rounded = round(amount / step) * step
    return f"-${-rounded:,.0f}" if rounded < 0 else f"${rounded:,.0f}"


def lowered(title: str) -> str:
    """Title inside a sentence: only its first letter becomes small."""
    return title[:1].lower() + title[1:]
