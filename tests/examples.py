"""Studies of the example houses for tests."""

from functools import cache

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.file import load_house
from retrofit_lab.study.study import Study


@cache
def example(name: str) -> Study:
    """Study of a shipped house, worked out once."""
    return Study(load_house(data_path("houses", f"{name}.toml")))
