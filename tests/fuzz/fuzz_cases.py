"""Inputs as a slip, a broken program or someone hostile might make them, by kind; each is made from a number alone."""

import base64
import json
import random
import re
import zipfile
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

from retrofit_lab.app.lesson.command import answers_csv, read_answers
from retrofit_lab.app.page.kept_plans import KeepingError, kept, kept_from, removed, renamed
from retrofit_lab.app.page.plan_file import FORMAT, VERSION, read_choice
from retrofit_lab.app.page.told import told
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.units import SPELLING, read_quantity
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.fitting.period_weather import read_actual_days
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.classroom.marking import mark_all
from retrofit_lab.classroom.scenario import scenario
from retrofit_lab.classroom.scenario_questions import questions_of
from retrofit_lab.classroom.scenario_texts import ScenarioTexts
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.house.photos import load_photos
from retrofit_lab.house.pictures import keep_picture, thumbnail, without_place
from retrofit_lab.model.year import year_energy
from retrofit_lab.portfolio.table import house_of, read_table
from retrofit_lab.proposals.bids import BIDDER, FIXED, LINE, PRICE, read_all_bids
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.opening import open_study, own_terms

HERE = Path(__file__).parent
BILLS = HERE.parents[0] / "data/bills"
REFUSED = (InputError, KeepingError)
"""What a refusal is: a sentence for whoever gave the input."""
ODD = [
    "", " ", "0", "-1", "1e400", "-1e308", "nan", "inf", "1e-320", "9" * 400, "1,5", "1.234,5", "0.0000", "\ufeff",
    "\0", "\ud800", "\uffff", "\u202e", "\u2028", "'", '"', "\\", "=1+1", "<script>", "&amp;", "../../x", "CON",
    "a" * 70_000, "[[", "{}", "true", "null", "2024-02-30", "31/12/2024", "0000-00-00", "99999-01-01", "5 ft**9**9",
    "5 ft^4^4^4", "1 ft/0", "3 parsec", "5 (((ft", "R-1e309", "U--3", "½", "٣", "１２", "1_000", "0x10", "−5", "5 %",
    "12:99", "2024-03-10T02:30:00-99:00", "Q", "=" * 300,
]  # fmt: skip
WRITABLE = [text for text in ODD if text.isprintable() and len(text) < 32_000]
"""What a spreadsheet program lets into a cell."""
LETTERS = "0123456789.,-+eE/:; \t\n\r\"'[]{}=#<>&()ftRU%$kWh\u00e9\ufffe\x00"


def slipped(rng: random.Random, text: str) -> str:
    """A text with a few slips: letters, words, lines that changed, went, came twice or moved."""
    for _ in range(rng.choice((1, 1, 1, 2, 3, 8))):
        text = rng.choice(SLIPS)(rng, text)
    return text


def _letter(rng: random.Random, text: str) -> str:
    at = rng.randrange(len(text) + 1)
    return text[:at] + rng.choice(LETTERS) + text[at + rng.randrange(3) :]


def _word(rng: random.Random, text: str) -> str:
    """Another value in the place of one."""
    marks = [n for n, letter in enumerate(text) if letter in "=,:;\n <>\"'"] or [0]
    at = rng.choice(marks) + 1
    end = next((n for n in marks if n >= at), len(text))
    return text[:at] + rng.choice(ODD) + text[end:]


def _number(rng: random.Random, text: str) -> str:
    """Another number in the place of one, near or far."""
    found = list(re.finditer(r"-?\d+(?:\.\d+)?", text))
    if not found:
        return text
    hit = rng.choice(found)
    factor = rng.choice((0.0, -1.0, 0.5, 0.9, 1.1, 2.0, 10.0, 1e6))
    return f"{text[: hit.start()]}{float(hit[0]) * factor:g}{text[hit.end() :]}"


def _lines(rng: random.Random, text: str) -> str:
    lines = text.splitlines(keepends=True) or [""]
    first, last = sorted(rng.randrange(len(lines) + 1) for _ in range(2))
    part = lines[first:last]
    return "".join(
        rng.choice(
            (
                [*lines[:first], *lines[last:]],
                [*lines[:last], *part, *lines[last:]],
                [*lines[:first], *reversed(part), *lines[last:]],
                lines[:first],
            )
        )
    )


def _cut(rng: random.Random, text: str) -> str:
    return text[: rng.randrange(len(text) + 1)]


def _nested(rng: random.Random, text: str) -> str:
    at, depth = rng.randrange(len(text) + 1), rng.choice((3, 200, 5000))
    left, right = rng.choice((("[", "]"), ("{", "}"), ("<a>", "</a>"), ("(", ")")))
    return text[:at] + left * depth + right * depth + text[at:]


SLIPS: tuple[Callable[[random.Random, str], str], ...] = (
    _number, _number, _number, _number, _number, _letter, _word, _word, _word, _lines, _cut, _nested,
)  # fmt: skip


def as_bytes(rng: random.Random, text: str) -> bytes:
    """A text as some program would save it, now and then with bytes that are no text."""
    encoding = rng.choice(("utf-8",) * 6 + ("utf-8-sig", "utf-16", "latin-1", "cp1252"))
    content = text.encode(encoding, "replace")
    if rng.random() < 0.1:
        content = content.replace(b"\n", b"\r\n")
    if content and rng.random() < 0.1:
        at = rng.randrange(len(content))
        content = (
            content[:at]
            + bytes(rng.randrange(256) for _ in range(rng.randrange(1, 9)))
            + content[at + 1 :]
        )
    return content


@cache
def texts(*patterns: Path) -> tuple[str, ...]:
    found = [path for pattern in patterns for path in sorted(pattern.parent.glob(pattern.name))]
    return tuple(path.read_bytes().decode("utf-8", "replace") for path in found)


def written(rng: random.Random, folder: Path, name: str, *patterns: Path) -> Path:
    path = folder / name
    path.write_bytes(as_bytes(rng, slipped(rng, rng.choice(texts(*patterns)))))
    return path


def house(rng: random.Random, folder: Path) -> None:
    """A house file, and a year of it where it can be used."""
    found = load_house(written(rng, folder, "h.toml", data_path("houses", "*.toml")))
    energy = year_energy(found, find_climate(found.site.climate, str(folder)))
    assert energy is not None


def prices(rng: random.Random, folder: Path) -> None:
    """A file of own prices and terms."""
    own_terms(written(rng, folder, "p.toml", data_path("prices", "*.toml"), HERE / "prices.toml"))


def bills_csv(rng: random.Random, folder: Path) -> None:
    """A table of bills."""
    read_bills(written(rng, folder, "b.csv", BILLS / "*.csv"))


def bills_xml(rng: random.Random, folder: Path) -> None:
    """Interval readings."""
    read_bills(written(rng, folder, "b.xml", BILLS / "*.xml"))


def bills_xlsx(rng: random.Random, folder: Path) -> None:
    """A spreadsheet of bills: odd cells, or a file inside that slipped."""
    from openpyxl import Workbook

    book = Workbook()
    for line in rng.choice(texts(BILLS / "*.csv")).splitlines()[:60]:
        row = [rng.choice(WRITABLE) if rng.random() < 0.03 else c for c in line.split(",")]
        row = [
            float(c)
            if rng.random() < 0.7 and c.replace(".", "", 1).isdigit() and len(c) < 12
            else c
            for c in row
        ]
        book.active.append([c for c in row if isinstance(c, float) or c.isprintable()])
    held = BytesIO()
    book.save(held)
    path = folder / "b.xlsx"
    path.write_bytes(_packed_again(rng, held.getvalue()))
    read_bills(path)


def _packed_again(rng: random.Random, content: bytes) -> bytes:
    if rng.random() < 0.2:
        at = rng.randrange(len(content))
        return (
            content[:at] + rng.randbytes(rng.randrange(1, 40)) + content[at + rng.randrange(20) :]
        )
    if rng.random() < 0.5:
        return content
    held = BytesIO()
    with zipfile.ZipFile(BytesIO(content)) as old, zipfile.ZipFile(held, "w") as new:
        hit = rng.choice(old.namelist())
        for name in old.namelist():
            inside = old.read(name)
            new.writestr(
                name, as_bytes(rng, slipped(rng, inside.decode())) if name == hit else inside
            )
    return held.getvalue()


def weather(rng: random.Random, folder: Path) -> None:
    """Weather of one's own, by the month or the day, named in any way."""
    if rng.random() < 0.3:
        find_climate(
            slipped(
                rng, rng.choice(("55401", "greensboro_nc", "Portland, OR", "mine.csv like 55401"))
            ),
            str(folder),
        )
        return
    months = "month,mean\n" + "".join(f"{m},{30 + 3 * m}\n" for m in range(1, 13))
    days = "date,mean\n" + "".join(
        f"2024-{m:02d}-{d:02d},{40 + m}\n" for m in range(1, 13) for d in (1, 2, 28)
    )
    text = rng.choice((months, days))
    (folder / "mine.csv").write_bytes(as_bytes(rng, slipped(rng, text)))
    if rng.random() < 0.5:
        find_climate("mine.csv like 55401", str(folder))
    else:
        read_actual_days(folder / "mine.csv")


def table(rng: random.Random, folder: Path) -> None:
    """A table of houses, row by row."""
    for row in read_table(written(rng, folder, "t.csv", data_path("tables", "*.csv"))):
        with suppress(*REFUSED):
            house_of(row)


def bids(rng: random.Random, folder: Path) -> None:
    """Bids of contractors."""
    keys = rng.sample(known_measures(), 3)
    beside = "".join(f'{key},{key},1,100,"1,200"\n' for key in keys)
    trade = "".join(f"{key},x,{rng.randrange(9999)}\n" for key in keys)
    text = rng.choice(
        (f"{','.join(FIXED)},Ann,Bob\n{beside}", f"{BIDDER},Ann\n{LINE},what,{PRICE}\n{trade}")
    )
    (folder / "bids.csv").write_bytes(as_bytes(rng, slipped(rng, text)))
    read_all_bids([folder / "bids.csv"], known_measures())


@cache
def example() -> Any:
    return open_study(data_path("houses", "wren_cottage.toml"))


def known_measures() -> tuple[str, ...]:
    return tuple(example().keys)


@cache
def _of_the_page() -> tuple[Any, Any]:
    return told(example(), "en", "us"), RealHouses(example())


def any_json(rng: random.Random, depth: int = 0) -> Any:
    """Any content of a message."""
    kind = rng.randrange(7 if depth < 4 else 5)
    if kind < 5:
        return rng.choice((None, True, rng.randint(-5, 10**rng.randrange(1, 30)), rng.random() * 10 ** rng.randrange(300),
                           rng.choice(ODD), *known_measures()))  # fmt: skip
    inner = [any_json(rng, depth + 1) for _ in range(rng.randrange(4))]
    names = ("name", "ticked", "kept", "house", "version", "format", "then")
    return inner if kind == 5 else {rng.choice(names): one for one in inner}


def choices(rng: random.Random, folder: Path) -> None:
    """A saved plan."""
    keys = rng.sample(known_measures(), 3)
    content: dict[str, Any] = {
        "format": FORMAT, "version": VERSION, "house": "x", "ticked": keys, "kept": [{"name": "A", "ticked": keys}],
        "then": {"saves, dollars a year": 100.0},
    }  # fmt: skip
    if rng.random() < 0.6:
        content[rng.choice([*content, "other"])] = any_json(rng)
    text = json.dumps(content)
    opened = read_choice(slipped(rng, text) if rng.random() < 0.7 else text, *_of_the_page())
    kept_from(opened.kept, _usable)


def _usable(found: Any) -> tuple[str, ...]:
    return tuple(key for key in found if key in known_measures())


def links(rng: random.Random, folder: Path) -> None:
    """What a link or a page says of kept plans."""
    plans = kept_from(any_json(rng), _usable)
    plans = kept(plans, any_json(rng), rng.sample(known_measures(), 2))
    plans = renamed(plans, any_json(rng), any_json(rng))
    removed(plans, any_json(rng))


@cache
def _scenario() -> tuple[Any, str]:
    made = scenario(7, 1)
    return [asked.question for asked in questions_of(made)], answers_csv(made, ScenarioTexts())


def answers(rng: random.Random, folder: Path) -> None:
    """Answers of a student."""
    asked, text = _scenario()
    filled = "\n".join(f"{line},{rng.choice(ODD)[:99]}" for line in text.splitlines())
    path = folder / "answers.csv"
    path.write_bytes(as_bytes(rng, slipped(rng, rng.choice((filled, text)))))
    mark_all(asked, read_answers(path))


UNIT_TEXTS = (
    "3.5 in",
    "R-13",
    "U-0.3",
    "20 C",
    "1,200 cfm",
    "5 m3/h",
    "85 %",
    "12 ft 6 in",
    "0.3 W/m2/K",
    "4 kWh/day",
    "3'",
)


def units(rng: random.Random, folder: Path) -> None:
    """A number with its unit."""
    text = rng.choice((rng.choice(ODD), slipped(rng, rng.choice(UNIT_TEXTS)), any_json(rng)))
    value = read_quantity(text, rng.choice(tuple(SPELLING)))
    assert isinstance(value, float)


def photos(rng: random.Random, folder: Path) -> None:
    """A list of photos, a picture that a phone sends, and one beside the house."""
    from PIL import Image

    held = BytesIO()
    Image.new("RGB", (rng.randrange(1, 60), rng.randrange(1, 60)), "red").save(
        held, rng.choice(("PNG", "JPEG", "WEBP", "GIF"))
    )
    content = held.getvalue()
    at = rng.randrange(len(content))
    content = rng.choice(
        (
            content,
            content[:at] + rng.randbytes(3) + content[at + 2 :],
            content[:at],
            rng.randbytes(99),
        )
    )
    without_place(content)
    (folder / "x.png").write_bytes(content)
    thumbnail(folder / "x.png")
    listed = 'format = "retrofit-lab photos"\nversion = 1\n[[photo]]\nfile = "x.png"\nstop = "attic"\nnote = ""\n'
    (folder / "h.photos.toml").write_bytes(as_bytes(rng, slipped(rng, listed)))
    sent = "data:image/png;base64," + base64.b64encode(content).decode()
    with suppress(*REFUSED):
        load_photos(folder / "h.toml")
    keep_picture(
        rng.choice((sent, slipped(rng, sent))), rng.choice(ODD)[:99], folder / "h.toml", "attic"
    )


KINDS = {
    one.__name__: one
    for one in (
        house,
        prices,
        bills_csv,
        bills_xml,
        bills_xlsx,
        weather,
        table,
        bids,
        choices,
        links,
        answers,
        units,
        photos,
    )
}


def case(kind: str, seed: int, folder: Path) -> str:
    """Work one case out: ``"result"`` or ``"sentence"``; whatever else comes out of it is a slip of the program."""
    try:
        KINDS[kind](random.Random(f"{kind} {seed}"), folder)
    except KeepingError:
        return "sentence"
    except InputError as error:
        return "sentence" if str(error).strip() else "refusal without a sentence"
    return "result"
