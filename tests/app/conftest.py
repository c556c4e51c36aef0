"""Every test here runs without the loop of a browser."""

from without_loop import without_loop  # noqa: F401
