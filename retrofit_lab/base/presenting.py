"""Lets a result be shown as a table or a figure without knowing who draws it; nothing is drawn here.

Tables and figures need libraries that only the app may import. So the app draws, the root of the package
says where (`present_with`), and a result that is asked hands itself on.
"""

from collections.abc import Callable
from typing import Any, Protocol


class Presenter(Protocol):
    """What can tell and draw every kind of result."""

    def line(self, result: Any, language: str) -> str:
        """One sentence."""

    def table(self, result: Any, language: str) -> Any:
        """A pandas DataFrame with units in the names of its columns."""

    def plot(self, result: Any, language: str) -> Any:
        """A plotly Figure."""


_presenters: list[Callable[[], Presenter]] = []


def present_with(find: Callable[[], Presenter]) -> None:
    """Name what draws; it is looked for when the first table or figure is asked for, not before."""
    _presenters[:] = [find]


class Shown:
    """A result that can be shown: a line where it is printed, a table and a figure where they are asked for."""

    __slots__ = ()

    def __repr__(self) -> str:
        return _presenters[0]().line(self, "en")

    def table(self, language: str = "en") -> Any:
        """The result as a pandas DataFrame, with units in the names of the columns.

        Parameters
        ----------
        language : str
            ``"en"`` or ``"es"``.
        """
        return _presenters[0]().table(self, language)

    def plot(self, language: str = "en") -> Any:
        """The result as a plotly Figure; see `table`."""
        return _presenters[0]().plot(self, language)

    def _repr_html_(self) -> str:
        """What a notebook shows: the line, then the table."""
        first = repr(self).replace("&", "&amp;").replace("<", "&lt;")
        return f"<p>{first}</p>{self.table().to_html(float_format='{:,.4g}'.format)}"
