"""Saving keeps earlier versions, bounded; photos stay beside the house file."""

import os
from dataclasses import replace
from pathlib import Path

import pytest

from retrofit_lab.base import atomic_write
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.file import load_house
from retrofit_lab.house.keeping import (
    house_files,
    keep_house,
    versions_of,
)
from retrofit_lab.house.photos import (
    Photo,
    load_photos,
    photo_beside,
    photos_path,
    pictures_in,
    save_photos,
)

ALDER = load_house(data_path("houses", "alder_street.toml"))


def test_versions_are_kept_in_order_and_bounded(tmp_path: Path) -> None:
    path = tmp_path / "plum.toml"
    assert keep_house(replace(ALDER, note="0"), path) is None
    for number in range(1, 26):
        keep_house(replace(ALDER, note=str(number)), path)
    versions = versions_of(path)
    assert [version.name for version in versions] == [f"plum.{n}.toml" for n in range(6, 26)]
    assert [load_house(version).note for version in versions] == [str(n) for n in range(5, 25)]
    assert load_house(path).note == "25"
    assert house_files(tmp_path) == ("plum.toml",)


def test_crash_while_saving_leaves_the_old_file(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "plum.toml"
    keep_house(ALDER, path)

    def broken(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic_write.os, "fsync", broken)
    with pytest.raises(HouseError, match=r"plum\.toml: cannot be saved \(No space left"):
        keep_house(replace(ALDER, note="new"), path)
    assert load_house(path) == ALDER


def test_house_that_cannot_stand_is_not_saved(tmp_path: Path) -> None:
    path = tmp_path / "plum.toml"
    keep_house(ALDER, path)
    with pytest.raises(HouseError, match="the shares add up to"):
        keep_house(replace(ALDER, zones=ALDER.zones[:1]), path)
    assert load_house(path) == ALDER
    assert versions_of(path) == ()


def test_photos_round_trip_and_copies(tmp_path: Path) -> None:
    house = tmp_path / "plum.toml"
    other = tmp_path / "camera"
    other.mkdir()
    (tmp_path / "rim.jpg").write_bytes(b"1")
    (other / "rim.jpg").write_bytes(b"2")
    inside = tmp_path / "in"
    inside.mkdir()
    near = photo_beside("rim.jpg", house, "basement", "Band joist")
    elsewhere = tmp_path / "visit" / "plum.toml"
    elsewhere.parent.mkdir()
    copied = photo_beside(str(other / "rim.jpg"), elsewhere, "attic")
    again = photo_beside(str(other / "rim.jpg"), elsewhere, "attic")
    assert (near.file, copied.file, again.file) == ("rim.jpg", "rim.jpg", "rim_2.jpg")
    assert (elsewhere.parent / "rim.jpg").read_bytes() == b"2"
    save_photos((near,), house)
    assert load_photos(house) == (near,)
    assert "rim.jpg" in pictures_in(tmp_path)
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


@pytest.mark.parametrize(
    ("name", "words"),
    [("notes.txt", "is not a picture; use one of"), ("gone.jpg", "there is no file 'gone.jpg'"), ("", "is not a picture")],
)  # fmt: skip
def test_what_is_no_photo(tmp_path: Path, name: str, words: str) -> None:
    (tmp_path / "notes.txt").write_text("x")
    with pytest.raises(HouseError, match=words):
        photo_beside(name, tmp_path / "plum.toml", "basement")


@pytest.mark.parametrize(
    "text",
    ["broken", "format = 'x'", "format='retrofit-lab photos'\nversion=1\n[[photo]]\nfile='../../x.jpg'\nstop='a'",
     "format='retrofit-lab photos'\nversion=1\n[[photo]]\nfile=5\nstop='a'",
     "format='retrofit-lab photos'\nversion=1\n[[photo]]\nwhat='x'"],
)  # fmt: skip
def test_damaged_list_of_photos_is_refused(tmp_path: Path, text: str) -> None:
    house = tmp_path / "plum.toml"
    photos_path(house).write_text(text, encoding="utf-8")
    with pytest.raises(HouseError):
        load_photos(house)
    assert load_photos(tmp_path / os.devnull) == ()
    assert Photo(file="a.jpg", stop="s").note == ""
