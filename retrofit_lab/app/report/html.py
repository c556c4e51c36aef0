"""Lays a report out as one self-contained HTML text; every word that a person typed is escaped."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from retrofit_lab.app.report import (
    view_bills,
    view_house,
    view_job,
    view_measures,
    view_owner,
    view_photos,
    view_tests,
    view_trades,
)
from retrofit_lab.app.report.pictures import Picture
from retrofit_lab.app.report.view_bills import After
from retrofit_lab.app.shared.sizing_wording import sizing_sentences, sizing_title
from retrofit_lab.app.shared.words import Words
from retrofit_lab.bills.fitting.verdict import foremost
from retrofit_lab.proposals.bids import BidTable
from retrofit_lab.proposals.bills_beside import Bills
from retrofit_lab.proposals.content import ReportContent
from retrofit_lab.proposals.contractors import Scope

TEMPLATES = Path(__file__).parent / "templates"
SECTIONS = (
    "summary", "plan", "trades", "weekend", "safety", "findings", "uses", "recommended", "together",
    "considered", "bids", "after", "basis", "interest", "tests",
)  # fmt: skip
TRY = "try"
LETTER, A4 = "letter", "a4"
PAPERS = (LETTER, A4)
FONTS = 'Arial, "Liberation Sans", Helvetica, sans-serif'


@dataclass(frozen=True, slots=True, kw_only=True)
class Extras:
    """What a report shows beside its content, where there is any.

    Without ``bids`` there is an empty table to fill by hand, without ``bills`` the advice to find them.
    """

    bids: BidTable | None = None
    bills: Bills | None = None
    after: After = field(default_factory=After)
    photos: tuple[Picture, ...] = ()


def report_html(
    content: ReportContent,
    words: Words,
    scopes: Sequence[Scope] = (),
    extras: Extras | None = None,
    *,
    at_home: str = "",
    paper: str = LETTER,
) -> str:
    """The report as HTML text.

    Parameters
    ----------
    content : ReportContent
        What it says.
    words : Words
        Language in which it says so.
    scopes : sequence of Scope
        Work of each trade.
    extras : Extras
        Bids, bills, pictures and what came after the work.
    at_home : str
        File beside it that holds the page for the homeowner, if there is one.
    paper : str
        One of `PAPERS`, for printing.
    """
    extras = extras or Extras()
    titles = view_measures.titles_of(content, words)
    return _rendered(
        "report.html.j2",
        content,
        words,
        paper,
        made=_made(content, words),
        sections=SECTIONS + ((TRY,) if at_home else ()),
        photos=view_photos.photos(extras.photos, words),
        bills=view_bills.bills(extras.bills, words),
        bids=view_measures.bid_table(content, extras.bids, words, titles),
        after=view_bills.after(content, extras.after, words),
        at_home=at_home,
        bill_verdicts=foremost(extras.bills.verdicts if extras.bills else (), words.language),
        **_house_parts(content, words),
        trades=view_trades.trades(content, scopes, words, titles, extras.photos),
        **_measure_parts(content, words, titles),
    )


def _house_parts(content: ReportContent, words: Words) -> dict[str, Any]:
    return {
        "summary": view_house.summary(content, words),
        "stop_work": view_house.stop_work(content, words),
        "safety": view_house.safety(content, words),
        "findings": view_house.findings(content, words),
        "uses": view_house.uses(content, words),
        "basis": view_house.basis(content, words),
        "tests": view_tests.tests(content, words),
        "readings": view_tests.readings(content, words),
        "sizing": sizing_sentences(*content.sizing, words),
        "sizing_title": sizing_title(words),
    }


def _measure_parts(content: ReportContent, words: Words, titles: dict[str, str]) -> dict[str, Any]:
    return {
        "owner": view_owner.owner(content, words, titles),
        "beside": view_owner.beside(content, words),
        "recommended": view_measures.recommended(content, words, titles),
        "together": view_measures.together(content, words, titles),
        "considered": view_measures.considered(content, words, titles),
        "weekend": view_measures.weekend(content, words, titles),
    }


def _style(words: Words, paper: str) -> Markup:
    """Our style with the size of the paper and the words of the footer."""
    own = (TEMPLATES / "report.css").read_text(encoding="utf-8")
    number, of = words.say("page.number"), words.say("page.of")
    footer = f'content: "{number} " counter(page) " {of} " counter(pages); font: 8pt {FONTS};'
    return Markup(f"{own}@page {{ size: {paper}; @bottom-right {{ {footer} }} }}")  # noqa: S704 - our own words


def stop_html(content: ReportContent, words: Words, paper: str = LETTER) -> str:
    """The letter that stops the work, as HTML text; one page that owner and rater sign."""
    return _rendered(
        "stop_work.html.j2",
        content,
        words,
        paper,
        made=_made(content, words),
        stop_work=view_house.stop_work(content, words),
    )


def trade_html(
    content: ReportContent,
    words: Words,
    scope: Scope,
    photos: Sequence[Picture] = (),
    paper: str = LETTER,
) -> str:
    """The page of one trade as HTML text that stands alone."""
    titles = view_measures.titles_of(content, words)
    (trade,) = view_trades.trades(content, [scope], words, titles, photos)
    return _rendered("trade.html.j2", content, words, paper, trade=trade)


def _rendered(
    template: str, content: ReportContent, words: Words, paper: str, **parts: object
) -> str:
    """One of our templates with what every printed page needs, and its own parts."""
    return (
        _environment()
        .get_template(template)
        .render(
            content=content,
            words=words,
            say=words.say,
            style=_style(words, paper),
            who=view_job.who(content, words),
            **parts,
        )
    )


def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        keep_trailing_newline=True,
    )


def _made(content: ReportContent, words: Words) -> str:
    day, by = words.day(content.maker.made_on), content.maker.by or content.job.rater
    return words.say("page.made_by", day=day, by=by) if by else words.say("page.made", day=day)
