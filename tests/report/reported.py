"""Reports of the example houses for tests, made once."""

from datetime import date
from functools import cache

from examples import example

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.shared.words import words
from retrofit_lab.proposals.content import Maker, ReportContent, report_content
from retrofit_lab.proposals.contractors import scopes

DAY = date(2026, 3, 9)
CHOSEN = {
    "alder_street": ("attic_insulation", "duct_mastic", "led_lamps", "tank_wrap", "seal_boots"),
    "wren_cottage": (
        "wall_fill",
        "attic_insulation",
        "duct_mastic",
        "furnace_upgrade",
        "led_lamps",
    ),
}


@cache
def content_of(name: str) -> ReportContent:
    return report_content(example(name), CHOSEN[name], Maker(made_on=DAY))


@cache
def html_of(name: str, language: str = "en") -> str:
    content = content_of(name)
    pages = scopes(example(name), content.proposal.steps, content.result.cautions)
    return report_html(content, words(language), pages)
