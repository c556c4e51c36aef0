"""Each act on the house that is being recorded, as a function; what the browser sends is read elsewhere."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from retrofit_lab.app.walk.route import stop_named
from retrofit_lab.app.walk.state import ENDING, WEATHER, WalkthroughState, cannot_write
from retrofit_lab.base.file_names import safe_stem
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.bill_entry import keep_typed_bills, typed_bills_path, typed_rows
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.agreed_plan import MOST_LETTERS, plan_keys, with_plan
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.description import House
from retrofit_lab.house.editing import (
    with_answer,
    with_copy,
    with_item,
    with_observation,
    with_same_windows,
    with_word,
    without_item,
)
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.house.first_answers import first_answers
from retrofit_lab.house.items import item_named
from retrofit_lab.house.job_folder import PLAN
from retrofit_lab.house.journal import Entry, not_in_the_file
from retrofit_lab.house.keeping import keep_house
from retrofit_lab.house.photos import load_photos, photo_beside, save_photos
from retrofit_lab.house.starting import starting_house
from retrofit_lab.measures.renamed import known_keys
from retrofit_lab.texts.refusals import told


def begin(state: WalkthroughState, answers: Mapping[str, str], file_name: str) -> None:
    """Start a house from the answers of the questionnaire, and save it at once.

    Raises
    ------
    HouseError
        When an answer cannot be used, or the file is there already.
    """
    path = _new_path(state, file_name or answers.get("name", ""))
    house = starting_house(first_answers(answers))
    keep_house(house, path)
    state.take(house, path, photos=())


def open_file(state: WalkthroughState, file_name: str) -> None:
    """Open a house file; what was being recorded stays when that fails.

    Raises
    ------
    HouseError
        When the file or its list of photos cannot be used.
    """
    path = state.folder / file_name.strip()
    house = load_house(path)
    photos = load_photos(path)
    state.take(house, path, photos)


def left_over(state: WalkthroughState) -> tuple[Entry, ...]:
    """What was answered but is not in the file yet, since a session ended early; what was undone is left out."""
    left: list[Entry] = []
    for entry in not_in_the_file(state.open_path):
        if entry.act.get("kind") == "back":
            del left[-1:]
        elif entry.act.get("kind") != "forward":
            left.append(entry)
    return tuple(left)


def answer(state: WalkthroughState, path: str, text: str) -> bool:
    """Take a typed number; False when it cannot stand and is kept beside the house."""
    return _try(state, path, text, lambda house: with_answer(house, path, text, state.house_folder))


def choose(state: WalkthroughState, path: str, word: str) -> bool:
    """Take a chosen or typed word; False when it cannot stand."""
    return _try(state, path, word, lambda house: _with_word(state, house, path, word))


def note(state: WalkthroughState, word: str, seen: bool) -> bool:
    """Note an observation or strike it out; False when there is no such observation."""
    return _try(
        state, f"observations.{word}", "", lambda house: with_observation(house, word, seen)
    )


def confirm(state: WalkthroughState, paths: Iterable[str]) -> None:
    """Take estimates as answers: someone looked, and they are right."""
    house = state.open_house
    state.change(replace(house, assumed=house.assumed - frozenset(paths)))


def add(state: WalkthroughState, list_path: str, name: str) -> str:
    """Add a ready-made part; returns its path.

    Raises
    ------
    InputError
        When it cannot be added.
    """
    house, path = with_item(state.open_house, list_path, item_named(name), state.house_folder)
    state.change(house)
    return path


def copy(state: WalkthroughState, path: str) -> str:
    """Add a part once more; returns the path of the copy.

    Raises
    ------
    HouseError
        When it cannot be copied.
    """
    house, new = with_copy(state.open_house, path)
    state.change(house)
    return new


def same_windows(state: WalkthroughState, path: str) -> None:
    """Take the other windows that no one described as of the kind of one of them.

    Raises
    ------
    HouseError
        When its own kind is not answered.
    """
    state.change(with_same_windows(state.open_house, path))


def agree(state: WalkthroughState, text: str) -> None:
    """Take the plan of a link or of a saved file as the one that was agreed on; no text takes it out.

    Raises
    ------
    InputError
        When there is no plan in it, or a measure of it is none.
    """
    keys = known_keys(plan_keys(text)) if text.strip() else ()
    state.change(with_plan(state.open_house, keys))


def plan_beside(state: WalkthroughState) -> str:
    """The plan that was saved from the page into the folder of the house; empty where there is none."""
    path = state.open_path.with_name(PLAN)
    return (
        path.read_text(encoding="utf-8", errors="replace")[: MOST_LETTERS + 1]
        if path.is_file()
        else ""
    )


def remove(state: WalkthroughState, path: str) -> None:
    """Remove a part.

    Raises
    ------
    HouseError
        When it cannot be removed.
    """
    state.change(without_item(state.open_house, path, state.house_folder))
    state.refused = {p: r for p, r in state.refused.items() if not p.startswith(f"{path}.")}


def keep_bills(
    state: WalkthroughState, rows: Sequence[Sequence[str]], answers: Mapping[str, str] | None = None
) -> BillSet:
    """Keep typed bills in a file beside the house, and name it in the house.

    Raises
    ------
    BillQuestion
        When the rows can be read in two ways.
    InputError
        When a row cannot be used, or the file cannot be written.
    """
    path = typed_bills_path(state.open_path)
    bills = keep_typed_bills(rows, path, answers)
    state.change(replace(state.open_house, bills=path.name))
    return bills


def typed_bills(state: WalkthroughState) -> list[list[str]]:
    """Rows of the bills that were typed for the house before, to go on with."""
    return [list(row) for row in typed_rows(state.open_path, state.open_house.bills)]


def write_report(state: WalkthroughState) -> Path:
    """Write the report of the saved house into a folder beside it; returns the page.

    Raises
    ------
    InputError
        When the house cannot be studied, or the folder cannot be written to.
    """
    from retrofit_lab.app.report.writing import (  # noqa: PLC0415
        ReportOptions,
        write_report,
    )
    from retrofit_lab.proposals.content import Maker  # noqa: PLC0415 - the form opens without it

    folder = state.open_path.with_name(f"{state.open_path.stem}_report")
    options = ReportOptions(house=state.open_path, out=folder, maker=Maker(made_on=date.today()))
    return write_report(options)[0]


def go(state: WalkthroughState, key: str) -> None:
    """Go to a stop; an unknown one changes nothing."""
    if stop_named(key):
        state.here = key


def save_as(state: WalkthroughState, folder: str) -> Path:
    """Go on in another folder, where the disk refuses this one; returns the new file.

    Raises
    ------
    HouseError
        When that folder cannot be used either, or has such a file.
    """
    path = Path(folder.strip()).expanduser() / state.open_path.name
    if path.exists():
        raise HouseError(told("disk.there_too", file=path))
    try:
        save_house(state.open_house, path)
        save_photos(state.photos, path)
    except OSError as error:
        raise cannot_write(path, error) from error
    state.folder, state.path = path.parent, path
    state.was_written(state.open_house)
    return path


def attach(state: WalkthroughState, file_name: str, note: str = "") -> None:
    """Attach a picture to the present stop.

    Raises
    ------
    HouseError
        When there is no such picture, or the list cannot be written.
    """
    photo = photo_beside(file_name, state.open_path, state.here, note)
    if photo not in state.photos:
        _keep_photos(state, (*state.photos, photo))


def take_picture(state: WalkthroughState, data: Any, name: str, note: str = "") -> None:
    """Keep a picture that a phone sent, at the present stop.

    Raises
    ------
    HouseError
        When it is no picture, or cannot be written.
    """
    from retrofit_lab.house.pictures import keep_picture  # noqa: PLC0415 - the form opens without it

    _keep_photos(
        state, (*state.photos, keep_picture(data, name, state.open_path, state.here, note))
    )


def detach(state: WalkthroughState, place: int) -> None:
    """Take a picture off the list; the file itself stays."""
    if 0 <= place < len(state.photos):
        _keep_photos(state, tuple(p for n, p in enumerate(state.photos) if n != place))


def _new_path(state: WalkthroughState, name: str) -> Path:
    stem = safe_stem(name.removesuffix(ENDING))
    if not stem:
        raise HouseError(told("disk.house_name"))
    path = state.folder / f"{stem}{ENDING}"
    if path.exists():
        raise HouseError(told("disk.there", file=path.name))
    return path


def _with_word(state: WalkthroughState, house: House, path: str, word: str) -> House:
    if path == WEATHER:
        find_climate(word, str(state.open_path.parent))
    return with_word(house, path, word, state.house_folder)


def _try(state: WalkthroughState, path: str, text: str, change: Callable[[House], House]) -> bool:
    house = state.open_house
    try:
        state.change(change(house))
    except InputError as error:
        state.refused = {**state.refused, path: (text, error)}
        return False
    state.refused = {other: kept for other, kept in state.refused.items() if other != path}
    return True


def _keep_photos(state: WalkthroughState, photos: tuple[Any, ...]) -> None:
    try:
        save_photos(photos, state.open_path)
    except OSError as error:
        raise HouseError(told("disk.photos", why=error.strerror)) from error
    state.photos = photos
