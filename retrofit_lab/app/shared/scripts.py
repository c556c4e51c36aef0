"""Puts a page's script and style together from the files of ``static/``; what pages share stands in one file."""

from pathlib import Path

STATIC = Path(__file__).parent / "static"
SHARED = ("parts.js", "bars.js")


def page_script(*names: str) -> str:
    """Script of a page: the shared parts, then its own, the last file the one that starts it."""
    return together(*SHARED, *names)


def page_style(*names: str) -> str:
    """Style of a page out of one or more files, later ones over earlier ones."""
    return together(*names)


def together(*names: str) -> str:
    """Text of some files of ``static/``, one after the other."""
    return "\n".join((STATIC / name).read_text(encoding="utf-8") for name in names)
