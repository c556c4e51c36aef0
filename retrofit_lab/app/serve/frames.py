"""Looks at a message of a page before anything acts on it: counts, offsets and sizes; not what it means."""

import itertools
import json
from typing import Any

PARTS = 12
"""Parts that a message may have; a page's have six, and some more where a widget sends buffers."""
WORD = 8
STATE_TARGET = "jupyter.widget.control"
"""The one comm that a page opens by itself: it asks for the state of all widgets."""


def message_parts(message: bytes) -> list[bytes] | None:
    """Channel, header, parent header, metadata and content of a packed message, or None where it is none.

    The offsets must start behind their own list, rise, and end within the message; the count is looked at before
    anything is made of it.
    """
    count = int.from_bytes(message[:WORD], "little")
    if not 6 <= count <= PARTS + 2 or len(message) < WORD * (count + 1):
        return None
    offsets = [
        int.from_bytes(message[WORD * place : WORD * (place + 1)], "little")
        for place in range(1, count + 1)
    ]
    if offsets[0] < WORD * (count + 1) or offsets[-1] > len(message):
        return None
    if any(later < earlier for earlier, later in itertools.pairwise(offsets)):
        return None
    return [message[start:end] for start, end in itertools.pairwise(offsets)]


def header_and_content(message: bytes | str, *, packed: bool) -> tuple[dict[str, Any], Any] | None:
    """Header and content of a message, or None where it is no message at all.

    Parameters
    ----------
    message : bytes or str
        As it came over the connection.
    packed : bool
        Whether the connection speaks the newer way, with an offset for each part.
    """
    try:
        if packed:
            parts = message_parts(message) if isinstance(message, bytes) else None
            return _of_a_header(json.loads(parts[1]), parts[4]) if parts else None
        # the older way of sending buffers is used by no page of ours
        whole = json.loads(message) if isinstance(message, str) else {}
        return _of_a_header(whole["header"], whole.get("content"))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _of_a_header(header: Any, content: Any) -> tuple[dict[str, Any], Any] | None:
    return (header, content) if isinstance(header, dict) else None


def opens_only_state(content: Any) -> bool:
    """Whether the content of an opening message asks for the state of the widgets, and makes nothing new."""
    try:
        table = json.loads(content) if isinstance(content, bytes | str) else content
    except (ValueError, RecursionError):
        return False
    return isinstance(table, dict) and table.get("target_name") == STATE_TARGET
