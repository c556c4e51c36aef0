"""Pictures of the walk in the report."""

import base64
import io
import re
from pathlib import Path

import pytest
from examples import example
from PIL import Image
from reported import content_of

from retrofit_lab.app.report import pictures as module
from retrofit_lab.app.report.html import Extras, report_html
from retrofit_lab.app.report.pictures import Picture, pictures
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.command import main
from retrofit_lab.house.photos import Photo, save_photos
from retrofit_lab.proposals.contractors import scopes
from retrofit_lab.texts import catalog

DOT = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNk+A8AAQUBAScY42YAAAAASUVORK5CYII="
)


@pytest.fixture
def house(tmp_path: Path) -> Path:
    path = tmp_path / "w.toml"
    path.write_text(
        data_path("houses", "wren_cottage.toml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    return path


def attach(house: Path, content: bytes, note: str = "") -> None:
    (house.parent / "old_duct.png").write_bytes(content)
    save_photos([Photo(file="old_duct.png", stop="basement", note=note)], house)


def test_picture_is_in_the_page_with_its_note_escaped(house: Path, tmp_path: Path) -> None:
    attach(house, DOT, note="Tape <b>loose</b>")
    assert (
        main(["report", "--no-page", str(house), "--out", str(tmp_path), "--plan", "duct_mastic"])
        == 0
    )
    page = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert f'<img src="data:image/png;base64,{base64.b64encode(DOT).decode()}"' in page
    assert 'alt="Tape &lt;b&gt;loose&lt;/b&gt;"' in page


def test_pictures_say_their_stop_in_the_order_of_the_walk_on_the_trades_page_too() -> None:
    content, study = content_of("wren_cottage"), example("wren_cottage")
    taken = [Picture(address="data:image/png;base64,", caption=at, stop=at)
             for at in ("attic", "ducts", "nowhere", "below")]  # fmt: skip
    pages = scopes(study, content.proposal.steps, content.result.cautions)
    html = report_html(content, words("es"), pages, Extras(photos=tuple(taken)))
    captions = re.findall(r"<figcaption>(?:<strong>(.*?)\.</strong> )?(\w+)</figcaption>", html)
    said = catalog("es", "data/walk")["stop"]
    titled = {at: said[at]["title"] for at in ("attic", "ducts", "below")} | {"nowhere": ""}
    of_trades = [[at for at in ("ducts", "attic") if at in page.stops] for page in pages]
    assert ["attic"] in of_trades
    wanted = [*(at for ats in of_trades for at in ats), "below", "ducts", "attic", "nowhere"]
    assert [at for _, at in captions] == wanted
    assert all(place == titled[at] for place, at in captions)


def test_name_of_the_file_stands_in_for_a_note(house: Path) -> None:
    attach(house, DOT)
    assert pictures(house)[0].caption == "old duct"


def test_house_without_pictures(house: Path) -> None:
    assert pictures(house) == ()


def test_what_cannot_be_shown_is_named(house: Path, monkeypatch) -> None:
    attach(house, b"<svg onload=strike()>")
    with pytest.raises(InputError, match=r"old_duct.png is not a picture that a browser can show"):
        pictures(house)
    (house.parent / "old_duct.png").unlink()
    (house.parent / "old_duct.png").mkdir()
    with pytest.raises(InputError, match=r"old_duct.png cannot be read"):
        pictures(house)
    (house.parent / "old_duct.png").rmdir()
    attach(house, DOT)
    monkeypatch.setattr(module, "MOST_BYTES", 10)
    with pytest.raises(InputError, match=r"more than 10 bytes. Make it smaller"):
        pictures(house)
    monkeypatch.setattr(module, "MOST_BYTES", 1000)
    monkeypatch.setattr(module, "MOST_ALTOGETHER", 10)
    with pytest.raises(InputError, match=r"the pictures of w.toml have more than"):
        pictures(house)


def test_picture_that_is_gone_is_said_and_stops_no_report(house: Path, tmp_path: Path) -> None:
    attach(house, DOT, note="Old duct")
    (house.parent / "old_duct.png").unlink()
    assert (
        main(["report", "--no-page", str(house), "--out", str(tmp_path), "--plan", "duct_mastic"])
        == 0
    )
    page = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert "This picture was not found" in page
    assert "Old duct (old_duct.png)" in page


@pytest.mark.parametrize("kind", ["JPEG", "WEBP", "PNG"])
def test_place_of_a_picture_goes_into_no_report(house: Path, kind: str) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825)[1] = "N"
    held = io.BytesIO()
    Image.new("RGB", (40, 20), "red").save(held, kind, exif=exif)
    attach(house, held.getvalue())
    shown = base64.b64decode(pictures(house)[0].address.partition(",")[2])
    with Image.open(io.BytesIO(shown)) as image:
        assert not image.getexif()
        assert image.size == (20, 40)
