"""Every kind of error and the help of every command, provoked and printed for reading aloud; no judgment of them.

    python tests/words/errors.py

prints what was typed and what a person is told, then every sentence that a command or a refused file has in the code.
The sentences of the catalogs are printed by `catalog_sentences.py`."""

import contextlib
import io
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from test_words_outside import found

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.command import main as command

WREN = data_path("houses", "wren_cottage.toml")
"""An example house, spoiled in one place for each error."""
SPOILED = {
    "a file that is no TOML": lambda text: text.replace("[size]", "[size"),
    "an unknown field": lambda text: text.replace("stories", "storeys", 1),
    "a number out of its range": lambda text: _first(text, "bedrooms = ", "bedrooms = 99"),
    "a word for a number": lambda text: text.replace('floor_area = "', 'floor_area = "about '),
    "a wrong unit": lambda text: text.replace('ft2"', 'kg"', 1),
    "an unknown place": lambda text: _first(text, "climate = ", 'climate = "00000"'),
    "another version": lambda text: _first(text, "version = ", "version = 99"),
    "an unknown observation": lambda text: _first(text, "observations = ", 'observations = ["ghosts"]'),
}  # fmt: skip
BILLS = {
    "bills without a date": "fuel,usage (kWh),dollars\nelectricity,512,81\n",
    "bills of an unknown fuel": "fuel,start,end,usage\npeat,2025-01-01,2025-01-31,512 kWh\n",
    "a bill with words": "fuel,start,end,usage (kWh)\nelectricity,2025-01-01,2025-01-31,many\n",
    "a bill of the future": "fuel,start,end,usage (kWh)\nelectricity,2925-01-01,2925-01-31,512\n",
    "an empty bill file": "",
}
HEAD = 'format = "retrofit-lab prices"\nversion = 1\n'
PRICES = {
    "a file that is no price file": '[[rebate]]\nname = "Spring"\namount = 100\n',
    "a rebate for nothing": f'{HEAD}[[rebates]]\nname = "Spring"\nmeasures = ["ghosts"]\namount = 100\n',
    "a rebate of half a percent": f'{HEAD}[[rebates]]\nname = "Spring"\npercent = 0.3\n',
    "a price that is no number": f'{HEAD}[prices.wall_fill]\nlow = 1\nlikely = "dear"\nhigh = 3\nyear = 2026\n',
    "a discount rate in percent": f"{HEAD}[money]\ndiscount_rate = 4\n",
}
COMMANDS = (
    "serve", "check", "savings", "report", "portfolio", "scenario", "lesson-sheet", "walk", "job", "weather",
)  # fmt: skip
TYPED = (
    ("savings", "no_such_house.toml"),
    ("serve", "--port", "99999"),
    ("weather", "99999"),
    ("weather", "Springfield"),
    ("weather", "Paris, France"),
    ("scenario", "--level", "9", "--seed", "1"),
    ("portfolio", "no_such_table.csv"),
    ("report", "--bids", "no_such_bids.csv"),
)


def _first(text: str, start: str, line: str) -> str:
    lines = text.splitlines()
    found = next((place for place, old in enumerate(lines) if old.startswith(start)), None)
    if found is None:
        return f"{line}\n{text}"
    return "\n".join([*lines[:found], line, *lines[found + 1 :]])


def said(*arguments: str) -> str:
    """What a command tells a person, whatever its end."""
    heard = io.StringIO()
    with (
        contextlib.redirect_stdout(heard),
        contextlib.redirect_stderr(heard),
        contextlib.suppress(SystemExit),
    ):
        command([*arguments])
    return heard.getvalue()


def told(folder: Path) -> Iterator[tuple[str, str]]:
    """What was wrong, and what is told about it."""
    house = WREN.read_text(encoding="utf-8")
    for what, spoil in SPOILED.items():
        file = folder / "house.toml"
        file.write_text(spoil(house), encoding="utf-8")
        yield what, said("check", str(file))
    for what, text in BILLS.items():
        file = folder / "bills.csv"
        file.write_text(text, encoding="utf-8")
        yield what, said("check", str(WREN), "--bills", str(file))
    for what, text in PRICES.items():
        file = folder / "prices.toml"
        file.write_text(text, encoding="utf-8")
        yield what, said("savings", str(WREN), "--prices", str(file))
    for arguments in TYPED:
        yield f"retrofit-lab {' '.join(arguments)}", said(*arguments)


def main() -> None:
    print(said("--help"))
    for name in COMMANDS:
        print(said(name, "--help"))
    with tempfile.TemporaryDirectory() as folder:
        for what, text in told(Path(folder)):
            print(f"== {what}\n{text}")
    for file, lines in found().items():
        print(f"== {file}", *(f"{number}: {text}" for number, text in lines), sep="\n")


if __name__ == "__main__":
    sys.exit(main())
