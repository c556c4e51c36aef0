"""Every file is written whole or not at all, with its rights and links kept; names are such as every system takes."""

import os
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from retrofit_lab.app.shared import guard
from retrofit_lab.app.shared.pdf import _command
from retrofit_lab.base import atomic_write
from retrofit_lab.base.atomic_write import ENDING, write_whole
from retrofit_lab.base.file_names import BYTES, RESERVED, safe_stem
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.file import load_house
from retrofit_lab.house.keeping import keep_house, versions_of

POSIX = pytest.mark.skipif(os.name != "posix", reason="rights and links of another kind")
WREN = data_path("houses", "wren_cottage.toml")


@POSIX
@pytest.mark.parametrize("mode", [0o644, 0o600, 0o664, 0o400])
def test_rights_and_links_are_kept(tmp_path: Path, mode: int) -> None:
    real, link = tmp_path / "real.toml", tmp_path / "link.toml"
    real.write_text("old")
    real.chmod(mode)
    link.symlink_to(real)
    write_whole(link, "new")
    assert link.is_symlink()
    assert real.read_text() == "new"
    assert stat.S_IMODE(real.stat().st_mode) == mode


@POSIX
def test_new_file_has_the_rights_that_the_user_gives_new_files(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_whole(tmp_path / "a", b"x")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == 0o640


def test_disk_that_is_full_leaves_the_old_file_and_its_versions(
    tmp_path: Path, monkeypatch
) -> None:
    house, path = load_house(WREN), tmp_path / "w.toml"
    keep_house(house, path)
    keep_house(house, path)
    before = {file.name: file.read_bytes() for file in tmp_path.iterdir()}

    def full(_handle) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic_write.os, "fsync", full)
    with pytest.raises(Exception, match="No space left"):
        keep_house(house, path)
    assert {file.name: file.read_bytes() for file in tmp_path.iterdir()} == before
    assert len(versions_of(path)) == 1


def test_what_killed_processes_left_is_cleared_away_and_nothing_else(tmp_path: Path) -> None:
    old, young, other = (tmp_path / f".h[1].toml.{n}{ENDING}" for n in ("00", "11", "22"))
    other = tmp_path / f".other.toml.00{ENDING}"
    for file in (old, young, other):
        file.write_text("half")
    long_ago = time.time() - atomic_write.LEFT_SECONDS - 1
    for file in (old, other):
        os.utime(file, (long_ago, long_ago))
    write_whole(tmp_path / "h[1].toml", "x")
    assert {file.name for file in tmp_path.iterdir()} == {"h[1].toml", young.name, other.name}


@pytest.mark.parametrize(
    "name", ["a" * 200 + ".toml", "Élan vital.toml", "a b.toml", "x\u200d.toml"]
)
def test_long_and_foreign_names_are_written(tmp_path: Path, name: str) -> None:
    assert write_whole(tmp_path / name, "\ud800x").read_text(encoding="utf-8") == "?x"


@pytest.mark.parametrize("name", [*sorted(RESERVED), "Con", "NUL.", " aux "])
def test_names_that_a_system_keeps_for_itself_are_not_used(name: str) -> None:
    assert safe_stem(name) not in RESERVED
    assert safe_stem(name)


@pytest.mark.parametrize(
    ("typed", "stem"),
    [("12 Elm St.", "12_elm_st"), ("../../etc", "etc"), ("", ""), ("...", ""), ("山" * 200, "山" * (BYTES // 3)),
     ("E\u0301lm", "\u00e9lm"), ("a\0b", "a_b")],
)  # fmt: skip
def test_name_of_a_file_from_what_was_typed(typed: str, stem: str) -> None:
    assert safe_stem(typed) == stem


def test_log_that_cannot_be_written_is_no_failure(tmp_path: Path, monkeypatch) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv(guard.LOG_VARIABLE, str(tmp_path / "file" / "log"))
    guard._logger.cache_clear()
    try:
        guard.note_failure("a test")
    finally:
        guard._logger.cache_clear()


def test_log_stands_with_its_user(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.delenv(guard.LOG_VARIABLE, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))  # asked by systems that have no variable for it
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    # Windows tells the user's own folder itself
    own = tmp_path if os.name == "posix" else Path.home()
    assert own in guard.log_file().parents


@POSIX
@pytest.mark.parametrize(("user", "guarded"), [(0, False), (1000, True)])
def test_browser_that_prints_is_guarded_and_asks_nobody(
    monkeypatch, user: int, guarded: bool
) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: user)
    command = _command("chromium", "/own", Path("/own/r.html"), Path("/own/r.pdf"))
    assert ("--no-sandbox" not in command) is guarded
    assert "--host-resolver-rules=MAP * ~NOTFOUND" in command


@POSIX
@pytest.mark.parametrize(
    ("arguments", "said"), [(["check"], b"can be used"), (["savings", "--plan", "led_lamps"], b"dollars")]
)  # fmt: skip
def test_plain_locale_and_a_home_that_cannot_be_written(
    tmp_path: Path, arguments: list[str], said: bytes
) -> None:
    (tmp_path / "file").write_text("")
    home = (
        tmp_path / "file" / "home"
    )  # below a file, where even the user that may do everything writes nothing
    house = tmp_path / "Élm Stréet house.toml"
    house.write_bytes(b"\xef\xbb\xbf" + WREN.read_bytes().replace(b"\n", b"\r\n"))
    surroundings = {"PATH": os.environ["PATH"], "HOME": str(home), "LC_ALL": "C", "PYTHONUTF8": "0",
                    "PYTHONCOERCECLOCALE": "0", "PYTHONPATH": os.pathsep.join(sys.path)}  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-m", "retrofit_lab.command", *arguments, str(house)],
        capture_output=True, env=surroundings, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert said in done.stdout
    assert b"Traceback" not in done.stderr
