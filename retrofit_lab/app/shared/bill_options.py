"""What every command can be told about bills, and how it tells them back; bills are read elsewhere."""

import argparse
from pathlib import Path

from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.study.study import Study
from retrofit_lab.texts.english_only import sentence


def add_bill_options(parser: argparse.ArgumentParser) -> None:
    """Add the options for bills to a command."""
    parser.add_argument(
        "--bills",
        type=Path,
        action="append",
        default=[],
        metavar="FILE",
        help=sentence("shared_bill_options.bills_fit"),
    )
    parser.add_argument(
        "--weather",
        type=Path,
        metavar="FILE",
        help=sentence("shared_bill_options.csv_daily"),
    )
    parser.add_argument(
        "--bill-answer",
        action="append",
        default=[],
        metavar="KEY=CHOICE",
        help=sentence("shared_bill_options.answer_what"),
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
        raise InputError(sentence("shared_bill_options.bill_answer", wrong=wrong[0]))
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
