"""Prints a report to PDF with the browser that is installed; nothing of what it says."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from retrofit_lab.app.shared.output_file import write_output
from retrofit_lab.base.values import InputError
from retrofit_lab.texts.refusals import told

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "msedge")
VARIABLE = "CHROMIUM"
SECONDS = 90


class PrintError(InputError):
    """The PDF cannot be made; the message says what to do instead."""


def browser_path() -> str:
    """Browser that can print without a window.

    Raises
    ------
    PrintError
        When none is installed.
    """
    found = os.environ.get(VARIABLE) or next(filter(None, map(shutil.which, BROWSERS)), None)
    if found:
        return found
    raise PrintError(told("pdf.no_browser", name=VARIABLE))


def print_pdf(html: str, pdf: Path) -> None:
    """Print HTML text to a PDF file, which appears whole or not at all.

    Raises
    ------
    PrintError
        When there is no browser, or it does not make the file.
    """
    write_output(pdf, pdf_of(html, pdf.parent))


def pdf_of(html: str, beside: Path | None = None) -> bytes:
    """HTML text printed as a PDF; the browser works in a folder ``beside`` others, or where the system wants it.

    Raises
    ------
    PrintError
        When there is no browser, or it makes no PDF.
    """
    browser = browser_path()
    with tempfile.TemporaryDirectory(prefix="retrofit_lab_", dir=beside) as folder:
        source, made = Path(folder) / "report.html", Path(folder) / "report.pdf"
        source.write_text(html, encoding="utf-8")
        why = _run(_command(browser, folder, source, made))
        if not made.is_file() or made.read_bytes()[:5] != b"%PDF-":
            raise PrintError(told("pdf.none_made", browser=browser, why=why))
        return made.read_bytes()


def _command(browser: str, folder: str, html: Path, made: Path) -> list[str]:
    return [
        browser, "--headless", *_unguarded(), "--disable-gpu", "--no-first-run",
        "--disable-background-networking", "--disable-component-update", "--disable-sync",
        # the page holds all it needs: no name is looked up, no other program is asked
        "--host-resolver-rules=MAP * ~NOTFOUND", "--disable-extensions", "--disable-default-apps",
        "--disable-domain-reliability", "--disable-client-side-phishing-detection", "--no-pings",
        "--disable-features=MediaRouter,OptimizationHints,Translate,AutofillServerCommunication",
        f"--user-data-dir={folder}/profile", "--no-pdf-header-footer", "--run-all-compositor-stages-before-draw",
        "--export-tagged-pdf", "--generate-pdf-document-outline",
        "--virtual-time-budget=10000", f"--print-to-pdf={made}", html.resolve().as_uri(),
    ]  # fmt: skip


def _unguarded() -> tuple[str, ...]:
    """The switch without which the browser does not start for the user that may do everything, as in a container."""
    return ("--no-sandbox",) if hasattr(os, "geteuid") and os.geteuid() == 0 else ()


def _run(command: list[str]) -> str:
    """Run the browser; what went wrong in words, or nothing."""
    try:
        subprocess.run(command, check=False, capture_output=True, timeout=SECONDS)  # noqa: S603 - arguments are ours
    except subprocess.TimeoutExpired:
        return f" within {SECONDS} seconds"
    except OSError as error:
        return f" ({error})"
    return ""
