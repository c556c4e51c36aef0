"""Pictures of the walk, put into the page itself; which they are is listed beside the house file."""

import base64
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from retrofit_lab.base.values import InputError
from retrofit_lab.house.photos import Photo, load_photos
from retrofit_lab.house.pictures import without_place
from retrofit_lab.texts.refusals import told

MOST_BYTES = 3_000_000
"""Size of one picture that is put into a page; larger ones make it slow to open."""
MOST_ALTOGETHER = 30_000_000
STARTS = {
    b"\xff\xd8\xff": "image/jpeg",
    b"\x89PNG\r\n\x1a\n": "image/png",
    b"GIF8": "image/gif",
    b"RIFF": "image/webp",
}
"""First bytes of the kinds of pictures that a browser shows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One picture as an address that holds it, with its caption and the stop of the walk."""

    address: str
    caption: str
    stop: str = ""


def pictures(house_file: Path) -> tuple[Picture, ...]:
    """Pictures that belong to a house file, in the order of their list, without the place where they were taken.

    One that is not there any more has no address, and its caption names its file.

    Raises
    ------
    InputError
        When one of them is too large or no picture.
    """
    return tuple(_pictures(house_file))


def _pictures(house_file: Path) -> Iterator[Picture]:
    room = MOST_ALTOGETHER
    for photo in load_photos(house_file):
        path = house_file.parent / photo.file
        if not path.exists():
            yield Picture(address="", caption=f"{_caption(photo)} ({photo.file})", stop=photo.stop)
            continue
        content = without_place(_content(path))
        room -= len(content)
        if room < 0:
            raise InputError(
                told("report_pictures.together", file=house_file.name, most=f"{MOST_ALTOGETHER:,}")
            )
        address = f"data:{_kind(path, content)};base64,{base64.b64encode(content).decode('ascii')}"
        yield Picture(address=address, caption=_caption(photo), stop=photo.stop)


def _caption(photo: Photo) -> str:
    return photo.note or Path(photo.file).stem.replace("_", " ")


def _content(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise InputError(told("report_pictures.large", file=path.name, most=f"{MOST_BYTES:,}"))
        return path.read_bytes()
    except OSError as error:
        raise InputError(told("report_pictures.unread", file=path.name, why=error)) from error


def _kind(path: Path, content: bytes) -> str:
    for start, kind in STARTS.items():
        if content.startswith(start):
            return kind
    raise InputError(told("report_pictures.kind", file=path.name))
