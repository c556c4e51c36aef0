"""How full the pages of printed reports are, and whether anything reaches over their edge.

As a command it prints the reports of the fifteen houses, in both languages and on both papers, and tells what is
wrong: ``python tests/report/pages.py FOLDER [--quick] [HOUSE ...]``. Tests print one of them.
"""

import re
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "houses")]

from datetime import date  # noqa: E402

from retrofit_lab.app.report.html import PAPERS, report_html  # noqa: E402
from retrofit_lab.app.shared.pdf import print_pdf  # noqa: E402
from retrofit_lab.app.shared.words import words  # noqa: E402
from retrofit_lab.proposals.content import Maker, ReportContent, report_content  # noqa: E402
from retrofit_lab.proposals.contractors import Scope, scopes  # noqa: E402
from retrofit_lab.proposals.steps import rater_plan  # noqa: E402
from retrofit_lab.study.advice import Advice  # noqa: E402
from retrofit_lab.study.study import Study  # noqa: E402
from retrofit_lab.texts import LANGUAGES  # noqa: E402

DAY = date(2026, 3, 9)
SIDE, TOP, BOTTOM = 39.7, 39.7, 42.5
"""Margins as the style sets them: 14 mm, 15 mm at the bottom. [pt]"""
SLACK = 2.0
LEAST = 1.0 / 3.0
QUICK = (("en", "letter"), ("es", "a4"))
FEW_STEPS, MOST_PAGES, OWNER_PAGES = 8, 12, 2
_WORD = re.compile(
    r'<word xMin="([\d.-]+)" yMin="[\d.-]+" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>'
)
_PAGE = re.compile(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', re.DOTALL)


@dataclass(frozen=True)
class Sheet:
    """One printed page: its text, how full it is [1], and words that reach into its margins."""

    text: str
    full: float
    outside: tuple[str, ...]


def sheets(pdf: Path) -> list[Sheet]:
    """Pages of a PDF, by the words on them."""
    done = subprocess.run(
        ["pdftotext", "-bbox", str(pdf), "-"], check=True, capture_output=True, text=True
    )
    return [
        _sheet(float(w), float(h), _WORD.findall(body)) for w, h, body in _PAGE.findall(done.stdout)
    ]


def _sheet(width: float, height: float, found: Sequence[tuple[str, ...]]) -> Sheet:
    room = height - TOP - BOTTOM
    inside = [word for word in found if float(word[2]) < height - BOTTOM + SLACK]
    lowest = max((float(word[2]) for word in inside), default=TOP)
    far = (
        text
        for left, right, _, text in inside
        if float(left) < SIDE - SLACK or float(right) > width - SIDE + SLACK
    )
    return Sheet(
        text=" ".join(word[3] for word in inside), full=(lowest - TOP) / room, outside=tuple(far)
    )


def first_of(language: str, found: Sequence[Sheet], key: str) -> int:
    """Number of the page on which a section of the report starts."""
    heading = words(language).say(key)
    return next(at for at, sheet in enumerate(found) if sheet.text.startswith(heading))


def problems(found: Sequence[Sheet], trades: Sequence[str], language: str) -> Iterator[str]:
    """What is wrong with the pages of one report."""
    said = words(language)
    names = [said.say("trades.scope", trade=said.say(f"trade.{trade}")) for trade in trades]
    starts = [at for at, s in enumerate(found) if any(map(s.text.startswith, names))]
    appendix = first_of(language, found, "owner.appendix")
    last = first_of(language, found, "tests.title") - 1
    if (starts[0] if starts else appendix) != OWNER_PAGES:
        yield f"the owner has {starts[0] if starts else appendix} pages"
    if len(starts) != len(names) or appendix - OWNER_PAGES != len(names):
        yield f"{len(names)} trades have {appendix - OWNER_PAGES} pages"
    for at, sheet in enumerate(found):
        if sheet.outside:
            yield f"page {at + 1}: over the edge: {' '.join(sheet.outside[:5])}"
        if sheet.full < LEAST and at not in (*starts, last, len(found) - 1):
            yield f"page {at + 1} is {sheet.full:.0%} full"


def printed(content: ReportContent, pages: tuple[Scope, ...], pdf: Path, **how: str) -> list[Sheet]:
    """Print a report and look at its pages."""
    page = report_html(content, words(how["language"]), pages, paper=how["paper"])
    print_pdf(page, pdf)
    return sheets(pdf)


def reports(study: Study) -> Iterator[tuple[str, ReportContent]]:
    """The report of the rater's plan, and of eight measures of it where it has more."""
    ticked = rater_plan(Advice(study), sure=False).ticked
    yield "plan", report_content(study, ticked, Maker(made_on=DAY))
    if len(ticked) > FEW_STEPS:
        yield "eight", report_content(study, ticked[-FEW_STEPS:], Maker(made_on=DAY))


def checked(study: Study, name: str, folder: Path, quick: bool) -> Iterator[tuple[str, list[str]]]:
    """What is wrong with the reports of one house, each by its name with its pages."""
    for which, content in reports(study):
        pages = scopes(study, content.proposal.steps, content.result.cautions)
        all_ways = tuple(product(LANGUAGES, PAPERS))
        ways = QUICK if quick or which != "plan" else all_ways
        for language, paper in ways:
            pdf = folder / f"{name}_{which}_{language}_{paper}.pdf"
            found = printed(content, pages, pdf, language=language, paper=paper)
            told = list(problems(found, [page.trade for page in pages], language))
            count, steps = first_of(language, found, "tests.title"), len(content.result.ticked)
            if steps <= FEW_STEPS and count > MOST_PAGES:
                told.append("too many pages")
            yield f"{pdf.stem}: {steps} steps, {count} pages", told


def main(folder: Path, quick: bool, only: Sequence[str]) -> int:
    """Print the reports of the fifteen houses, clean and with hazards; 1 when anything is wrong."""
    from fifteen_houses import VARIANTS, houses, study_of

    wrong = 0
    folder.mkdir(parents=True, exist_ok=True)
    for name, variant in product(only or houses(), VARIANTS):
        study = study_of(name, variant)
        for what, told in checked(study, f"{name}_{variant}", folder, quick):
            wrong += len(told)
            print(f"{what}; {'; '.join(told) or 'fine'}", flush=True)
    return int(wrong > 0)


if __name__ == "__main__":
    names = [name for name in sys.argv[2:] if name != "--quick"]
    sys.exit(main(Path(sys.argv[1]), "--quick" in sys.argv, names))
