"""The PDF by the installed browser: it is whole, has numbered pages and clips no table."""

import re
import subprocess
from pathlib import Path

import pytest
from reported import html_of
from served_page import browser_path as browser_or_skip

from retrofit_lab.app.shared import pdf
from retrofit_lab.app.shared.pdf import PrintError, print_pdf


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    browser_or_skip()
    folder = tmp_path_factory.mktemp("pdf")
    print_pdf(html_of("wren_cottage"), folder / "report.pdf")
    return folder / "report.pdf"


def test_pdf_is_whole(printed: Path) -> None:
    content = printed.read_bytes()
    assert content.startswith(b"%PDF-")
    assert content.rstrip().endswith(b"%%EOF")
    assert len(re.findall(rb"/Type\s*/Page\b", content)) >= 8
    assert [path.name for path in printed.parent.iterdir() if path.is_dir()] == []


def test_pages_are_numbered_and_rows_are_not_cut(printed: Path) -> None:
    try:
        done = subprocess.run(
            ["pdftotext", "-layout", str(printed), "-"], check=True, capture_output=True, text=True
        )
    except FileNotFoundError:
        pytest.skip("pdftotext is not installed")
    pages = done.stdout.split("\f")[:-1]
    for number, text in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in text
    assert "Replace the furnace" in done.stdout


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
