"""Writes what a person asked for, and tells in a sentence when it cannot be written."""

from pathlib import Path

from retrofit_lab.base import atomic_write
from retrofit_lab.base.values import InputError
from retrofit_lab.texts.english_only import sentence


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
        raise InputError(
            sentence("shared_output_file.cannot_written", path=path, why=error)
        ) from error
