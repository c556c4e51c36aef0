"""A few kills at random moments; ``tests/kills/killing.py`` does hundreds."""

import os
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import killing


@pytest.mark.skipif(os.name != "posix", reason="kills of another kind")
@pytest.mark.parametrize(("kind", "count"), [("save", 3), ("form", 2), ("class", 1)])
def test_killed_at_any_moment_nothing_is_left_broken(kind: str, count: int) -> None:
    assert [told for told in killing.kills(kind, count, 1) if told] == []
