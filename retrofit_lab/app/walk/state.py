"""One recording of one house, as traits: the house so far, where the walk is, what was refused; no widget.

Every answer goes to the journal and then into the file at once. The file may change meanwhile, by another
device or by hand: before each act it is looked at, and both are brought together field by field.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import traitlets
from filelock import FileLock

from retrofit_lab.app.walk.route import stop_named, stops
from retrofit_lab.base.file_names import safe_stem
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.bill_entry import keep_typed_bills, typed_bills_path, typed_rows
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.agreed_plan import MOST_LETTERS, plan_keys, with_plan
from retrofit_lab.house.checking import HouseError, check_house
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
from retrofit_lab.house.job_status import LOCK_SECONDS, lock_path
from retrofit_lab.house.journal import Entry, entries, fingerprint, not_in_the_file, note
from retrofit_lab.house.keeping import keep_house
from retrofit_lab.house.merging import changed_paths, merged
from retrofit_lab.house.oddity import Oddity
from retrofit_lab.house.photos import load_photos, photo_beside, save_photos
from retrofit_lab.house.starting import starting_house
from retrofit_lab.measures.renamed import known_keys
from retrofit_lab.model.plausible import unlikely_use
from retrofit_lab.model.sizing import short_heaters
from retrofit_lab.model.year import year_energy
from retrofit_lab.texts.refusals import lines_of, told

MOST_STEPS_BACK = 200
ENDING = ".toml"
WEATHER = "site.climate"


class NotWrittenError(HouseError):
    """The disk refuses for now; whoever sent an answer should keep it and send it again."""


class WalkthroughState(traitlets.HasTraits):
    """A house while it is being recorded.

    ``refused`` holds, by path, what was typed and why it cannot stand; ``problems`` what does not fit
    together yet, so that the file waits (the journal has it); ``oddities`` what is unusual; ``elsewhere``
    the fields that another device or a hand changed since the last look.
    """

    house = traitlets.Instance(House, allow_none=True)
    path = traitlets.Instance(Path, allow_none=True)
    here = traitlets.Unicode()
    refused = traitlets.Dict()
    problems = traitlets.Tuple()
    oddities = traitlets.Tuple()
    unsaved = traitlets.Bool()
    saved_at = traitlets.Unicode()
    elsewhere = traitlets.Tuple()
    photos = traitlets.Tuple()

    def __init__(self, folder: str | Path = ".", **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.folder = Path(folder)
        self.here = stops()[0].key
        self._done: list[tuple[House, House]] = []
        self._undone: list[tuple[House, House]] = []
        self._known: set[str] = set()
        self._waiting: list[Entry] = []
        self._on_disk: House | None = None
        self._stamp: tuple[int, int] = (0, 0)
        self._kept_version = False

    def begin(self, answers: Mapping[str, str], file_name: str) -> None:
        """Start a house from the answers of the questionnaire, and save it at once.

        Raises
        ------
        HouseError
            When an answer cannot be used, or the file is there already.
        """
        path = self._new_path(file_name or answers.get("name", ""))
        house = starting_house(first_answers(answers))
        keep_house(house, path)
        self._take(house, path, photos=())

    def open(self, file_name: str) -> None:
        """Open a house file; what was being recorded stays when that fails.

        Raises
        ------
        HouseError
            When the file or its list of photos cannot be used.
        """
        path = self.folder / file_name.strip()
        house = load_house(path)
        photos = load_photos(path)
        self._take(house, path, photos)

    def left_over(self) -> tuple[Entry, ...]:
        """What was answered but is not in the file yet, since a session ended early; what was undone is left out."""
        left: list[Entry] = []
        for entry in not_in_the_file(self.open_path):
            if entry.act.get("kind") == "back":
                del left[-1:]
            elif entry.act.get("kind") != "forward":
                left.append(entry)
        return tuple(left)

    @contextmanager
    def acting(self, act: Mapping[str, Any], *, anew: bool = True) -> Iterator[bool]:
        """Do one thing with the file as it stands now; gives whether it still has to be done.

        The act is in the journal before it is done; one that arrives twice is done once.

        Raises
        ------
        HouseError
            When the file or the journal cannot be used.
        """
        if self.path is None:
            yield True
            return
        with self._alone():
            self.look()
            name = str(act.get("id", ""))
            if name and name in self._known and anew:
                yield False
                return
            self._note(act)
            yield True

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """Hold the file against other devices for a moment."""
        lock = FileLock(lock_path(self.open_path), timeout=LOCK_SECONDS)
        try:
            with lock:
                yield
        except (OSError, TimeoutError) as error:
            raise _cannot_write(self.open_path, error) from error

    def _note(self, act: Mapping[str, Any]) -> None:
        entry = Entry(
            id=str(act.get("id", "")),
            device=str(act.get("device", "")),
            at=datetime.now(UTC).isoformat(timespec="seconds"),
            before=fingerprint(self.open_path),
            act=act,
        )
        note(self.open_path, entry)
        self._known.add(entry.id)
        self._waiting.append(entry)

    def look(self) -> None:
        """Look whether the file changed, and bring what is there together with what is here.

        Raises
        ------
        HouseError
            When the file cannot be read any more; what is here stays.
        """
        stamp = _stamp_of(self.open_path)
        if stamp == self._stamp:
            return
        theirs = load_house(self.open_path)
        house = merged(self._on_disk, self.house, theirs)
        self.elsewhere = tuple(dict.fromkeys((*self.elsewhere, *changed_paths(self.house, house))))
        self._on_disk, self._stamp = theirs, stamp
        self._known |= {entry.id for entry in entries(self.open_path) if entry.id}
        self._stand(house)
        if self.unsaved:
            # they were meant for a file that is not there any more
            waiting, self._waiting = self._waiting, []
            for entry in waiting:
                self._note(entry.act)

    def answer(self, path: str, text: str) -> bool:
        """Take a typed number; False when it cannot stand and is kept beside the house."""
        return self._try(path, text, lambda house: with_answer(house, path, text, self._beside))

    def choose(self, path: str, word: str) -> bool:
        """Take a chosen or typed word; False when it cannot stand."""
        return self._try(path, word, lambda house: self._with_word(house, path, word))

    def note(self, word: str, seen: bool) -> bool:
        """Note an observation or strike it out; False when there is no such observation."""
        return self._try(
            f"observations.{word}", "", lambda house: with_observation(house, word, seen)
        )

    def confirm(self, paths: Iterable[str]) -> None:
        """Take estimates as answers: someone looked, and they are right."""
        house = self.open_house
        self._change(replace(house, assumed=house.assumed - frozenset(paths)))

    def add(self, list_path: str, name: str) -> str:
        """Add a ready-made part; returns its path.

        Raises
        ------
        InputError
            When it cannot be added.
        """
        house, path = with_item(self.open_house, list_path, item_named(name), self._beside)
        self._change(house)
        return path

    def copy(self, path: str) -> str:
        """Add a part once more; returns the path of the copy.

        Raises
        ------
        HouseError
            When it cannot be copied.
        """
        house, new = with_copy(self.open_house, path)
        self._change(house)
        return new

    def same_windows(self, path: str) -> None:
        """Take the other windows that no one described as of the kind of one of them.

        Raises
        ------
        HouseError
            When its own kind is not answered.
        """
        self._change(with_same_windows(self.open_house, path))

    def agree(self, text: str) -> None:
        """Take the plan of a link or of a saved file as the one that was agreed on; no text takes it out.

        Raises
        ------
        InputError
            When there is no plan in it, or a measure of it is none.
        """
        keys = known_keys(plan_keys(text)) if text.strip() else ()
        self._change(with_plan(self.open_house, keys))

    def plan_beside(self) -> str:
        """The plan that was saved from the page into the folder of the house; empty where there is none."""
        path = self.open_path.with_name(PLAN)
        return (
            path.read_text(encoding="utf-8", errors="replace")[: MOST_LETTERS + 1]
            if path.is_file()
            else ""
        )

    def remove(self, path: str) -> None:
        """Remove a part.

        Raises
        ------
        HouseError
            When it cannot be removed.
        """
        self._change(without_item(self.open_house, path, self._beside))
        self.refused = {p: r for p, r in self.refused.items() if not p.startswith(f"{path}.")}

    def keep_bills(
        self, rows: Sequence[Sequence[str]], answers: Mapping[str, str] | None = None
    ) -> BillSet:
        """Keep typed bills in a file beside the house, and name it in the house.

        Raises
        ------
        BillQuestion
            When the rows can be read in two ways.
        InputError
            When a row cannot be used, or the file cannot be written.
        """
        path = typed_bills_path(self.open_path)
        bills = keep_typed_bills(rows, path, answers)
        self._change(replace(self.open_house, bills=path.name))
        return bills

    def typed_bills(self) -> list[list[str]]:
        """Rows of the bills that were typed for the house before, to go on with."""
        return [list(row) for row in typed_rows(self.open_path, self.open_house.bills)]

    def write_report(self) -> Path:
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

        folder = self.open_path.with_name(f"{self.open_path.stem}_report")
        options = ReportOptions(house=self.open_path, out=folder, maker=Maker(made_on=date.today()))
        return write_report(options)[0]

    def go(self, key: str) -> None:
        """Go to a stop; an unknown one changes nothing."""
        if stop_named(key):
            self.here = key

    def step_back(self) -> bool:
        """Take the last change of this device back, and nothing that others did; False when there is none."""
        if not self._done:
            return False
        before, after = self._done.pop()
        self._undone.append((before, after))
        self._stand(merged(after, before, self.open_house))
        return True

    def step_forward(self) -> bool:
        """Do again what was taken back last; False when there is nothing."""
        if not self._undone:
            return False
        before, after = self._undone.pop()
        self._done.append((before, after))
        self._stand(merged(before, after, self.open_house))
        return True

    def save_as(self, folder: str) -> Path:
        """Go on in another folder, where the disk refuses this one; returns the new file.

        Raises
        ------
        HouseError
            When that folder cannot be used either, or has such a file.
        """
        path = Path(folder.strip()).expanduser() / self.open_path.name
        if path.exists():
            raise HouseError(told("disk.there_too", file=path))
        try:
            save_house(self.open_house, path)
            save_photos(self.photos, path)
        except OSError as error:
            raise _cannot_write(path, error) from error
        self.folder, self.path = path.parent, path
        self._was_written(self.open_house)
        return path

    def attach(self, file_name: str, note: str = "") -> None:
        """Attach a picture to the present stop.

        Raises
        ------
        HouseError
            When there is no such picture, or the list cannot be written.
        """
        photo = photo_beside(file_name, self.open_path, self.here, note)
        if photo not in self.photos:
            self._keep_photos((*self.photos, photo))

    def take_picture(self, data: Any, name: str, note: str = "") -> None:
        """Keep a picture that a phone sent, at the present stop.

        Raises
        ------
        HouseError
            When it is no picture, or cannot be written.
        """
        from retrofit_lab.house.pictures import keep_picture  # noqa: PLC0415 - the form opens without it

        self._keep_photos((*self.photos, keep_picture(data, name, self.open_path, self.here, note)))

    def detach(self, place: int) -> None:
        """Take a picture off the list; the file itself stays."""
        if 0 <= place < len(self.photos):
            self._keep_photos(tuple(p for n, p in enumerate(self.photos) if n != place))

    @property
    def can_step_back(self) -> bool:
        """Whether a change can be taken back."""
        return bool(self._done)

    @property
    def can_step_forward(self) -> bool:
        """Whether something that was taken back can be done again."""
        return bool(self._undone)

    @property
    def open_house(self) -> House:
        """The house that is open, or an error that says how to open one."""
        if self.house is None:
            raise HouseError(told("disk.no_house"))
        return self.house

    @property
    def open_path(self) -> Path:
        """File of the house that is open, or an error that says how to open one."""
        if self.path is None:
            raise HouseError(told("disk.no_house"))
        return self.path

    @property
    def beside(self) -> Path:
        """Folder in which files of the house are looked for."""
        return self.folder if self.path is None else self.path.parent

    @property
    def _beside(self) -> str:
        """Folder of the house file, where a weather file of its own lies."""
        return str(self.open_path.parent)

    def _new_path(self, name: str) -> Path:
        stem = safe_stem(name.removesuffix(ENDING))
        if not stem:
            raise HouseError(told("disk.house_name"))
        path = self.folder / f"{stem}{ENDING}"
        if path.exists():
            raise HouseError(told("disk.there", file=path.name))
        return path

    def _with_word(self, house: House, path: str, word: str) -> House:
        if path == WEATHER:
            find_climate(word, str(self.open_path.parent))
        return with_word(house, path, word, self._beside)

    def _try(self, path: str, text: str, change: Callable[[House], House]) -> bool:
        house = self.open_house
        try:
            self._change(change(house))
        except InputError as error:
            self.refused = {**self.refused, path: (text, error)}
            return False
        self.refused = {other: kept for other, kept in self.refused.items() if other != path}
        return True

    def _change(self, house: House) -> None:
        before = self.open_house
        if house == before:
            return
        self._done = [*self._done[-MOST_STEPS_BACK:], (before, house)]
        self._undone = []
        self._stand(house)

    def _take(self, house: House, path: Path, photos: tuple[Any, ...]) -> None:
        with self.hold_trait_notifications():
            self._done, self._undone, self._waiting = [], [], []
            written = entries(path)
            self._known = {entry.id for entry in written if entry.id}
            self._kept_version = False
            self.path = path
            self.photos = photos
            self.refused = {}
            self.elsewhere = ()
            self.here = _last_stop(written)
            self._judge(house)
            self._on_disk, self._stamp = house, _stamp_of(path)
            self.unsaved = False

    def _stand(self, house: House) -> None:
        """Take a house as it now is, and write it where it fits together."""
        with self.hold_trait_notifications():
            self._judge(house)
            self.unsaved = bool(self.problems) or house != self._on_disk
        if self.unsaved and not self.problems:
            self._write(house)

    def _write(self, house: House) -> None:
        path = self.open_path
        try:
            if self._kept_version:
                save_house(house, path)
            else:
                keep_house(house, path)
        except OSError as error:
            raise _cannot_write(path, error) from error
        self._was_written(house)

    def _was_written(self, house: House) -> None:
        self._kept_version = True
        self._on_disk, self._stamp = house, _stamp_of(self.open_path)
        self._waiting = []
        self.unsaved = False
        self.saved_at = datetime.now().astimezone().strftime("%H:%M")

    def _judge(self, house: House) -> None:
        self.house = house
        try:
            self.oddities = (*check_house(house), *self._of_its_use(house))
            self.problems = ()
        except HouseError as error:
            self.problems = lines_of(error)

    def _of_its_use(self, house: House) -> tuple[Oddity, ...]:
        """What is unlikely about the use of the house; nothing where its weather cannot be found yet."""
        try:
            year = year_energy(house, find_climate(house.site.climate, self._beside))
        except InputError:
            return ()
        return (*short_heaters(year), *unlikely_use(year))

    def _keep_photos(self, photos: tuple[Any, ...]) -> None:
        try:
            save_photos(photos, self.open_path)
        except OSError as error:
            raise HouseError(told("disk.photos", why=error.strerror)) from error
        self.photos = photos


def _last_stop(written: Sequence[Entry]) -> str:
    """Stop of the last thing that was recorded of a house, or the first one."""
    for entry in reversed(written[-MOST_STEPS_BACK:]):
        where = str(entry.act.get("stop") or "")
        if stop_named(where):
            return where
    return stops()[0].key


def _stamp_of(path: Path) -> tuple[int, int]:
    """What changes with every writing of a file: when, and how long it is."""
    try:
        told = path.stat()
    except OSError:
        return (0, 0)
    return (told.st_mtime_ns, told.st_size)


def _cannot_write(path: Path, error: Exception) -> NotWrittenError:
    why = getattr(error, "strerror", None) or str(error)
    return NotWrittenError(told("disk.waits", file=path.name, why=why))
