"""The one way in which the program writes a file: whole, to a new name, then into place."""

import os
import tempfile
from pathlib import Path

NEW_FILE_MODE = 0o666


def write_whole(path: str | Path, content: str | bytes) -> Path:
    """Write a file so that a crash leaves the old one or the new one.

    A link is followed, and the rights of a file that is there already are kept.

    Parameters
    ----------
    path : str or Path
        File to write; its folder must be there.
    content : str or bytes
        All of the file; text is written as UTF-8.

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
    data = content.encode("utf-8") if isinstance(content, str) else content
    mode = _mode_of(place)
    handle, temporary = tempfile.mkstemp(dir=place.parent, prefix=f".{place.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(mode)
        Path(temporary).replace(place)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
    return path


def _mode_of(place: Path) -> int:
    if place.exists():
        return place.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return NEW_FILE_MODE & ~mask
