"""Two spoken words that let people in: made here, compared here, wrong tries counted here; no page and no server."""

import secrets
import time
import unicodedata
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache

from retrofit_lab.base.shipped_files import data_path

WITHIN = 60.0
"""Time over which wrong tries are counted. [s]"""
OF_ONE, OF_ALL = 8, 40
"""Wrong tries from one address, and from all together, within that time.

With 264 words there are 69,432 codes: forty a minute would need ten hours to try half of them.
"""
LONGEST = 200


@cache
def spoken_words() -> tuple[str, ...]:
    """Words that are easy to say, hear and spell."""
    return tuple(data_path("spoken_words.txt").read_text(encoding="ascii").split())


def new_code() -> str:
    """Two different words that no one guesses, joined by a blank."""
    words = spoken_words()
    first = secrets.choice(words)
    return f"{first} {secrets.choice([word for word in words if word != first])}"


def same_code(given: str, code: str) -> bool:
    """Whether someone gave the two words, however they wrote them."""
    if not code:
        return False
    return secrets.compare_digest(_letters(given).encode(), _letters(code).encode())


def _letters(text: str) -> str:
    """Letters of a text, without accents, capitals, blanks and hyphens."""
    plain = unicodedata.normalize("NFKD", text[:LONGEST])
    return "".join(letter for letter in plain.lower() if letter.isalpha())


@dataclass(slots=True)
class Tries:
    """Wrong tries of the last minute, by whom; ``clock`` tells the time. [s]"""

    clock: Callable[[], float] = time.monotonic
    _missed: deque[tuple[float, str]] = field(default_factory=deque)

    def missed(self, who: str) -> None:
        """Count a wrong try."""
        self._missed.append((self.clock(), who))

    def wait(self, who: str) -> float:
        """How long someone must wait before the next try; 0 where they need not. [s]"""
        now = self.clock()
        while self._missed and now - self._missed[0][0] >= WITHIN:
            self._missed.popleft()
        theirs = [when for when, name in self._missed if name == who]
        over = [
            times[-most]
            for times, most in ((theirs, OF_ONE), ([when for when, _ in self._missed], OF_ALL))
            if len(times) >= most
        ]
        return max((when + WITHIN - now for when in over), default=0.0)
