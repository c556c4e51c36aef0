"""Sentences that the page server prints; its small pages stand elsewhere."""


def progress(made: int, wanted: int, seconds: float) -> str:
    """How far making pages ready is, after some time. [s]"""
    if made >= wanted:
        return f"All {wanted} pages are ready, after {span(seconds)}."
    if not made:
        return f"None of {wanted} pages is ready yet."
    left = span(seconds / made * (wanted - made))
    return f"{made} of {wanted} pages are ready; about {left} to go."


def stopped_early(made: int, wanted: int) -> str:
    """Said when not all pages could be made ready."""
    return f"{made} of {wanted} pages are ready; the others start when someone comes, which takes longer."


def gigabytes(megabytes: float) -> str:
    """An amount of memory as people say it."""
    return f"{megabytes / 1000:.1f} GB"


def span(seconds: float) -> str:
    """A wait as people say it."""
    if seconds < 90:
        return f"{max(round(seconds, -1), 10):.0f} seconds"
    return f"{seconds / 60:.0f} minutes"
