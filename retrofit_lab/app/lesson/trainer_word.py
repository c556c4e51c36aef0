"""The word that opens the class view: made when a lesson is served, told to the trainer alone, asked for later."""

import os
import secrets
from typing import Any

from retrofit_lab.app.shared.surroundings import TRAINER_VARIABLE

MOST_LETTERS = 100


def new_word() -> str:
    """A word that no one guesses, for the address of the class view."""
    return secrets.token_urlsafe(12)


def is_trainers(word: Any) -> bool:
    """Whether a page sent the word that the server printed for the trainer alone."""
    expected = os.environ.get(TRAINER_VARIABLE, "")
    if not expected or not isinstance(word, str) or len(word) > MOST_LETTERS:
        return False
    return secrets.compare_digest(word.encode("utf-8", "replace"), expected.encode())
