"""Opens the files of the data folder, wherever the package stands; what is in them belongs to the rooms above."""

import csv
from collections.abc import Iterator
from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]


@cache
def shipped_folder(name: str) -> Path:
    """Folder that ships with the package: inside it when installed, beside it in a checkout.

    Parameters
    ----------
    name : str
        ``"data"`` or ``"notebooks"``.

    Raises
    ------
    FileNotFoundError
        When the installation lacks the folder.
    """
    for folder in (_PACKAGE / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the installation has no folder '{name}'; install retrofit-lab again")


def data_path(*parts: str) -> Path:
    """Path of one shipped data file."""
    return shipped_folder("data").joinpath(*parts)


def read_rows(*parts: str) -> list[dict[str, str]]:
    """Rows of a shipped CSV file as dictionaries by column name; lines that start with # are notes."""
    with data_path(*parts).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(_without_notes(file)))


def _without_notes(lines: Iterator[str]) -> Iterator[str]:
    return (line for line in lines if not line.startswith("#"))
