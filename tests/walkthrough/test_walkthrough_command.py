"""The walkthrough subcommand: which house and folder it takes, and that JupyterLab listens on this machine only."""

from pathlib import Path

import pytest

from retrofit_lab.app.walk.command import house_and_folder, lab_command
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.command import BAD_INPUT, main


def test_house_folder_and_neither(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert house_and_folder(None) == (None, tmp_path)
    assert house_and_folder(tmp_path) == (None, tmp_path.resolve())
    alder = data_path("houses", "alder_street.toml")
    assert house_and_folder(alder) == (alder.resolve(), alder.resolve().parent)


def test_missing_and_damaged_files_are_said_before_anything_starts(tmp_path: Path, capsys) -> None:
    assert main(["walk", str(tmp_path / "gone.toml")]) == BAD_INPUT
    assert "there is no such file or folder" in capsys.readouterr().err
    (tmp_path / "hurt.toml").write_text("format = 'x'", encoding="utf-8")
    assert main(["walk", str(tmp_path / "hurt.toml")]) == BAD_INPUT
    assert "hurt.toml: format is 'x'" in capsys.readouterr().err


@pytest.mark.parametrize("no_browser", [True, False])
def test_lab_listens_on_this_machine_and_keeps_its_token(no_browser: bool) -> None:
    command = lab_command("/work", 8899, no_browser)
    assert "--ServerApp.ip=127.0.0.1" in command
    assert "--ServerApp.port_retries=0" in command
    assert not any("token" in word for word in command)
    assert ("--no-browser" in command) is no_browser
