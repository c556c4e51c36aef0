"""Puts the address of this repository on GitHub into the Binder links of the README: ``python3 binder/links.py``.

Without an argument the address is that of the remote ``origin``; ``OWNER/NAME`` names another. The links work
once the repository is there for everyone to read. It can be run again in a fork.
"""

import re
import subprocess
import sys
from pathlib import Path

README = Path(__file__).parents[1] / "README.md"
LINK = re.compile(r"(?<=https://mybinder\.org/v2/gh/)[^/\s]+/[^/\s]+(?=/)")
REMOTE = re.compile(
    r"(?:https://(?:[^/@\s]+@)?|ssh://git@|git@)github\.com[/:](?P<owner>[\w.-]+)/(?P<name>[\w.-]+?)(?:\.git)?/?"
)
NAMED = re.compile(r"[A-Za-z\d](?:[A-Za-z\d-]*[A-Za-z\d])?/[\w.-]+")


def origin(folder: Path) -> str:
    """Address of the remote ``origin``, empty without one."""
    command = ["git", "-C", str(folder), "remote", "get-url", "origin"]
    return subprocess.run(command, capture_output=True, text=True, check=False).stdout.strip()


def owner_and_name(address: str) -> str:
    """``OWNER/NAME`` of an address on GitHub or of the two written so; empty for any other."""
    found = REMOTE.fullmatch(address)
    named = f"{found['owner']}/{found['name']}" if found else address
    return named if NAMED.fullmatch(named) else ""


def main(given: list[str], readme: Path = README) -> str:
    """Write the links; what is returned says what was wrong, and is empty otherwise."""
    address = given[0] if given else origin(readme.parent)
    named = owner_and_name(address)
    if not named:
        told = f"{address!r} is no repository on GitHub" if address else "there is no remote origin"
        return f"{told}. Write its owner and name: python3 binder/links.py OWNER/NAME"
    text, count = LINK.subn(named, readme.read_text(encoding="utf-8"))
    readme.write_text(text, encoding="utf-8")
    print(f"{count} links of {readme.name} now open {named} on Binder.")
    return ""


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]) or None)
