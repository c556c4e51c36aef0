"""What is unlikely in a house and should be looked at; how it is found stands elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from retrofit_lab.texts import LANGUAGES, told


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something unlikely that a person should look at; the work goes on.

    ``path`` names the number in the house file, ``key`` the sentence of ``texts/LANGUAGE/data/unusual.toml``,
    whose blanks ``values`` fill with texts or with `Word`.
    """

    path: str
    key: str
    values: Mapping[str, Any]

    def said(self, language: str = LANGUAGES[0]) -> str:
        """The sentence, without the name of the number in the file."""
        return told(language, "odd", self.key, self.values)

    @property
    def sentence(self) -> str:
        """The sentence behind the name of the number, for the command line."""
        return f"{self.path}: {self.said()}"
