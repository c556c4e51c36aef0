"""Says what contractors size equipment by: design loads, ground and water; nothing is worked out here."""

from collections.abc import Iterator

from retrofit_lab.app.shared.words import Words
from retrofit_lab.model.sizing import COOL_ROOM, WARM_ROOM, Sizing
from retrofit_lab.texts import catalog

BTU_PER_TON = 12_000.0
"""Cooling that the trade calls a ton. [Btu/h]"""
DEGREES = "degF"


def sizing_title(words: Words) -> str:
    """What the sentences are about."""
    return str(catalog(words.language, "sizing")["title"])


def sizing_sentences(found: Sizing, done: Sizing, words: Words) -> list[str]:
    """Loads as the house stands and after the work, what they are good for, and ground and water of the place."""
    ground = _say(
        words,
        "ground",
        frost=words.quantity(round(12.0 * found.frost), "inch"),
        ground=_warm(found.ground, words),
        low=_warm(found.mains_low, words),
        high=_warm(found.mains_high, words),
    )
    return [*load_sentences(found, done, words), ground]


def load_sentences(found: Sizing, done: Sizing, words: Words) -> Iterator[str]:
    """Heating and cooling load, each before and after the work, and what they are good for."""
    before, after = found.loads, done.loads
    yield _say(
        words,
        "heating",
        outdoor=_warm(before.cold, words),
        load=_load(before.heating, words),
        after=_load(after.heating, words),
    )
    yield _say(
        words,
        "cooling",
        outdoor=_warm(before.hot, words),
        load=_load(before.cooling, words),
        after=_load(after.cooling, words),
        tons=f"{after.cooling / BTU_PER_TON:.1f}",
        latent=_load(after.latent, words),
    )
    yield _say(words, "method", warm=_warm(WARM_ROOM, words), cool=_warm(COOL_ROOM, words))


def _say(words: Words, key: str, **blanks: str) -> str:
    return str(catalog(words.language, "sizing")[key]).format(**blanks)


def _warm(value: float, words: Words) -> str:
    return words.quantity(round(value), DEGREES)


def _load(value: float, words: Words) -> str:
    return words.quantity(round(value, -2), "Btu/hour")
