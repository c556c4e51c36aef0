"""A class at once: nobody sees another's choice, nobody exceeds the limit, and memory stays within what was announced."""

import pytest
from class_rows import SIZE, lesson_of, rows_of
from rows import lines

from retrofit_lab.app.serve.capacity import SPARE_PAGES

pytestmark = pytest.mark.browser


def test_class_at_once(capsys) -> None:
    seen = lesson_of(SIZE)
    rows = rows_of(seen)
    with capsys.disabled():
        print("\n" + "\n".join(lines(rows)[2:]))
    assert len(seen.waits) == len(seen.ticks) == SIZE
    assert seen.mixed_up == []
    assert seen.one_more == 503
    assert seen.most_kernels <= SIZE + SPARE_PAGES
    missed = [row.cells() for row in rows if row.steady and not row.met]
    assert not missed
