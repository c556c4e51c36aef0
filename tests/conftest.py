"""Studies of the example houses, worked out once for all tests."""

import pytest

from retrofit_lab.house.file import load_house
from retrofit_lab.reference_data import data_path
from retrofit_lab.study import Study


def example(name: str) -> Study:
    return Study(load_house(data_path("houses", f"{name}.toml")))


@pytest.fixture(scope="session")
def alder() -> Study:
    return example("alder_street")


@pytest.fixture(scope="session")
def wren() -> Study:
    return example("wren_cottage")


@pytest.fixture(scope="session", params=["alder_street", "wren_cottage"])
def study(request: pytest.FixtureRequest) -> Study:
    return example(request.param)
