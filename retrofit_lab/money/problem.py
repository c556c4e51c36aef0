"""The error that the rooms of money raise, and the sentence on a key that no one knows."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from retrofit_lab.base.values import InputError, shown_key
from retrofit_lab.texts.refusals import told


class MoneyError(InputError):
    """Terms of money that cannot be used."""


def unknown_keys(path: str, table: Mapping[str, Any], known: Sequence[str]) -> Iterator[str]:
    """A sentence on each key of a table that is none of the known ones."""
    for name in table:
        if name not in known:
            yield told("money.unknown_key", path=path, name=shown_key(name), known=", ".join(known))
