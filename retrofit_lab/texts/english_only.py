"""Sentences said in English alone, by the command line, of the program's own files and to code that calls it."""

from retrofit_lab.texts import LANGUAGES, catalog, found

PAGE = "english_only"


def sentence(key: str, /, **values: object) -> str:
    """Sentence of a key, with its blanks filled.

    Examples
    --------
    >>> sentence("savings_combinations.too_many", count=40, most=25)
    '40 measures make too many sets; at most 25 are worked out exactly. Fix or leave out some.'
    """
    return found(catalog(LANGUAGES[0], PAGE), key).format(**values)
