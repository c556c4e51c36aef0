"""The one way in which the program writes a file: whole, to a new name, then into place."""

import os
import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

NEW_FILE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
NEW_FILE_MODE = 0o666
ENDING = ".part"
LEFT_SECONDS = 600.0
"""Age at which a half-written file beside its place was left by a process that was killed. [s]"""
TRIES, PAUSE = 20, 0.1
"""Where a file is held against others while it is read, as for a virus scan: tries, and time between. [s]"""
HELD = os.name == "nt"
LETTERS = 40


def write_whole(path: str | Path, content: str | bytes) -> Path:
    """Write a file so that a crash leaves the old one or the new one.

    A link is followed, and the rights of a file that is there already are kept.

    Parameters
    ----------
    path : str or Path
        File to write; its folder must be there.
    content : str or bytes
        All of the file; text is written as UTF-8, and half a character, as no text should have, as ``?``.

    Returns
    -------
    Path
        The file as it was named.

    Raises
    ------
    OSError
        When the folder or the disk does not take it; the old file is whole then.
    """
    path = Path(path)
    place = path.resolve()
    data = content.encode("utf-8", "replace") if isinstance(content, str) else content
    rights = place.stat().st_mode & 0o777 if place.exists() else None
    with _beside(place) as temporary:
        handle = os.open(temporary, NEW_FILE, NEW_FILE_MODE if rights is None else rights)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if rights is not None:
            temporary.chmod(rights)
        _into_place(temporary, place)
    _settle(place.parent)
    return path


@contextmanager
def _beside(place: Path) -> Iterator[Path]:
    """A new name beside a file; nothing is left of it in the end, nor of those of killed processes."""
    start = f".{place.name[:LETTERS]}."
    for left in place.parent.glob(f"{_literal(start)}*{ENDING}"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > LEFT_SECONDS:
                left.unlink()
    temporary = place.with_name(f"{start}{secrets.token_hex(6)}{ENDING}")
    try:
        yield temporary
    finally:
        temporary.unlink(missing_ok=True)


def _literal(text: str) -> str:
    return "".join(f"[{letter}]" if letter in "*?[" else letter for letter in text)


def _into_place(temporary: Path, place: Path) -> None:
    for turn in range(TRIES if HELD else 1):
        try:
            temporary.replace(place)
        except PermissionError:
            if not HELD or turn == TRIES - 1:
                raise
            time.sleep(PAUSE)
        else:
            return


def _settle(folder: Path) -> None:
    """Have the folder on the disk too, where the system can do so."""
    with suppress(OSError, AttributeError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
