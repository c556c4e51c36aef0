"""Sentences that the page server shows or prints; no markup but that of its one small page."""

from html import escape

FULL = (
    "All places are taken: as many people have this page open as the machine can hold. Close a page that "
    "nobody uses, wait a minute, and load this one again."
)
NOT_HERE = (
    "This page is not given out under that name or to another page. Open the address that was printed when "
    "it was started."
)
FAILED = "The page could not be opened. Load it again; if that does not help, start it again."
PROBLEMS = {503: FULL, 403: NOT_HERE}


def problem_page(status: int) -> str:
    """A whole page that says why nothing else is shown, with a way to try again."""
    text = escape(PROBLEMS.get(status, FAILED))
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>Retrofit Lab</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<link rel="icon" href="data:;base64,="><style>body { margin: 3rem auto; max-width: 40rem; '
        "padding: 0 1rem; background: #fbfaf7; color: #1c1c1c; "
        'font: 18px/1.5 Verdana, "DejaVu Sans", "Segoe UI", sans-serif; }</style></head>'
        f'<body><main><h1>Not now</h1><p role="alert">{text}</p><p><a href="">Load it again</a></p>'
        "</main></body></html>\n"
    )


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
    return f"{made} of {wanted} pages are ready; the others start when somebody comes, which takes longer."


def gigabytes(megabytes: float) -> str:
    """An amount of memory as people say it."""
    return f"{megabytes / 1000:.1f} GB"


def span(seconds: float) -> str:
    """A wait as people say it."""
    if seconds < 90:
        return f"{max(round(seconds, -1), 10):.0f} seconds"
    return f"{seconds / 60:.0f} minutes"
