"""Opens a TOML file that a person wrote, bounded in size, with a sentence on what is wrong; it checks no content."""

import re
import tomllib
from pathlib import Path
from typing import Any

from retrofit_lab.base.values import InputError
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import Sentence, told, word

MOST_SHOWN = 60
"""Letters of a line that an error quotes."""


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
    kind = word(what)
    try:
        text = _text(path, what, most_bytes)
    except FileNotFoundError:
        raise InputError(told("file.missing")) from None
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(told("file.unread", why=str(error), kind=kind)) from error
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(told("file.line", kind=kind, **_where(text, error))) from error
    except RecursionError:
        raise InputError(told("file.deep", kind=kind)) from None
    except ValueError as error:  # more digits than Python turns into a number
        raise InputError(told("file.number", kind=kind)) from error


def _where(text: str, error: tomllib.TOMLDecodeError) -> dict[str, object]:
    """What is wrong, the line where, and what stands there; the last line where the file ends too early."""
    message = str(error).partition(" (at ")[0]
    found = re.search(r"\(at line (\d+)", str(error))
    lines = text.splitlines() or [""]
    line = int(found[1]) if found else len(lines)
    shown = lines[min(line, len(lines)) - 1].strip()[:MOST_SHOWN]
    return {"why": _plain(message), "line": line, "text": shown}


def _plain(message: str) -> Word | Sentence:
    """A message of the TOML reader, in words that have a translation; what it names stands behind them."""
    found = re.fullmatch(
        r"(Expected|Illegal character|Found invalid character) ('.{1,6}')", message
    )
    if found:
        return told("file.expected" if found[1] == "Expected" else "file.character", text=found[2])
    return Word("toml", message, message)


def _text(path: Path, what: str, most_bytes: int) -> str:
    try:
        size = path.stat().st_size
    except ValueError as error:  # a name with a NUL
        raise InputError(told("file.name", why=str(error))) from error
    if size > most_bytes:
        raise InputError(
            told("file.large", size=f"{size:,}", kind=word(what), most=f"{most_bytes:,}")
        )
    return path.read_bytes().decode("utf-8-sig")
