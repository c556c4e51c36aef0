"""Keeps a house on disk while it is being recorded: the file, and the versions that stood there before.

The house file itself is read and written in file.py.
"""

import re
from pathlib import Path

from retrofit_lab.base.atomic_write import write_whole
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.file import save_house
from retrofit_lab.texts.refusals import told

MOST_VERSIONS = 20
DRAFT = "draft"
PHOTOS = "photos"
MOST_LISTED = 200


def keep_house(house: House, path: str | Path) -> Path | None:
    """Save a house and keep the file that stood there as a numbered version; returns that version.

    The versions are ``NAME.1.toml``, ``NAME.2.toml`` and so on, the highest number the youngest; the
    oldest go when there are more than `MOST_VERSIONS`.

    Raises
    ------
    HouseError
        When the house cannot stand as it is, or the folder cannot be written to; nothing is changed then.
    """
    path = Path(path)
    check_house(house)
    try:
        version = _keep_version(path)
        save_house(house, path)
    except OSError as error:
        raise HouseError(told("disk.saved", file=path.name, why=error.strerror)) from error
    return version


def versions_of(path: str | Path) -> tuple[Path, ...]:
    """Earlier versions of a house file, the oldest first."""
    path = Path(path)
    pattern = re.compile(re.escape(path.stem) + r"\.(\d+)" + re.escape(path.suffix))
    found = [
        (int(match[1]), other)
        for other in path.parent.glob(f"*{path.suffix}")
        if (match := pattern.fullmatch(other.name))
    ]
    return tuple(other for _, other in sorted(found))


def house_files(folder: str | Path) -> tuple[str, ...]:
    """Names of the house files in a folder, without versions, drafts and lists of photos."""
    aside = re.compile(rf".+\.(?:\d+|{DRAFT}|{PHOTOS})\.toml")
    names = sorted(path.name for path in Path(folder).glob("*.toml"))
    return tuple(name for name in names if not aside.fullmatch(name))[:MOST_LISTED]


def _keep_version(path: Path) -> Path | None:
    if not path.is_file():
        return None
    versions = versions_of(path)
    last = int(versions[-1].stem.rpartition(".")[2]) if versions else 0
    version = path.with_name(f"{path.stem}.{last + 1}{path.suffix}")
    write_whole(version, path.read_bytes())
    version.chmod(path.stat().st_mode & 0o777)
    for old in (*versions, version)[:-MOST_VERSIONS]:
        old.unlink(missing_ok=True)
    return version
