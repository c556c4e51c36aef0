"""What is unlikely in a house and should be looked at; how it is found stands elsewhere."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something unlikely that a person should look at; the work goes on."""

    path: str
    sentence: str
