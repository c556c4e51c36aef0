"""The notebooks are thin, hold no outputs, and run."""

import json
from pathlib import Path

import pytest

from retrofit_lab.base.shipped_files import shipped_folder

NOTEBOOKS = sorted(shipped_folder("notebooks").rglob("*.ipynb"))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.name)
def test_notebook_is_thin_and_clean(path: Path) -> None:
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    for cell in cells:
        if cell["cell_type"] == "code":
            lines = [line for line in cell["source"] if line.strip()]
            assert cell["outputs"] == []
            assert len(lines) <= 10
            assert not any(line.startswith(("def ", "class ")) for line in lines)
