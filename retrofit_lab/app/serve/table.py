"""The kitchen table with the report that it hands out: their rooms come together here, and nothing else happens."""

import getpass
import tempfile
from pathlib import Path

import anywidget

from retrofit_lab.app.page.kitchen_table import house_path
from retrofit_lab.app.page.kitchen_table import show as page
from retrofit_lab.app.shared.words import words
from retrofit_lab.study.study import Study


def show() -> anywidget.AnyWidget:
    """The page of the house that the server was started with; its report is made when it is asked for."""
    return page(_report)


def _report(
    study: Study, ticked: tuple[str, ...], language: str, system: str
) -> tuple[bytes, bool]:
    """All files of a report in one, and whether the PDF is among them.

    One at a time on a computer: the page at home takes a few hundred megabytes while it is made.
    """
    from filelock import FileLock  # noqa: PLC0415 - a page without report is light

    from retrofit_lab.app.report.files import packed_report  # noqa: PLC0415 - as above

    said = words(language, system)
    with FileLock(Path(tempfile.gettempdir()) / f"retrofit_lab_report_{getpass.getuser()}.lock"):
        return packed_report(study, house_path(), ticked, said, _page_at_home)


def _page_at_home(
    study: Study, ticked: tuple[str, ...], language: str, system: str
) -> tuple[str, str]:
    from retrofit_lab.app.home.writing import NAME, home_html  # noqa: PLC0415 - the same

    return NAME, home_html(study, ticked, language, system)
