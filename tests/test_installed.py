"""The wheel alone is enough: installed in an empty folder, the main job runs from it."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--outdir", str(out), str(ROOT)],
        check=True, capture_output=True, timeout=900,
    )  # fmt: skip
    return next(out.glob("*.whl"))


@pytest.mark.slow
def test_wheel_holds_data_notebooks_and_page(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    for name in (
        "retrofit_lab/data/parameters.csv",
        "retrofit_lab/data/houses/alder_street.toml",
        "retrofit_lab/data/climates/greensboro_nc.csv",
        "retrofit_lab/notebooks/kitchen_table.ipynb",
        "retrofit_lab/app/shared/static/page.js",
        "retrofit_lab/texts/es/page.toml",
        "retrofit_lab/app/serve/share/voila/templates/retrofit_lab/index.html.j2",
        "retrofit_lab/app/serve/share/voila/templates/retrofit_lab/static/plotly-basic.min.js",
    ):
        assert name in names
    assert not any(name.startswith("tests") for name in names)


@pytest.mark.slow
def test_main_job_runs_from_the_wheel_alone(wheel: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    subprocess.run(
        [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", str(site), str(wheel)],
        check=True, capture_output=True, timeout=900,
    )  # fmt: skip
    empty = tmp_path / "empty"
    empty.mkdir()
    code = (
        "import retrofit_lab, sys; assert 'site' in retrofit_lab.__file__, retrofit_lab.__file__;"
        "from retrofit_lab.command import main;"
        "sys.exit(main(['savings', '--plan', 'attic_insulation']))"
    )
    environment = {**os.environ, "PYTHONPATH": str(site)}
    done = subprocess.run(
        [sys.executable, "-c", code],
        check=False, cwd=empty, env=environment, capture_output=True, text=True, timeout=900,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "[x] attic_insulation" in done.stdout
