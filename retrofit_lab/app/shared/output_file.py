"""Writes what a person asked for, and tells in a sentence when it cannot be written."""

from pathlib import Path

from retrofit_lab.base import atomic_write
from retrofit_lab.base.values import InputError


def write_output(path: Path, content: str | bytes) -> Path:
    """Write a file whole, or refuse with a sentence.

    Raises
    ------
    InputError
        When the folder or the disk does not take it.
    """
    try:
        return atomic_write.write_whole(path, content)
    except OSError as error:
        raise InputError(f"{path} cannot be written ({error}). Choose another folder.") from error
