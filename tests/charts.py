"""Whether the chart library knows every word of a figure; the figures themselves are plain data."""

from typing import Any

import plotly.graph_objects as go


def check_chart(figure: dict[str, Any]) -> None:
    """Fail where the chart library refuses a word of a figure, or reads something else from it."""
    read = go.Figure(figure).to_plotly_json()
    assert read["data"] == figure["data"]
    plain = {key: value for key, value in figure["layout"].items() if key != "template"}
    assert {key: read["layout"][key] for key in plain} == plain
