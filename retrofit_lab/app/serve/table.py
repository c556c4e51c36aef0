"""The kitchen table with the report that it hands out: both rooms come together here, and nothing else happens."""

import anywidget

from retrofit_lab.app.page.kitchen_table import house_path
from retrofit_lab.app.page.kitchen_table import show as page
from retrofit_lab.study.study import Study


def show() -> anywidget.AnyWidget:
    """The page of the house that the server was started with; its report is made when it is asked for."""
    return page(_report)


def _report(study: Study, ticked: tuple[str, ...], language: str, system: str) -> bytes:
    from retrofit_lab.app.report.files import packed_report  # noqa: PLC0415 - a page without report is light

    return packed_report(study, house_path(), ticked, language, system)
