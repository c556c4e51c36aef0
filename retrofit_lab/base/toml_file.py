"""Opens a TOML file that a person wrote, bounded in size, with a sentence on what is wrong; it checks no content."""

import tomllib
from pathlib import Path
from typing import Any

from retrofit_lab.base.values import InputError


def toml_table(path: Path, what: str, most_bytes: int) -> dict[str, Any]:
    """Table that a file holds.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it should be, such as ``"house file"``.
    most_bytes : int
        Largest size. [byte]

    Raises
    ------
    InputError
        When it is too large, missing, or no TOML; without the name of the file.
    """
    again = f"Choose a {what}."
    try:
        text = _text(path, what, most_bytes)
    except FileNotFoundError:
        raise InputError("there is no such file. Check the name and the folder.") from None
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"it cannot be read ({error}). {again}") from error
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"it is not a readable {what}: {error}. Fix that line.") from error
    except RecursionError:
        raise InputError(f"its lists or tables are nested too deeply. {again}") from None
    except ValueError as error:  # more digits than Python turns into a number
        raise InputError(f"it is not a readable {what}: {error}. {again}") from error


def _text(path: Path, what: str, most_bytes: int) -> str:
    try:
        size = path.stat().st_size
    except ValueError as error:  # a name with a NUL
        raise InputError(f"it cannot be read ({error}). Check its name.") from error
    if size > most_bytes:
        raise InputError(
            f"it has {size:,} bytes; a {what} has at most {most_bytes:,}. Choose another file."
        )
    return path.read_bytes().decode("utf-8-sig")
