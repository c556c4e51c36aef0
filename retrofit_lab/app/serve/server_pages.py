"""The small pages of the server itself, in the visitor's language: who wants in, and why nothing else is shown."""

from collections.abc import Mapping
from html import escape
from math import ceil

from retrofit_lab.texts import LANGUAGES, catalog

FULL, NO_DISK = 503, 507
TRY_AGAIN = 20.0
"""After so long a page that waits for a place asks again. [s]"""
PROBLEMS = {
    FULL: "full",
    403: "not_here",
    404: "not_found",
    414: "too_long",
    429: "too_many",
    NO_DISK: "disk",
}
STYLE = (
    "body { margin: 3rem auto; max-width: 40rem; padding: 0 1rem; background: #fbfaf7; color: #1c1c1c; "
    'font: 18px/1.5 Verdana, "DejaVu Sans", "Segoe UI", sans-serif; } '
    "label { display: block; font-weight: bold; } "
    "input, button { font: inherit; font-size: 1.4rem; min-height: 3rem; padding: 0.2rem 0.6rem; "
    "border: 2px solid #767676; border-radius: 4px; max-width: 100%; box-sizing: border-box; } "
    "input { width: 22rem; margin: 0.4rem 0 0.8rem; } "
    "button { background: #00507d; border-color: #00507d; color: #fff; cursor: pointer; } "
    "[role=alert] { border-left: 5px solid #a8470c; padding-left: 0.7rem; } "
    "a { color: #00507d; display: inline-block; padding: 0.3rem 0; }"
)


def language_of(asked: str, accepted: str) -> str:
    """The language that was asked for, or the first of a browser's that we speak."""
    spoken = [asked, *(part.split(";")[0].strip().lower()[:2] for part in accepted.split(","))]
    return next((one for one in spoken if one in LANGUAGES), LANGUAGES[0])


def problem_page(status: int, language: str = LANGUAGES[0]) -> str:
    """A whole page that says why nothing else is shown, with a way to try again."""
    texts = catalog(language, "server")["problem"]
    said, again = (escape(texts[key]) for key in (PROBLEMS.get(status, "failed"), "again"))
    body = f'<p role="alert">{said}</p><p><a href="">{again}</a></p>'
    # a place may be free soon: who waits comes in without asking
    head = f'<meta http-equiv="refresh" content="{TRY_AGAIN:.0f}">' if status == FULL else ""
    return _page(language, texts["heading"], body, head)


def entry_page(language: str, said: str, form: Mapping[str, str], *, seconds: float = 0.0) -> str:
    """A whole page that asks for the two words.

    Parameters
    ----------
    language : str
        Of the visitor.
    said : str
        Key of the sentence on the last try; empty at first.
    form : mapping
        ``field`` and ``value`` that guard the form, and ``place``, the path that is opened afterwards.
    seconds : float
        How long to wait after too many tries. [s]
    """
    texts = catalog(language, "server")["entry"]
    word = {name: escape(text.format(seconds=ceil(seconds))) for name, text in texts.items()}
    alert = f'<p role="alert">{word[said]}</p>' if said else ""
    hidden = "".join(
        f'<input type="hidden" name="{escape(name)}" value="{escape(value)}">'
        for name, value in ((form["field"], form["value"]), ("next", form["place"]))
    )
    other = next(one for one in LANGUAGES if one != language)
    return _page(
        language,
        texts["heading"],
        f'{alert}<form method="post" action="/enter?language={language}">{hidden}'
        f'<label for="words">{word["ask"]}</label>'
        '<input id="words" name="words" required autofocus autocomplete="off" autocapitalize="none" '
        f'spellcheck="false" maxlength="100" aria-describedby="help"><br><button>{word["button"]}</button>'
        f'<p id="help">{word["help"]}</p></form>'
        f'<p><a lang="{other}" href="/enter?language={other}">{word["other"]}</a></p>',
    )


def _page(language: str, heading: str, body: str, head: str = "") -> str:
    return (
        f'<!DOCTYPE html>\n<html lang="{language}"><head><meta charset="utf-8"><title>Retrofit Lab</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<link rel="icon" href="data:;base64,="><style>{STYLE}</style>{head}</head>'
        f"<body><main><h1>{escape(heading)}</h1>{body}</main></body></html>\n"
    )
