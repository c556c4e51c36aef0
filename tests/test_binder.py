"""The binder folder installs the project itself beside the locked packages."""

import os
from pathlib import Path

ROOT = Path(__file__).parents[1]


def test_project_itself_is_installed() -> None:
    script = ROOT / "binder/postBuild"
    assert os.access(script, os.X_OK)
    assert "pip install --no-deps --no-build-isolation ." in script.read_text(encoding="utf-8")


def test_top_level_holds_what_was_agreed() -> None:
    agreed = {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "retrofit_lab", "notebooks", "tests",
        "data", "binder", "build", "dist",
    }  # fmt: skip
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found <= agreed
