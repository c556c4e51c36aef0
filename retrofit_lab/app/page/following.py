"""What follows a pick by a moment, as pieces of background work in their order; nothing here waits for another."""

from typing import Any

from retrofit_lab.app.page.asking import Asked
from retrofit_lab.app.page.background import Piece
from retrofit_lab.app.page.now_content import sure_content
from retrofit_lab.app.page.panels import PANELS, Panel, answered
from retrofit_lab.app.page.plan_view import plan_content
from retrofit_lab.app.page.starts import STARTS, budget_line, starting_plan, starts_content
from retrofit_lab.app.page.view import PageView
from retrofit_lab.proposals.steps import proposal
from retrofit_lab.proposals.stretches import stretches


def after(page: PageView) -> dict[str, Piece]:
    """What follows a pick by a moment, in its order."""
    # what the next pick asks for comes first: whoever picks fast waits for nothing else
    pieces = {"ahead": _ahead(page), "sure": _how_sure(page), "plan": _plan_piece(page)}
    for panel in PANELS:
        if panel.key in page.asked and (panel.of_ticks or panel.key in page.due):
            pieces[f"panel {panel.key}"] = answer_piece(page, panel)
    if page.line_wanted and not page.line:
        pieces["line"] = line_piece(page)
    return pieces | starts_pieces(page)


def _ahead(page: PageView) -> Piece:
    """What the next pick will ask for, whichever it is."""
    study, ticked = page.state.study, page.state.ticked
    return Piece(work=lambda: study.energies.work_ahead(ticked), show=lambda _done: None)


def _how_sure(page: PageView) -> Piece:
    """How sure the plan is."""
    ticked, said, advice = page.state.ticked, page.told, page.advice
    end = stretches(page.real.of_plan(page.state.result), ticked).end

    def work() -> dict[str, Any]:
        return sure_content(said, ticked, advice.outcome(ticked), end) if ticked else {}

    def show(content: dict[str, Any]) -> None:
        page.sure = content

    return Piece(work=work, show=show)


def _plan_piece(page: PageView) -> Piece:
    """The plan as steps."""
    result, said, advice, real = page.state.result, page.told, page.advice, page.real

    def work() -> dict[str, Any]:
        steps = proposal(advice, result.ticked, sure=False)
        return plan_content(said, steps, real.of_plan(result))

    def show(content: dict[str, Any]) -> None:
        page.plan = content

    return Piece(work=work, show=show)


def starts_pieces(page: PageView) -> dict[str, Piece]:
    """Plans to start from that are not worked out, or not told, yet."""
    told_all = bool(page.starts.get("items")) and len(page.plans) == len(STARTS)
    if told_all or not page.starts_wanted:
        return {}
    lacking = [name for name in STARTS if name not in page.plans]
    return {f"start {name}": _starts_piece(page, name) for name in lacking or STARTS[:1]}


def _starts_piece(page: PageView, name: str) -> Piece:
    """A plan to start from, worked out once, and all that are there in words."""
    said, advice, real, plans = page.told, page.advice, page.real, page.plans

    def work() -> dict[str, Any]:
        if name not in plans:
            plans[name] = starting_plan(advice, name)
        return starts_content(said, real, {one: plans[one] for one in STARTS if one in plans})

    def show(content: dict[str, Any]) -> None:
        page.starts = content

    return Piece(work=work, show=show)


def line_piece(page: PageView) -> Piece:
    """The most that money saves, for every budget."""
    said, advice, real = page.told, page.advice, page.real

    def show(found: list[dict[str, Any]]) -> None:
        page.line = found

    return Piece(work=lambda: budget_line(said, real, advice), show=show)


def answer_piece(page: PageView, panel: Panel) -> Piece:
    """The answer to a question of the page."""
    sent = page.asked[panel.key]
    page.due.add(panel.key)
    asked = Asked(
        advice=page.advice, result=page.state.result, real=page.real, told=page.told, values={}
    )

    def show(content: dict[str, Any]) -> None:
        page.due.discard(panel.key)
        page.answers[panel.key] = content
        page.panels = dict(page.answers)

    return Piece(work=lambda: answered(panel, asked, sent), show=show)
