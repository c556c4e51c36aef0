"""Sentences that the page server prints; its small pages stand elsewhere."""

from retrofit_lab.texts.english_only import sentence


def progress(made: int, wanted: int, seconds: float) -> str:
    """How far making pages ready is, after some time. [s]"""
    if made >= wanted:
        return sentence("serve_wording.all_pages", wanted=wanted, wait=span(seconds))
    if not made:
        return sentence("serve_wording.none_pages", wanted=wanted)
    left = span(seconds / made * (wanted - made))
    return sentence("serve_wording.pages_ready", made=made, wanted=wanted, left=left)


def stopped_early(made: int, wanted: int) -> str:
    """Said when not all pages could be made ready."""
    return sentence("serve_wording.pages_ready_others", made=made, wanted=wanted)


def gigabytes(megabytes: float) -> str:
    """An amount of memory as people say it."""
    return f"{megabytes / 1000:.1f} GB"


def span(seconds: float) -> str:
    """A wait as people say it."""
    if seconds < 90:
        return f"{max(round(seconds, -1), 10):.0f} seconds"
    return f"{seconds / 60:.0f} minutes"
