"""Which photos belong to a house and to which stop: a list beside the house file; no picture is opened here."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from retrofit_lab.base.atomic_write import write_whole
from retrofit_lab.base.toml_file import toml_table
from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import HouseError
from retrofit_lab.texts.refusals import told

FORMAT = "retrofit-lab photos"
VERSION = 1
KINDS = (".jpg", ".jpeg", ".png", ".gif", ".webp")
MOST_PHOTOS = 200
MOST_BYTES = 40_000_000
MOST_LETTERS = 300
MOST_LIST_BYTES = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A picture file beside the house file, the stop of the walk it belongs to, and a note."""

    file: str
    stop: str
    note: str = ""


def photos_path(house_file: str | Path) -> Path:
    """Where the list of photos of a house file stands."""
    path = Path(house_file)
    return path.with_name(f"{path.stem}.photos.toml")


def load_photos(house_file: str | Path) -> tuple[Photo, ...]:
    """Photos of a house; none when there is no list.

    Raises
    ------
    HouseError
        When the list is damaged.
    """
    path = photos_path(house_file)
    if not path.is_file():
        return ()
    try:
        return _photos(toml_table(path, "list of photos", MOST_LIST_BYTES))
    except HouseError:
        raise
    except (InputError, TypeError, KeyError, AttributeError) as error:
        raise HouseError(told("photos.unread", file=path.name, why=error)) from error


def save_photos(photos: Sequence[Photo], house_file: str | Path) -> None:
    """Write the list of photos so that a crash leaves the old list or the new one."""
    import tomli_w  # noqa: PLC0415 - only saving needs it

    path = photos_path(house_file)
    content = {"format": FORMAT, "version": VERSION, "photo": [asdict(photo) for photo in photos]}
    write_whole(path, tomli_w.dumps(content))


def photo_beside(name: str, house_file: str | Path, stop: str, note: str = "") -> Photo:
    """Photo of a file name; a file from another folder is copied beside the house file.

    Raises
    ------
    HouseError
        When there is no such file, or it is no picture.
    """
    folder = Path(house_file).parent
    source = folder / Path(name.strip()[:MOST_LETTERS]).expanduser()
    if source.suffix.lower() not in KINDS:
        raise HouseError(told("picture.ending", name=source.name, allowed=KINDS))
    if not source.is_file():
        raise HouseError(told("picture.no_file", name=name))
    if source.stat().st_size > MOST_BYTES:
        raise HouseError(told("picture.bytes", name=source.name, most=f"{MOST_BYTES:,}"))
    if not source.resolve().is_relative_to(folder.resolve()):
        source = _copied(source, folder)
    file = source.resolve().relative_to(folder.resolve()).as_posix()
    return Photo(file=file, stop=stop, note=note[:MOST_LETTERS])


def pictures_in(folder: str | Path) -> tuple[str, ...]:
    """Names of the pictures in a folder, the youngest first."""
    found = [path for path in Path(folder).iterdir() if path.suffix.lower() in KINDS]
    found.sort(key=lambda path: path.stat().st_mtime, reverse=True)
    return tuple(path.name for path in found[:MOST_PHOTOS])


def _photos(table: dict[str, Any]) -> tuple[Photo, ...]:
    if table.get("format") != FORMAT or table.get("version") != VERSION:
        raise HouseError(told("photos.version", version=VERSION))
    return tuple(_photo(row) for row in table.get("photo", [])[:MOST_PHOTOS])


def _photo(row: dict[str, Any]) -> Photo:
    photo = Photo(**row)
    if not all(isinstance(text, str) for text in (photo.file, photo.stop, photo.note)):
        raise HouseError(told("photos.row", row=repr(row)))
    path = PurePosixPath(photo.file)
    if path.is_absolute() or ".." in path.parts or path.suffix.lower() not in KINDS:
        raise HouseError(told("photos.elsewhere", file=photo.file))
    return photo


def _copied(source: Path, folder: Path) -> Path:
    target, number = folder / source.name, 2
    while target.exists():
        target, number = folder / f"{source.stem}_{number}{source.suffix}", number + 1
    return write_whole(target, source.read_bytes())
