"""Pictures that a phone sends: checked, turned upright, made smaller, and without the place where they were taken."""

import base64
import binascii
import io
import struct
import zlib
from datetime import datetime
from pathlib import Path
from typing import Any

from retrofit_lab.base.atomic_write import write_whole
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.photos import MOST_LETTERS, Photo
from retrofit_lab.texts.refusals import told

MOST_BYTES = 8_000_000
MOST_PIXELS = 40_000_000
LONGEST_SIDE = 1600
"""Enough to read a nameplate, small enough for a report by mail. [pixel]"""
QUALITY = 82
THUMB_SIDE = 160
FOLDER = "photos"


def keep_picture(data: Any, name: str, house_file: Path, stop: str, note: str = "") -> Photo:
    """Write a picture beside the house file and say where it is.

    Whatever kind it was (JPEG, PNG, HEIC, WebP), it becomes a plain JPEG: nothing but the pixels is kept.

    Raises
    ------
    HouseError
        When it is no picture, too large, or cannot be written.
    """
    small = _small_jpeg(_bytes_of(data), name)
    folder = house_file.parent / FOLDER
    stamp = datetime.now().astimezone().strftime("%Y%m%d_%H%M%S")
    path, number = folder / f"{stop}_{stamp}.jpg", 2
    while path.exists():
        path, number = folder / f"{stop}_{stamp}_{number}.jpg", number + 1
    try:
        folder.mkdir(exist_ok=True)
        write_whole(path, small)
    except OSError as error:
        raise HouseError(told("picture.written", why=error.strerror)) from error
    return Photo(file=f"{FOLDER}/{path.name}", stop=stop, note=note[:MOST_LETTERS])


def without_place(content: bytes) -> bytes:
    """The same picture without what a camera wrote beside the pixels, its place above all; upright."""
    from PIL import Image, ImageOps  # noqa: PLC0415 - only pictures need it

    try:
        with Image.open(io.BytesIO(content)) as image:
            if not (image.getexif() or {"xmp", "exif", "XML:com.adobe.xmp"} & image.info.keys()):
                return content
            plain = ImageOps.exif_transpose(image).convert("RGB")
    except _unreadable():
        return content
    held = io.BytesIO()
    plain.save(held, "JPEG", quality=QUALITY)
    return held.getvalue()


def thumbnail(path: Path) -> str:
    """A small picture as an address that holds all of it, or nothing where it cannot be read."""
    from PIL import Image, ImageOps  # noqa: PLC0415 - only pictures need it

    try:
        with Image.open(path) as image:
            image.draft("RGB", (2 * THUMB_SIDE, 2 * THUMB_SIDE))
            small = ImageOps.exif_transpose(image).convert("RGB")
            small.thumbnail((THUMB_SIDE, THUMB_SIDE))
    except _unreadable():
        return ""
    held = io.BytesIO()
    small.save(held, "JPEG", quality=70)
    return f"data:image/jpeg;base64,{base64.b64encode(held.getvalue()).decode()}"


def _unreadable() -> tuple[type[Exception], ...]:
    """How the library fails on what is no whole picture."""
    from PIL import Image  # noqa: PLC0415 - only pictures need it

    broken = (
        OSError,
        ValueError,
        SyntaxError,
        LookupError,
        TypeError,
        EOFError,
        struct.error,
        zlib.error,
    )
    return (*broken, MemoryError, Image.DecompressionBombError)


def _bytes_of(data: Any) -> bytes:
    if not isinstance(data, str) or len(data) > MOST_BYTES * 4 // 3 + 100:
        raise HouseError(told("picture.size", most=f"{MOST_BYTES / 1e6:.0f}"))
    try:
        return base64.b64decode(data.partition(",")[2] or data, validate=True)
    except (binascii.Error, ValueError) as error:
        raise HouseError(told("picture.whole")) from error


def _too_large(name: str) -> HouseError:
    return HouseError(told("picture.pixels", name=name[:80], most=f"{MOST_PIXELS / 1e6:.0f}"))


def _small_jpeg(data: bytes, name: str) -> bytes:
    import pillow_heif  # noqa: PLC0415 - only pictures need it
    from PIL import Image, ImageOps  # noqa: PLC0415

    pillow_heif.register_heif_opener()
    try:
        with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP", "HEIF")) as image:
            if image.width * image.height > MOST_PIXELS:
                raise _too_large(name)
            upright = ImageOps.exif_transpose(image).convert("RGB")
            upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    except HouseError:
        raise
    except _unreadable() as error:
        raise HouseError(told("picture.kind", name=name[:80])) from error
    held = io.BytesIO()
    upright.save(held, "JPEG", quality=QUALITY)
    return held.getvalue()
