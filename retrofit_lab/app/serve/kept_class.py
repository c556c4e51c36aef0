"""What a class is let in by and where its guesses lie, kept over a restart and forgotten after half a day."""

import json
import secrets
import time
from dataclasses import asdict, dataclass
from pathlib import Path

import platformdirs

from retrofit_lab.app.serve.spoken_code import new_code
from retrofit_lab.base.atomic_write import write_whole
from retrofit_lab.base.values import InputError
from retrofit_lab.texts.english_only import sentence

LASTS = 12 * 3600.0
"""Time after the last start until everything of a class is forgotten [s]; a school day."""
FILE = "class.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptClass:
    """One class: its two words, the token of its links, the word of its trainer, and the folder of its guesses."""

    code: str
    token: str
    trainer: str
    folder: Path
    went_on: bool = False


def state_folder() -> Path:
    """Folder of this person where a class is kept."""
    return Path(platformdirs.user_state_path("retrofit-lab", appauthor=False)) / "class"


def kept_class(folder: Path | None = None, *, new: bool = False) -> KeptClass:
    """The class of today, or a new one where there is none or another is wanted.

    Raises
    ------
    InputError
        When the folder cannot be written.
    """
    folder = folder or state_folder()
    words = None if new else _read(folder / FILE)
    try:
        if words is None:
            _forget(folder)
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        made = KeptClass(**(words or _fresh()), folder=folder, went_on=words is not None)
        _write(made)
    except OSError as error:
        raise InputError(
            sentence("serve_kept_class.class_cannot", folder=folder, why=error)
        ) from error
    return made


def _forget(folder: Path) -> None:
    """Delete what a class left; nothing else that may lie there."""
    for path in (folder / FILE, *folder.glob("lesson_*")):
        path.unlink(missing_ok=True)


def _fresh() -> dict[str, str]:
    return {
        "code": new_code(),
        "token": secrets.token_urlsafe(24),
        "trainer": secrets.token_urlsafe(12),
    }


def _write(made: KeptClass) -> None:
    path = made.folder / FILE
    # no one else on this machine may read it, not even for a moment
    path.touch(mode=0o600)
    words = {name: value for name, value in asdict(made).items() if isinstance(value, str)}
    write_whole(path, json.dumps(words))


def _read(path: Path) -> dict[str, str] | None:
    """Words of a class that is not too old; None where there are none that can be used."""
    try:
        if not 0 <= time.time() - path.stat().st_mtime <= LASTS:
            return None
        words = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    names = ("code", "token", "trainer")
    if not isinstance(words, dict) or not all(_word(words.get(name)) for name in names):
        return None
    return {name: words[name] for name in names}


def _word(value: object) -> bool:
    return isinstance(value, str) and len(value) >= 7
