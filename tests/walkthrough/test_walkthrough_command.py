"""The walkthrough subcommand: which house and folder it takes, and that JupyterLab listens on this machine only."""

import shutil
from pathlib import Path

import pytest

from retrofit_lab.app.serve import serving
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


def test_a_phone_gets_in_by_two_words_and_nobody_by_chance(tmp_path: Path, monkeypatch) -> None:
    served = []
    monkeypatch.setattr(serving, "serve", lambda options: served.append(options) or 0)
    assert main(["walk", str(tmp_path), "--phone", "--language", "es", "--no-browser"]) == 0
    assert main(["walk", str(tmp_path), "--no-browser"]) == 0
    phone, alone = served
    assert len(phone.code.split()) == 2
    assert len(phone.token) >= 16
    assert (phone.language, phone.qr, phone.folder) == ("es", True, tmp_path.resolve())
    assert (alone.code, alone.token, alone.listen) == ("", "", "127.0.0.1")


def test_the_folder_of_a_job_opens_its_house(tmp_path: Path) -> None:
    shutil.copy(data_path("houses", "wren_cottage.toml"), tmp_path / "house.toml")
    assert house_and_folder(tmp_path) == ((tmp_path / "house.toml").resolve(), tmp_path.resolve())
