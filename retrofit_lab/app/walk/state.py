"""One recording of one house, as traits: the house so far, where the walk is, what was refused; no widget.

Every answer goes to the journal and then into the file at once. The file may change meanwhile, by another
device or by hand: before each act it is looked at, and both are brought together field by field.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import traitlets
from filelock import FileLock

from retrofit_lab.app.walk.route import stop_named, stops
from retrofit_lab.base.values import InputError
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.house.job_status import LOCK_SECONDS, lock_path
from retrofit_lab.house.journal import Entry, entries, fingerprint, note
from retrofit_lab.house.keeping import keep_house
from retrofit_lab.house.merging import changed_paths, merged
from retrofit_lab.house.oddity import Oddity
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
            raise cannot_write(self.open_path, error) from error

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
    def house_folder(self) -> str:
        """Folder of the house file, where a weather file of its own lies."""
        return str(self.open_path.parent)

    def change(self, house: House) -> None:
        """Take a changed house, so that the change can be taken back."""
        before = self.open_house
        if house == before:
            return
        self._done = [*self._done[-MOST_STEPS_BACK:], (before, house)]
        self._undone = []
        self._stand(house)

    def take(self, house: House, path: Path, photos: tuple[Any, ...]) -> None:
        """Go on with another house, of which nothing is waiting or can be taken back."""
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
            raise cannot_write(path, error) from error
        self.was_written(house)

    def was_written(self, house: House) -> None:
        """Note that the file holds the house now."""
        self._kept_version = True
        self._on_disk, self._stamp = house, _stamp_of(self.open_path)
        self._waiting = []
        self.unsaved = False
        self.saved_at = datetime.now().astimezone().strftime("%H:%M")

    def _judge(self, house: House) -> None:
        self.house = house
        try:
            self.oddities = (*check_house(house), *_of_its_use(house, self.house_folder))
            self.problems = ()
        except HouseError as error:
            self.problems = lines_of(error)


def _of_its_use(house: House, folder: str) -> tuple[Oddity, ...]:
    """What is unlikely about the use of the house; nothing where its weather cannot be found yet."""
    try:
        year = year_energy(house, find_climate(house.site.climate, folder))
    except InputError:
        return ()
    return (*short_heaters(year), *unlikely_use(year))


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


def cannot_write(path: Path, error: Exception) -> NotWrittenError:
    """Refusal of a disk, with its reason."""
    why = getattr(error, "strerror", None) or str(error)
    return NotWrittenError(told("disk.waits", file=path.name, why=why))
