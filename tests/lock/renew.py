"""Writes the locks again: every package that the checks and the served page need, its version and its hashes.

``python tests/lock/renew.py`` needs ``uv`` (``pip install uv``). ``ci.txt`` holds what the checks need on every
system, ``binder/requirements.txt`` what a served page needs. Look at what changed before it is committed.
"""

import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
CI, PAGE = ROOT / "tests/lock/ci.txt", ROOT / "binder/requirements.txt"
HEAD = "# Made by tests/lock/renew.py from pyproject.toml; do not change by hand.\n"
PYTHON = "3.11"


def build_tools() -> list[str]:
    """What the package itself is built with; it is installed without fetching anything else."""
    table = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return [*table["build-system"]["requires"], "editables>=0.5"]


def locked(*arguments: str) -> str:
    """Versions and hashes, without a word on where they were looked up."""
    command = [
        sys.executable, "-m", "uv", "pip", "compile", "--quiet", "--universal", "--generate-hashes",
        "--no-annotate", "--no-header", "--no-emit-index-url", "--no-emit-find-links", "--python-version",
        PYTHON, *arguments, "pyproject.toml", "-",
    ]  # fmt: skip
    tools = "\n".join(build_tools())
    done = subprocess.run(
        command, cwd=ROOT, input=tools, text=True, check=True, capture_output=True
    )
    return done.stdout


def main() -> None:
    """Write both."""
    CI.write_text(HEAD + locked("--group", "dev"), encoding="utf-8")
    PAGE.write_text(HEAD + locked(), encoding="utf-8")


if __name__ == "__main__":
    main()
