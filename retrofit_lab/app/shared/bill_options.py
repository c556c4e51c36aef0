"""What every command can be told about bills, and how it tells them back; bills are read elsewhere."""

import argparse
from pathlib import Path

from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.study.study import Study


def add_bill_options(parser: argparse.ArgumentParser) -> None:
    """Add the options for bills to a command."""
    parser.add_argument(
        "--bills",
        type=Path,
        action="append",
        default=[],
        metavar="FILE",
        help="bills to fit the house to, instead of those named in the house file: CSV, .xlsx or open interval XML; "
        "repeat it for several meters, fuels or years",
    )
    parser.add_argument(
        "--weather",
        type=Path,
        metavar="FILE",
        help="CSV with the daily temperatures of the days on the bills",
    )
    parser.add_argument(
        "--bill-answer",
        action="append",
        default=[],
        metavar="KEY=CHOICE",
        help="answer to what a bill file leaves open, such as dates=day-first",
    )


def bill_files(options: argparse.Namespace) -> BillFiles:
    """Files and answers of a command, with whole paths.

    Raises
    ------
    InputError
        When an answer is not written KEY=CHOICE.
    """
    pairs = [answer.partition("=") for answer in options.bill_answer]
    if wrong := [key for key, mark, _ in pairs if not mark]:
        raise InputError(
            f"--bill-answer {wrong[0]}: must be KEY=CHOICE, such as dates=day-first. Write both."
        )
    return BillFiles(
        paths=tuple(str(path.resolve()) for path in options.bills),
        weather=str(options.weather.resolve()) if options.weather else "",
        answers=tuple((key.strip(), choice.strip()) for key, _, choice in pairs),
    )


def told_back(study: Study) -> list[str]:
    """What was read, a line for each file, and the verdict on bills and model; nothing where there are no bills."""
    if study.billed is None:
        return []
    return [*study.billed.bills.read, *study.billed.verdict]
