"""What a page does when it is picked from, told anew or asked, each as a function; what follows later is elsewhere."""

from functools import partial
from typing import Any

from retrofit_lab.app.page.background import Piece
from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.following import after, answer_piece, line_piece, starts_pieces
from retrofit_lab.app.page.kept_plans import (
    KeptPlans,
    kept,
    kept_from,
    removed,
    renamed,
)
from retrofit_lab.app.page.page_content import page_content
from retrofit_lab.app.page.panels import panel_named
from retrofit_lab.app.page.plan_file import choice_csv, choice_json, read_choice
from retrofit_lab.app.page.view import PageView, ReportMaker
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.base.values import InputError
from retrofit_lab.texts.refusals import in_language

FILES = {
    "json": ("retrofit-lab-plan.json", "application/json"),
    "csv": ("retrofit-lab-plan.csv", "text/csv;charset=utf-8"),
}


REPORT = ("retrofit-lab-report.zip", "application/zip")


def _or_why(maker: ReportMaker, *how: Any) -> tuple[bytes, bool] | InputError:
    """A report, or what is wrong with what it is made of."""
    try:
        return maker(*how)
    except InputError as error:
        return error


def tell(page: PageView) -> None:
    """Say everything in the chosen language and units."""
    page.told, state = page.telling(), page.state
    page.house = HouseDrawing(page.told)
    nothing = state.study.plan(())
    content = page_content(page.told, nothing, page.house.parts)
    lead = page.told.say("start.lead", now=dollars(nothing.before.cost))
    with page.hold_sync():
        page.units, page.language, page.anyway = state.units, state.language, list(state.anyway)
        page.starts = {"lead": lead, "items": []}
        page.line, page.said, page.plan, page.sure = [], {}, {}, {}
        page.answers, page.panels = {}, {}
        page.show()
        page.show_choices()
        made = page.maker is not None
        page.page = {**content, "drawing": page.house.shape(), "makes_report": made}
    page.afterwards.begin(after(page))


def tick(page: PageView, keys: list[Any]) -> None:
    """Take these measures as the plan, and say which of them could not be."""
    before = page.state.ticked
    newest = keys[-1] if keys and isinstance(keys[-1], str) else ""
    whole = page.state.choose(keys)
    moved = set(before) ^ set(page.state.ticked)
    page.show(newest if newest in moved else next(iter(moved), "") if len(moved) == 1 else "")
    if page.state.dropped:
        dropped = page.told.names(page.state.dropped)
        kept_one = page.told.name(newest) if newest in page.told.titles else ""
        page.say("note.conflict", dropped=dropped, kept=kept_one)
    elif not whole:
        page.say("note.unknown", problem=True)
    page.afterwards.begin(after(page))


def _make_report(page: PageView, _: Any) -> None:
    """Make the report of the plan as it is now: files in one, written nowhere; picks wait for none of it."""
    maker, state = page.maker, page.state
    if maker is None:
        raise InputError(page.told.say("note.not_understood"))
    if page.reporting:
        return
    how = state.study, state.result.ticked, state.language, state.units
    page.reporting = True
    page.say("note.report_making")
    page.reports.add(
        {"report": Piece(work=lambda: _or_why(maker, *how), show=partial(_hand_out, page))}
    )


def _hand_out(page: PageView, made: tuple[bytes, bool] | InputError) -> None:
    page.reporting = False
    if isinstance(made, InputError):
        why = in_language(made, page.state.language)
        page.put(f"{page.told.say('note.report_failed')} {why}", problem=True)
        return
    packed, printed = made
    page.say("note.report_made" if printed else "note.report_unprinted")
    name, kind = REPORT
    page.send({"kind": "file", "name": name, "type": kind}, buffers=[packed])


def _send_library(page: PageView, _content: Any) -> None:
    page.send_library()


def _ask(page: PageView, content: Any) -> None:
    panel = panel_named(content.get("panel"))
    if panel:
        page.asked[panel.key] = content.get("values")
        page.afterwards.add({f"panel {panel.key}": answer_piece(page, panel)})


def _close(page: PageView, content: Any) -> None:
    panel = panel_named(content.get("panel"))
    if panel:
        page.asked.pop(panel.key, None)
        page.afterwards.drop(f"panel {panel.key}")


def _ask_line(page: PageView, _content: Any) -> None:
    if not page.line and not page.line_wanted:
        page.line_wanted = True
        page.afterwards.add({"line": line_piece(page)})


def _ask_starts(page: PageView, _content: Any) -> None:
    """Begin with the plans to start from; no one waits for them who does not look at the page."""
    page.starts_wanted = True
    page.afterwards.add(starts_pieces(page))


def _keep(page: PageView, content: Any) -> None:
    numbered = page.told.words.texts["kept"]["number"]
    page.set_kept(kept(page.state.kept, content.get("name"), page.state.ticked, numbered))
    page.say("note.kept", name=page.state.kept[-1].name)


def _rename(page: PageView, content: Any) -> None:
    page.set_kept(renamed(page.state.kept, content.get("place"), content.get("name")))
    page.say("note.renamed", name=page.state.kept[content["place"]].name)


def _remove(page: PageView, content: Any) -> None:
    before = page.state.kept
    page.set_kept(removed(before, content.get("place")))
    page.say("note.removed", name=before[content["place"]].name)


def _kept_from(page: PageView, sent: Any) -> KeptPlans:
    return kept_from(sent, page.state.usable, page.told.words.texts["kept"]["number"])


def _take_link(page: PageView, content: Any) -> None:
    page.set_kept(_kept_from(page, content.get("kept")))


def _download(page: PageView, content: Any) -> None:
    wanted = content.get("format")
    if not isinstance(wanted, str) or wanted not in FILES:
        raise InputError(page.told.say("note.not_understood"))
    state, expected = page.state, page.real.of_plan(page.state.result)
    text = (
        choice_csv(page.told, state.result, expected)
        if wanted == "csv"
        else choice_json(state.study, state.result, expected, state.kept)
    )
    name, kind = FILES[wanted]
    page.send({"kind": "file", "name": name, "type": kind, "text": text})


def _open(page: PageView, content: Any) -> None:
    opened = read_choice(content.get("text"), page.told, page.real)
    page.set_kept(_kept_from(page, opened.kept))
    tick(page, list(opened.ticked))
    page.put(opened.message)


ACTIONS = {
    "library": _send_library,
    "ask": _ask,
    "close": _close,
    "line": _ask_line,
    "starts": _ask_starts,
    "keep": _keep,
    "rename": _rename,
    "remove": _remove,
    "link": _take_link,
    "download": _download,
    "report": _make_report,
    "open": _open,
}
"""What a page may ask for, beside picking and choosing how it is told."""
