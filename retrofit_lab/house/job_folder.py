"""Which files of a folder belong to one job, by their plain names; what is in them is read elsewhere.

``house.toml`` is the house (or the only house file of the folder), ``bills.*`` its bills (or all that lies in
``bills/``), ``bill_weather.csv`` the daily temperatures of their days, ``prices.toml`` own prices and terms,
``plan.json`` the plan as the page keeps it, ``notes.txt`` notes, ``bids.*`` bids (or all that lies in ``bids/``),
``bills_after.*`` and ``after.toml`` what was found after the work, ``tests/`` printouts of instruments. Pictures
are listed beside the house file. Every file but the house may be missing.
"""

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from retrofit_lab.base.toml_file import toml_table
from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.keeping import house_files
from retrofit_lab.house.photos import photos_path
from retrofit_lab.texts.refusals import told

HOUSE = "house.toml"
PLAN = "plan.json"
BILL_ENDINGS = (".csv", ".xlsx", ".xml")
BID_ENDINGS = (".csv", ".xlsx")
NOTES = ("notes.txt", "notes.md")
MOST_BYTES = 200_000
_MARK = re.compile(rb"^\s*format\s*=\s*[\"']retrofit-lab house[\"']", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFiles:
    """Files of one job; what is not there is None or empty.

    ``bills`` are named here only where the house itself names none; ``report`` is the folder that the report
    goes to.
    """

    folder: Path
    house: Path
    bills: tuple[Path, ...] = ()
    bill_weather: Path | None = None
    prices: Path | None = None
    plan: Path | None = None
    notes: Path | None = None
    bids: tuple[Path, ...] = ()
    bills_after: Path | None = None
    after: Path | None = None
    photos: Path | None = None
    tests: tuple[Path, ...] = ()

    @property
    def report(self) -> Path:
        """Folder that the report goes to."""
        return self.folder / "report"


def job_files(given: str | Path) -> JobFiles:
    """Files of a job, by its folder or by its house file.

    A house file that is named stands for itself: nothing that lies beside it is taken but its own pictures.

    Raises
    ------
    HouseError
        When there is no such folder or file, or the folder holds no house or several.
    """
    given = Path(given)
    if given.is_dir():
        return _in_folder(given)
    if not given.exists():
        raise HouseError(told("job_folder.missing", given=given))
    return JobFiles(folder=given.parent, house=given, photos=_there(photos_path(given)))


def only_house(folder: Path) -> Path | None:
    """The house file of a folder: ``house.toml``, or the only one; None where there is none or several."""
    names = _houses(folder)
    return folder / names[0] if len(names) == 1 else None


def _houses(folder: Path) -> tuple[str, ...]:
    """Names that could be the house of a folder."""
    if (folder / HOUSE).is_file():
        return (HOUSE,)
    return tuple(name for name in house_files(folder) if _is_house(folder / name))


def plan_in(path: Path) -> tuple[str, ...]:
    """Keys of the measures in a plan that the page kept as a file.

    Raises
    ------
    HouseError
        When it is no such file.
    """
    try:
        content: Any = json.loads(path.read_bytes()[:MOST_BYTES])
        keys = content["ticked"]
    except (OSError, ValueError, RecursionError, KeyError, TypeError) as error:
        raise _no_plan(path) from error
    if not isinstance(keys, list) or not all(isinstance(key, str) for key in keys):
        raise _no_plan(path)
    return tuple(keys)


def leakage_in(path: Path) -> str:
    """Blower-door reading after the work, as it was typed into ``after.toml``; empty where none was.

    Raises
    ------
    HouseError
        When the file cannot be read.
    """
    try:
        text = toml_table(path, "file of the check after the work", MOST_BYTES).get("leakage", "")
    except InputError as error:
        raise HouseError(f"{path.name}: {error}") from error
    if not isinstance(text, str):
        raise HouseError(told("job_folder.leakage", file=path.name, text=repr(text)))
    return text


def _in_folder(folder: Path) -> JobFiles:
    house = _house_in(folder)
    return JobFiles(
        folder=folder,
        house=house,
        bills=_tables(folder, "bills", BILL_ENDINGS),
        bill_weather=_there(folder / "bill_weather.csv"),
        prices=_there(folder / "prices.toml"),
        plan=_there(folder / PLAN),
        notes=_first(folder / name for name in NOTES),
        bids=_tables(folder, "bids", BID_ENDINGS),
        bills_after=_first(folder / f"bills_after{ending}" for ending in BILL_ENDINGS),
        after=_there(folder / "after.toml"),
        photos=_there(photos_path(house)),
        tests=_all_in(folder / "tests"),
    )


def _house_in(folder: Path) -> Path:
    names = _houses(folder)
    if not names:
        raise HouseError(told("job_folder.no_house", folder=folder))
    if len(names) > 1:
        raise HouseError(
            told(
                "job_folder.houses",
                folder=folder,
                count=len(names),
                known=", ".join(names[:5]),
                house=HOUSE,
            )
        )
    return folder / names[0]


def _tables(folder: Path, name: str, endings: tuple[str, ...]) -> tuple[Path, ...]:
    """Files of a name, or in a folder of that name, with one of some endings."""
    one = [folder / f"{name}{ending}" for ending in endings]
    several = [p for p in _all_in(folder / name) if p.suffix.lower() in endings]
    return tuple(path for path in (*one, *several) if path.is_file())


def _is_house(path: Path) -> bool:
    return bool(_MARK.search(path.read_bytes()[:MOST_BYTES]))


def _there(path: Path) -> Path | None:
    return path if path.is_file() else None


def _first(paths: Iterable[Path]) -> Path | None:
    return next((path for path in paths if path.is_file()), None)


def _all_in(folder: Path) -> tuple[Path, ...]:
    if not folder.is_dir():
        return ()
    return tuple(sorted(p for p in folder.iterdir() if p.is_file() and not p.name.startswith(".")))


def _no_plan(path: Path) -> HouseError:
    return HouseError(told("job_folder.no_plan", file=path.name))
