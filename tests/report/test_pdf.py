"""The PDF by the installed browser: its pages, and what a reader that speaks finds in it, read back by a library."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdf
import pytest
from examples import example
from pages import OWNER_PAGES, Sheet, first_of, problems, sheets
from pypdf.generic import ArrayObject, DictionaryObject
from reported import content_of
from served_page import browser_path as browser_or_skip

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.shared import pdf
from retrofit_lab.app.shared.pdf import PrintError, print_pdf
from retrofit_lab.app.shared.words import words
from retrofit_lab.proposals.contractors import scopes

NAME = "wren_cottage"
PAPER = {"letter": (612, 792), "a4": (595, 842)}
WAYS = (("en", "letter"), ("es", "a4"))


@pytest.fixture(scope="module", params=WAYS, ids="-".join)
def printed(request, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, str]:
    browser_or_skip()
    language, paper = request.param
    content, folder = content_of(NAME), tmp_path_factory.mktemp("pdf")
    pages = scopes(example(NAME), content.proposal.steps, content.result.cautions)
    page = report_html(content, words(language), pages, paper=paper)
    print_pdf(page, folder / "report.pdf")
    return folder / "report.pdf", language, paper


def elements(node: Any) -> Iterator[DictionaryObject]:
    """Every element of the structure of a PDF."""
    node = node.get_object()
    if isinstance(node, ArrayObject):
        for child in node:
            yield from elements(child)
    elif isinstance(node, DictionaryObject):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from elements(node["/K"])


def bookmarks(outline: list[Any]) -> Iterator[str]:
    for item in outline:
        if isinstance(item, list):
            yield from bookmarks(item)
        else:
            yield item.title


def test_pdf_says_its_title_language_and_parts(printed: tuple[Path, str, str]) -> None:
    path, language, paper = printed
    reader, said = pypdf.PdfReader(path), words(language)
    root = reader.trailer["/Root"]
    assert reader.metadata.title == said.say("page.title", name="Wren Cottage")
    assert root["/Lang"] == language
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    found = list(bookmarks(reader.outline))
    for key in ("stop.title", "plan.title", "owner.appendix", "basis.title", "tests.title"):
        assert said.say(key) in found
    assert tuple(round(float(n)) for n in reader.pages[0].mediabox[2:]) == PAPER[paper]


def test_pictures_have_a_text_and_tables_have_heads(printed: tuple[Path, str, str]) -> None:
    found = list(elements(pypdf.PdfReader(printed[0]).trailer["/Root"]["/StructTreeRoot"]))
    kinds = [element["/S"] for element in found]
    figures = [element for element in found if element["/S"] == "/Figure"]
    assert figures
    assert all(str(figure.get("/Alt", "")).strip() for figure in figures)
    heads = [element for element in found if element["/S"] == "/TH"]
    scopes_of = [str(element.get("/A", ArrayObject()).get_object()) for element in heads]
    assert sum("/Column" in scope for scope in scopes_of) >= kinds.count("/Table")
    assert all("/Column" in scope or "/Row" in scope for scope in scopes_of)
    assert {"/H1", "/H2", "/H3"} <= set(kinds)


@pytest.fixture(scope="module")
def looked_at(printed: tuple[Path, str, str]) -> tuple[list[Sheet], str]:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed")
    return sheets(printed[0]), printed[1]


def test_two_pages_for_the_owner_one_a_trade_none_nearly_empty_nothing_cut(
    looked_at: tuple[list[Sheet], str],
) -> None:
    found, language = looked_at
    content = content_of(NAME)
    pages = scopes(example(NAME), content.proposal.steps, content.result.cautions)
    assert list(problems(found, [page.trade for page in pages], language)) == []
    assert first_of(language, found, "tests.title") <= 12
    assert first_of(language, found, "owner.appendix") == OWNER_PAGES + len(pages)


def test_heads_of_a_table_that_goes_on_are_said_again(
    looked_at: tuple[list[Sheet], str],
) -> None:
    found, language = looked_at
    head = words(language).say("considered.saves")
    title = words(language).say("considered.title")
    start = next(at for at, sheet in enumerate(found) if title in sheet.text)
    stop = next(at for at, s in enumerate(found) if words(language).say("after.title") in s.text)
    assert all(head in sheet.text for sheet in found[start + 1 : stop])


def test_without_a_browser_a_sentence_says_what_to_do(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr(pdf.shutil, "which", lambda _: None)
    with pytest.raises(PrintError, match="Install one, name it in the variable CHROMIUM"):
        print_pdf("<p>x</p>", tmp_path / "report.pdf")


def test_a_browser_that_makes_nothing_is_named(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setenv("CHROMIUM", "/bin/false")
    with pytest.raises(PrintError, match="made no PDF"):
        print_pdf("<p>x</p>", tmp_path / "report.pdf")
    monkeypatch.setenv("CHROMIUM", "/nowhere/chromium")
    with pytest.raises(PrintError, match="made no PDF"):
        print_pdf("<p>x</p>", tmp_path / "report.pdf")
    assert list(tmp_path.iterdir()) == []
