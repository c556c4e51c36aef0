"""Lays a report out as one self-contained HTML text; every word that a person typed is escaped."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from retrofit_lab.money.terms import fuels
from retrofit_lab.presentation.report import view_house, view_measures
from retrofit_lab.presentation.report.bids import BidTable
from retrofit_lab.presentation.report.bills_beside import BillRow
from retrofit_lab.presentation.report.content import ReportContent
from retrofit_lab.presentation.report.contractors import Scope
from retrofit_lab.presentation.report.words import Words

TEMPLATES = Path(__file__).parent / "templates"
SECTIONS = (
    "summary", "safety", "findings", "uses", "recommended", "together", "considered", "weekend",
    "trades", "bids", "after", "basis", "interest",
)  # fmt: skip
TRY = "try"


def report_html(
    content: ReportContent,
    words: Words,
    scopes: Sequence[Scope] = (),
    *,
    bids: BidTable | None = None,
    bills: Sequence[BillRow] = (),
    bills_file: str = "",
    photos: Sequence[Any] = (),
    leave_behind: str = "",
    scripts: str = "",
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
    bids : BidTable, optional
        Bids that came in; without them an empty table to fill by hand.
    bills : sequence of BillRow
        Bills beside the model, from the file named ``bills_file``.
    photos : sequence of Photo
        Pictures of the walk.
    leave_behind, scripts : str
        Markup of the part that stays alive, made by `leave_behind`; trusted.
    """
    titles = view_measures.titles_of(content, words)
    template = _environment().get_template("report.html.j2")
    return template.render(
        content=content,
        words=words,
        say=words.say,
        style=Markup((TEMPLATES / "report.css").read_text(encoding="utf-8")),  # noqa: S704 - our own file
        made=_made(content, words),
        sections=SECTIONS + ((TRY,) if leave_behind else ()),
        summary=view_house.summary(content, words),
        safety=view_house.safety(content, words),
        findings=view_house.findings(content, words),
        photos=photos,
        uses=view_house.uses(content, words),
        bills=view_house.bills(bills, bills_file, words),
        recommended=view_measures.recommended(content, words, titles),
        together=view_measures.together(content, words, titles),
        considered=view_measures.considered(content, words, titles),
        weekend=view_measures.weekend(content, words, titles),
        trades=view_measures.trades(content, scopes, words, titles),
        bids=view_measures.bid_table(content, bids, words, titles),
        after=_after(content, words),
        basis=view_house.basis(content, words),
        leave_behind=Markup(leave_behind),  # noqa: S704 - escaped where it was made
        scripts=Markup(scripts),  # noqa: S704 - escaped where it was made
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
    maker = content.maker
    day = words.day(maker.made_on)
    return (
        words.say("page.made_by", day=day, by=maker.by)
        if maker.by
        else words.say("page.made", day=day)
    )


def _after(content: ReportContent, words: Words) -> dict[str, Any]:
    before, expected = (f"{flow:,.0f}" for flow in content.leakage)
    result = content.result
    rows = []
    for row in content.prices:
        unit = words.word(fuels()[row.fuel].unit)
        amounts = (result.before.fuel_total(row.fuel), result.after.fuel_total(row.fuel))
        rows.append((words.say(f"fuel.{row.fuel}"), *(f"{a:,.0f} {unit}" for a in amounts), ""))
    saving = words.saving(result.saved, content.order.saving)
    return {
        "blower": words.say("after.blower_line", before=before, expected=expected),
        "rows": rows,
        "range": words.say("after.range", saving=saving),
    }
