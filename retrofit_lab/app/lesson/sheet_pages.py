"""Pages of printed sheets, from templates in which all text is escaped; what they say is elsewhere."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

TEMPLATES = Path(__file__).parent / "templates"


def sheet_page(template: str, title: str, sheet: Mapping[str, Any]) -> str:
    """A sheet as a page; ``sheet`` holds its language and what the template names."""
    style = (TEMPLATES / "sheet.css").read_text(encoding="utf-8")
    return (
        _environment()
        .get_template(template)
        .render(
            title=title,
            style=Markup(style),  # noqa: S704 - our own file
            sheet=sheet,
        )
    )


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
    )
