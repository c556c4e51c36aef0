"""Who is let in: two spoken words, a token, bounded tries, a page of ours in two languages, and a class that outlives a restart."""

import json
import logging
import os
import re
import socket
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from retrofit_lab.app.serve import kept_class as keeping
from retrofit_lab.app.serve import serving
from retrofit_lab.app.serve.doors import Doors, cookie_secret, own_place
from retrofit_lab.app.serve.kept_class import LASTS, kept_class
from retrofit_lab.app.serve.server_pages import PROBLEMS, entry_page, language_of, problem_page
from retrofit_lab.app.serve.serving import ServeOptions, addresses, for_others
from retrofit_lab.app.serve.spoken_code import (
    OF_ALL,
    OF_ONE,
    WITHIN,
    Tries,
    new_code,
    same_code,
    spoken_words,
)
from retrofit_lab.base.values import InputError
from retrofit_lab.command import main
from retrofit_lab.texts import LANGUAGES, catalog, sentences

FORM = {"field": "_xsrf", "value": "v", "place": "/"}


def test_code_is_two_words_that_can_be_told_apart() -> None:
    words = spoken_words()
    assert len(words) == len(set(words)) > 250
    assert all(re.fullmatch("[a-z]{4,11}", word) for word in words)
    # written together, no two codes are the same
    assert len({a + b for a in words for b in words if a != b}) == len(words) * (len(words) - 1)
    for _ in range(50):
        first, second = new_code().split()
        assert first != second
        assert {first, second} <= set(words)


@pytest.mark.parametrize(
    "given", ["maple lantern", " Maple-Lantern", "MAPLELANTERN", "máple lantern."]
)
def test_code_is_known_however_it_is_written(given: str) -> None:
    assert same_code(given, "maple lantern")


@pytest.mark.parametrize("given", ["", "maple", "lantern maple", "maple lanterns", "x" * 10_000])
def test_other_words_are_not_the_code(given: str) -> None:
    assert not same_code(given, "maple lantern")
    assert not same_code(given, "")


def test_tries_are_bounded_for_one_and_for_all() -> None:
    now = [0.0]
    tries = Tries(clock=lambda: now[0])
    for _ in range(OF_ONE):
        assert tries.wait("one") == 0.0
        tries.missed("one")
    assert tries.wait("one") == WITHIN
    assert tries.wait("other") == 0.0
    for place in range(OF_ALL - OF_ONE):
        tries.missed(f"of many {place}")
    assert tries.wait("other") == WITHIN
    now[0] = WITHIN
    assert tries.wait("one") == tries.wait("other") == 0.0


def test_after_too_many_wrong_tries_the_right_words_wait_too() -> None:
    doors = Doors(token="t" * 20, code="maple lantern")
    comes, other = (
        SimpleNamespace(request=SimpleNamespace(remote_ip=address), log=logging.getLogger("doors"))
        for address in ("192.0.2.1", "192.0.2.2")
    )
    for _ in range(OF_ONE):
        assert doors.let_in(comes, "maple lamp") is None
    assert doors.let_in(comes, "maple lantern") is None
    assert doors.let_in(other, "maple lantern") is not None


@pytest.mark.parametrize(
    ("asked", "accepted", "language"),
    [("", "es-MX,es;q=0.9", "es"), ("", "fr,es;q=0.5,en;q=0.1", "es"), ("en", "es", "en"), ("", "", "en"), ("xx", "de", "en")],
)  # fmt: skip
def test_language_follows_the_visitor(asked: str, accepted: str, language: str) -> None:
    assert language_of(asked, accepted) == language


def test_pages_of_the_server_say_the_same_things_in_every_language() -> None:
    first, *others = (dict(sentences(catalog(language, "server"))) for language in LANGUAGES)
    for other in others:
        assert other.keys() == first.keys()
        assert not {key for key in first if other[key] == first[key]}


@pytest.mark.parametrize("language", LANGUAGES)
def test_entry_page_asks_and_says_what_was_wrong(language: str) -> None:
    texts = catalog(language, "server")["entry"]
    page = entry_page(language, "", {**FORM, "place": '/"><script>'})
    assert texts["ask"] in page
    assert "<p role" not in page
    assert "<script" not in page
    assert f'<html lang="{language}"' in page
    assert texts["wait"].format(seconds=42) in entry_page(language, "wait", FORM, seconds=41.2)
    assert texts["wrong"] in entry_page(language, "wrong", FORM)


@pytest.mark.parametrize("status", [503, 507, 403, 404, 500])
@pytest.mark.parametrize("language", LANGUAGES)
def test_problem_page_is_a_sentence_with_a_way_back(status: int, language: str) -> None:
    texts = catalog(language, "server")["problem"]
    page = problem_page(status, language)
    assert texts[PROBLEMS.get(status, "failed")] in page
    assert f'<a href="">{texts["again"]}</a>' in page
    assert "<script" not in page
    # who waits for a place comes in without asking
    assert ('http-equiv="refresh"' in page) == (status == 503)


@pytest.mark.parametrize(
    ("text", "place"),
    [("/?language=es&code=a-b&token=x", "/?language=es"), ("/?token=x", "/"), ("/enter?next=/", "/?next=/"),
     ("//house.example/", "/"), ("http://house.example/", "/"), ("/\\house.example", "/"), ("", "/"), ("x", "/")],
)  # fmt: skip
def test_only_places_of_this_server_are_gone_on_to(text: str, place: str) -> None:
    assert own_place(text) == place


def test_cookies_hold_as_long_as_the_token_does() -> None:
    assert cookie_secret("a") == cookie_secret("a") != cookie_secret("b")
    assert len(cookie_secret("")) >= 32


def test_class_goes_on_after_a_restart_and_ends_after_a_day_of_school(tmp_path: Path) -> None:
    folder = tmp_path / "kept"
    first = kept_class(folder)
    (folder / "lesson_4.txt").write_text("x")
    (folder / "mine.txt").write_text("x")
    assert not first.went_on
    again = kept_class(folder)
    assert again.went_on
    assert (again.code, again.token, again.trainer) == (first.code, first.token, first.trainer)
    assert (folder / "lesson_4.txt").exists()
    old = time.time() - LASTS - 60
    os.utime(folder / keeping.FILE, (old, old))
    other = kept_class(folder)
    assert not other.went_on
    assert other.token != first.token
    assert not (folder / "lesson_4.txt").exists()
    assert (folder / "mine.txt").exists()
    assert kept_class(folder, new=True).token != other.token
    if os.name == "posix":
        assert (folder / keeping.FILE).stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("content", ["", "{}", "[1]", '{"code": 7}', "\xff"])
def test_damaged_record_of_a_class_starts_a_new_one(tmp_path: Path, content: str) -> None:
    (tmp_path / keeping.FILE).write_bytes(content.encode("latin-1"))
    assert not kept_class(tmp_path).went_on
    assert set(json.loads((tmp_path / keeping.FILE).read_text())) == {"code", "token", "trainer"}


def test_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="Make that folder writable"):
        kept_class(tmp_path / "file")


def test_second_start_moves_from_the_port_and_says_so(capsys) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]
        moved = serving.settled_port("127.0.0.1", port)
        assert moved != port
        said = capsys.readouterr().out
        assert f"Port {port} is in use, so this time it is {moved}." in said
        with pytest.raises(InputError, match=f"port {port} is in use"):
            serving.check_port("127.0.0.1", port)
        assert main(["serve", "--port", str(port), "--no-browser"]) == 2
    assert serving.settled_port("127.0.0.1", port) == port
    assert capsys.readouterr().out == ""


def test_others_hear_words_and_get_no_token(monkeypatch) -> None:
    monkeypatch.setattr(serving, "network_hosts", lambda *, ipv6: ["192.0.2.7"])
    own, other = addresses("0.0.0.0", 8450, "t" * 20, "maple lantern")
    assert "token=" in own
    assert other == "http://192.0.2.7:8450/?code=maple-lantern"
    options = ServeOptions(house=None, listen="0.0.0.0", code="maple lantern", qr=True)
    said = for_others(options, [other])
    assert said[1:3] == ["  http://192.0.2.7:8450/", "and type the two words: maple lantern"]
    assert "camera" in said[3]


def test_class_listens_to_the_network_and_one_visitor_does_not() -> None:
    assert serving.listen_for(None) == "127.0.0.1"
    assert serving.listen_for(12) == "0.0.0.0"
