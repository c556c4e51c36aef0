"""Reads a number as people write an answer: with R- or $, commas of either kind, brackets, words for minus."""

import re

_BLANK = " '\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}"
DIGITS = re.compile(rf"\d{{1,3}}(?:[{_BLANK}]\d{{3}})+(?:[.,]\d+)?(?!\d)|\d[\d.,]*|[.,]\d+")
"""Digits, with points and commas between them; blanks part groups of three."""
GROUPS = r"[1-9]\d{{0,2}}(?:[{mark}]\d{{3}})+"
_HYPHEN = "-\N{MINUS SIGN}\N{EN DASH}\N{NON-BREAKING HYPHEN}"
UNITS = re.compile(
    r"(?<![A-Za-z])(?:ft|in|m|cm|dm)\s?[23]\b|\b[bB]tu\b|\bCO2\b|\bPa\s*$|\ba\s+(?:day|month|year)\b",
    re.IGNORECASE,
)
"""What holds digits or letters and is no number."""
RSI = re.compile(rf"\b(?:RSI|R|U)\s*[{_HYPHEN}]?\s*(?=[\d.,])", re.IGNORECASE)
"""R-9.04 and U-0.3: the hyphen belongs to the letter."""
LESS = re.compile(
    r"(?:^|[\s(=:])(?:minus|negative|menos|negativo)\s*\$?\s*(?=[\d.,])"
    rf"|[{_HYPHEN}]\s*\$?\s*(?=[\d.,])",
    re.IGNORECASE,
)
IN_BRACKETS = re.compile(r"\(\s*\$?\s*(?=[\d.,])[^()]*\)")
POWER = re.compile(r"(?<=\d)[eE][+-]?\d+")


class UnclearError(ValueError):
    """A text with more than one number, or with points and commas that make none."""


def read_typed_number(text: str) -> float | None:
    """The number that was typed, or None when there is none; the likelier where a comma can be read in two ways.

    Raises
    ------
    UnclearError
        When there is more than one.

    Examples
    --------
    >>> [read_typed_number(text) for text in ("R-9.04", "-$825", "(825)", "minus 825", "6,04", "1,234.5 sq ft")]
    [9.04, -825.0, -825.0, -825.0, 6.04, 1234.5]
    """
    found = typed_readings(text)
    return found[0] if found else None


def typed_readings(text: str) -> tuple[float, ...]:
    """Numbers that a text may stand for, the likeliest first.

    A comma before three digits parts thousands in the United States and decimals in much of Latin America.

    Raises
    ------
    UnclearError
        When there is more than one number, or points and commas that make none.

    Examples
    --------
    >>> typed_readings("1,234"), typed_readings("0,345"), typed_readings("none")
    ((1234.0, 1.234), (0.345,), ())
    """
    plain = RSI.sub("", UNITS.sub(" ", text.strip()))
    if POWER.search(plain):
        return ()
    found = DIGITS.findall(plain)
    if not found:
        return ()
    if len(found) > 1:
        raise UnclearError(text)
    sign = -1.0 if LESS.search(plain) or IN_BRACKETS.search(plain) else 1.0
    return tuple(sign * value for value in _readings(found[0].rstrip(".,"), text))


def _readings(digits: str, text: str) -> tuple[float, ...]:
    """Values of digits with points, commas and blanks between them."""
    written = re.sub(f"[{_BLANK}]", "", digits)
    last = max(written.rfind("."), written.rfind(","))
    if last < 0:
        return (float(written),)
    mark, other = written[last], "," if written[last] == "." else "."
    if other in written:
        if not re.fullmatch(GROUPS.format(mark=other), written[:last]):
            raise UnclearError(text)
        return (float(written.replace(other, "").replace(mark, ".")),)
    grouped = re.fullmatch(GROUPS.format(mark=mark), written)
    if written.count(mark) > 1:
        if not grouped:
            raise UnclearError(text)
        return (float(written.replace(mark, "")),)
    decimal = float(written.replace(mark, "."))
    return (float(written.replace(",", "")), decimal) if grouped and mark == "," else (decimal,)
