"""Puts a page's script and style together from the files of ``static/``; what pages share stands in one file."""

from pathlib import Path

STATIC = Path(__file__).parent / "static"
SHARED = ("parts.js", "bars.js")


def page_script(*names: str) -> str:
    """Script of a page: the shared parts, then its own, the last file the one that starts it."""
    return _together((*SHARED, *names))


def page_style(*names: str) -> str:
    """Style of a page out of one or more files, later ones over earlier ones."""
    return _together(names)


def _together(names: tuple[str, ...]) -> str:
    return "\n".join((STATIC / name).read_text(encoding="utf-8") for name in names)
