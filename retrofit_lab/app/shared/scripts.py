"""Puts a page's script and style together from the files of ``static/``; what pages share is in one file.

The scripts are ES modules, so that an editor, a checker and unit tests can follow their imports. A widget and a
page that is opened from a file take one script: the modules are put one after the other, without the lines that
import from each other and without ``export`` before a declaration. Names must differ, which a test holds.
"""

import re
from pathlib import Path

STATIC = Path(__file__).parent / "static"
SHARED = ("parts.js", "bars.js")
_IMPORT = re.compile(r'^import \{[^}]*\} from "\./[\w.]+";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const|let)\b)", re.MULTILINE)


def page_script(*names: str) -> str:
    """Script of a page: the shared parts, then its own, the last file the one that starts it."""
    return together(*SHARED, *names)


def page_style(*names: str) -> str:
    """Style of a page out of one or more files, later ones over earlier ones."""
    return together(*names)


def together(*names: str) -> str:
    """Text of some files of ``static/``, one after the other, as one module that imports nothing."""
    return "\n".join(_alone((STATIC / name).read_text(encoding="utf-8")) for name in names)


def _alone(text: str) -> str:
    return _EXPORT.sub("", _IMPORT.sub("", text))
