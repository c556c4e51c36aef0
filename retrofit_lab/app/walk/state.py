"""One recording of one house, as traits: the house so far, where the walk is, what was refused; no widget."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import traitlets

from retrofit_lab.app.walk.route import stop_named, stops
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.bill_entry import keep_typed_bills
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.editing import (
    with_answer,
    with_item,
    with_observation,
    with_word,
    without_item,
)
from retrofit_lab.house.file import load_house
from retrofit_lab.house.first_answers import first_answers
from retrofit_lab.house.items import item_named
from retrofit_lab.house.keeping import draft_of, drop_draft, keep_draft, keep_house
from retrofit_lab.house.oddity import Oddity
from retrofit_lab.house.photos import load_photos, photo_beside, save_photos
from retrofit_lab.house.starting import starting_house
from retrofit_lab.model.plausible import unlikely_use
from retrofit_lab.model.sizing import short_heaters
from retrofit_lab.model.year import year_energy

MOST_STEPS_BACK = 200
ENDING = ".toml"
WEATHER = "site.climate"


class WalkthroughState(traitlets.HasTraits):
    """A house while it is being recorded.

    ``refused`` holds, by path, what was typed and why it cannot stand; ``problems`` what does not fit
    together yet, so that the house cannot be saved; ``oddities`` what is unusual.
    """

    house = traitlets.Instance(House, allow_none=True)
    path = traitlets.Instance(Path, allow_none=True)
    here = traitlets.Unicode()
    refused = traitlets.Dict()
    problems = traitlets.Tuple()
    oddities = traitlets.Tuple()
    unsaved = traitlets.Bool()
    draft = traitlets.Instance(House, allow_none=True)
    photos = traitlets.Tuple()

    def __init__(self, folder: str | Path = ".", **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.folder = Path(folder)
        self.here = stops()[0].key
        self._steps: list[House] = []

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
        draft = draft_of(path)
        self.draft = draft if draft != house else None

    def take_draft(self) -> None:
        """Go on with the draft that was never saved."""
        if self.draft is not None:
            self._change(self.draft)
            self.draft = None

    def leave_draft(self) -> None:
        """Throw the draft away."""
        self.draft = None
        if self.path is not None:
            drop_draft(self.path)

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
        """Take estimates as answers: somebody looked, and they are right."""
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
        path = self.open_path.with_name(f"{self.open_path.stem}.bills.csv")
        bills = keep_typed_bills(rows, path, answers)
        self._change(replace(self.open_house, bills=path.name))
        return bills

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
        """Take the last change back; False when there is none."""
        if not self._steps:
            return False
        self._show(self._steps.pop())
        return True

    def save(self) -> Path | None:
        """Save the house; returns the version that was kept of the file before, if any.

        Raises
        ------
        HouseError
            When the house does not fit together yet, or the disk refuses.
        """
        version = keep_house(self.open_house, self.open_path)
        self.unsaved = False
        self.draft = None
        return version

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

    def detach(self, place: int) -> None:
        """Take a picture off the list; the file itself stays."""
        if 0 <= place < len(self.photos):
            self._keep_photos(tuple(p for n, p in enumerate(self.photos) if n != place))

    @property
    def can_step_back(self) -> bool:
        """Whether a change can be taken back."""
        return bool(self._steps)

    @property
    def open_house(self) -> House:
        """The house that is open, or an error that says how to open one."""
        if self.house is None:
            raise HouseError("no house is open. Start or open one first.")
        return self.house

    @property
    def open_path(self) -> Path:
        """File of the house that is open, or an error that says how to open one."""
        if self.path is None:
            raise HouseError("no house is open. Start or open one first.")
        return self.path

    @property
    def _beside(self) -> str:
        """Folder of the house file, where a weather file of its own lies."""
        return str(self.open_path.parent)

    def _new_path(self, name: str) -> Path:
        words = "".join(letter if letter.isalnum() else " " for letter in name.removesuffix(ENDING))
        stem = "_".join(words.lower().split())[:60]
        if not stem:
            raise HouseError("Name of the house: is not answered. It names the file as well.")
        path = self.folder / f"{stem}{ENDING}"
        if path.exists():
            raise HouseError(f"{path.name} is there already. Open it, or give another file name.")
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
            self.refused = {**self.refused, path: (text, str(error))}
            return False
        self.refused = {other: kept for other, kept in self.refused.items() if other != path}
        return True

    def _change(self, house: House) -> None:
        if house == self.house:
            return
        self._steps = [*self._steps[-MOST_STEPS_BACK:], self.open_house]
        self._show(house)

    def _take(self, house: House, path: Path, photos: tuple[Any, ...]) -> None:
        with self.hold_trait_notifications():
            self._steps = []
            self.path = path
            self.photos = photos
            self.refused = {}
            self.draft = None
            self.here = stops()[0].key
            self._judge(house)
            self.unsaved = False

    def _show(self, house: House) -> None:
        with self.hold_trait_notifications():
            self._judge(house)
            self.unsaved = True
        if not self.problems:
            keep_draft(house, self.open_path)

    def _judge(self, house: House) -> None:
        self.house = house
        try:
            self.oddities = (*check_house(house), *self._of_its_use(house))
            self.problems = ()
        except HouseError as error:
            self.problems = tuple(str(error).splitlines())

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
            raise HouseError(f"the list of photos cannot be written ({error.strerror}).") from error
        self.photos = photos
