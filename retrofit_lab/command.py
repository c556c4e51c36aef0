"""The ``retrofit-lab`` command: what can be asked of it, and how it says what is wrong."""

import argparse
import io
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from retrofit_lab import __version__
from retrofit_lab.app.commands.job import add_job
from retrofit_lab.app.commands.portfolio import add_portfolio
from retrofit_lab.app.commands.step_lines import needs_lines, step_lines
from retrofit_lab.app.commands.weather import add_weather
from retrofit_lab.app.lesson.command import add_lesson_sheet, add_scenario, lesson_page
from retrofit_lab.app.report.command import add_report
from retrofit_lab.app.shared.bill_options import add_bill_options, bill_files, told_back
from retrofit_lab.app.shared.carbon_wording import carbon_worth
from retrofit_lab.app.shared.ending import stopped_by_signals
from retrofit_lab.app.shared.hazard_wording import hazard_lines
from retrofit_lab.app.shared.job_options import plan_named, with_job
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.app.shared.words import words
from retrofit_lab.app.walk.command import add_walk
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.file import load_house
from retrofit_lab.house.job_status import move_on
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.proposals.steps import Proposal, proposal, rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.opening import open_study
from retrofit_lab.study.results import MeasureResult, PlanResult
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES
from retrofit_lab.texts.english_only import sentence

if TYPE_CHECKING:
    from retrofit_lab.app.serve.serving import ServeOptions

BAD_INPUT = 2
STOPPED = 130
EXAMPLE = data_path("houses", "alder_street.toml")
"""House of a page where none is named."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 0 when done, 2 when the input cannot be used."""
    _say_what_can_be_said()
    options = _parser().parse_args(arguments)
    try:
        # what a command has begun, such as a browser that prints, ends with it
        with stopped_by_signals():
            return int(options.run(options))
    except InputError as error:
        _say(str(error), file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        return STOPPED


def _say_what_can_be_said() -> None:
    """Let a terminal that knows few letters show a question mark for the others, and the rest."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="retrofit-lab",
        description=sentence("command.about"),
    )
    parser.add_argument("--version", action="version", version=__version__)
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    _add_serve(commands)
    _add_check(commands)
    _add_savings(commands)
    add_report(commands, beside=_page_at_home)
    add_portfolio(commands)
    add_scenario(commands)
    add_lesson_sheet(commands)
    add_walk(commands)
    add_job(commands)
    add_weather(commands)
    return parser


def _page_at_home(
    study: Study, ticked: tuple[str, ...], language: str, system: str
) -> tuple[str, str]:
    """The page that the homeowner keeps: its name and text."""
    from retrofit_lab.app.home.writing import (  # noqa: PLC0415 - pulls in the page's libraries
        NAME,
        home_html,
    )

    return NAME, home_html(study, ticked, language, system)


def _add_serve(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    serve = commands.add_parser("serve", help=sentence("command.open_read"))
    _add_house(serve)
    serve.add_argument(
        "--lesson",
        type=int,
        help=sentence("command.open_lesson"),
    )
    serve.add_argument(
        "--place",
        default="",
        help=sentence("command.address_zip"),
    )
    serve.add_argument(
        "--class",
        type=int,
        dest="class_size",
        metavar="N",
        help=sentence("command.prepare_pages"),
    )
    serve.add_argument(
        "--listen",
        help=sentence("command.address_listen"),
    )
    serve.add_argument("--port", type=int, help=sentence("command.port_any"))
    serve.add_argument("--token-file", type=Path, help=sentence("command.file_holds"))
    serve.add_argument(
        "--new-class",
        action="store_true",
        help=sentence("command.make_new"),
    )
    serve.add_argument("--no-browser", action="store_true", help=sentence("command.no_browser"))
    serve.add_argument(
        "--language",
        default=LANGUAGES[0],
        choices=LANGUAGES,
        help=sentence("command.language_page"),
    )
    serve.set_defaults(run=_serve)


def _add_check(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    check = commands.add_parser("check", help=sentence("command.tell_what"))
    _add_house(check)
    check.set_defaults(run=_check)


def _add_savings(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    savings = commands.add_parser("savings", help=sentence("command.print_what"))
    _add_house(savings)
    savings.add_argument(
        "--plan",
        default="",
        help=sentence("command.measures_joined"),
    )
    savings.add_argument(
        "--calculated",
        action="store_true",
        help=sentence("command.show_calculated"),
    )
    savings.set_defaults(run=_savings)


def _add_house(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "house",
        nargs="?",
        type=Path,
        default=EXAMPLE,
        help=sentence("command.house_file"),
    )
    add_bill_options(parser)
    parser.add_argument("--prices", type=Path, help=sentence("command.your_own"))


def _study(options: argparse.Namespace) -> Study:
    return open_study(options.house, bills=bill_files(options), prices=str(options.prices or ""))


def _serve(options: argparse.Namespace) -> int:
    from retrofit_lab.app.serve import serving  # noqa: PLC0415 - pulls in the page's libraries

    folder = options.house if options.house.is_dir() else None
    options = with_job(options)
    serving.check_class(options.class_size)
    options.listen = listen = options.listen or serving.listen_for(options.class_size)
    options.port = (
        serving.settled_port(listen)
        if options.port is None
        else serving.check_port(listen, options.port)
    )
    token = _token(options.token_file)
    lesson = {} if options.lesson is None else _lesson(options)
    if not lesson:
        study = _study(options)
        study.plan(())
        for line in told_back(study):
            _say(line)
        if folder:
            move_on(options.house, "at the table")
    return serving.serve(_serve_options(options, lesson, token))


def _lesson(options: argparse.Namespace) -> dict[str, Any]:
    """What the page server needs for a lesson; it has a house of its own where none is named."""
    own = options.house != EXAMPLE
    return lesson_page(
        options.lesson,
        house=options.house if own else None,
        place=options.place,
        prices=str(options.prices or ""),
    )


def _serve_options(
    options: argparse.Namespace, lesson: dict[str, Any], token: str
) -> "ServeOptions":
    from retrofit_lab.app.serve import serving  # noqa: PLC0415 - as above

    return serving.ServeOptions(
        house=options.house,
        listen=options.listen,
        port=options.port,
        open_browser=not options.no_browser,
        bills=bill_files(options),
        prices=options.prices,
        class_size=options.class_size,
        language=options.language,
        **lesson | _let_in(options.listen, token, "trainer" in lesson, new=options.new_class),
    )


def _let_in(listen: str, token: str, lesson: bool, *, new: bool) -> dict[str, Any]:
    """How people are let in, and where their guesses lie; nothing is kept for a page of this machine alone."""
    from retrofit_lab.app.serve import kept_class, serving  # noqa: PLC0415 - as above

    wide = listen not in serving.LOOPBACK
    if not wide and not lesson:
        return {"token": token}
    kept = kept_class.kept_class(new=new)
    if kept.went_on:
        _say(sentence("command.class_goes_on"))
    trainer = {"name": "lesson", "trainer": kept.trainer, "guesses": kept.folder} if lesson else {}
    if not wide:
        return {"token": token, **trainer}
    return {"token": token or kept.token, "code": kept.code, "qr": True, **trainer}


def _token(path: Path | None) -> str:
    if path is None:
        return ""
    try:
        return path.read_text(encoding="utf-8-sig").strip()
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(sentence("command.token_file", path=path, why=error)) from error


def _check(options: argparse.Namespace) -> int:
    options = with_job(options)
    house = load_house(options.house)
    study = _study(options)
    study.plan(())
    for line in (*hazard_lines(study), *told_back(study)):
        _say(line)
    oddities = study.case.oddities
    for note in study.climate.notes:
        _say(f"{options.house.name}: weather: {note}")
    for oddity in oddities:
        _say(f"{options.house.name}: {oddity.sentence}")
    for due in study.case.due:
        _say(f"{options.house.name}: {due.sentence}")
    for line in needs_lines(study, rater_plan(Advice(study))):
        _say(f"{options.house.name}: {line}")
    _say(
        sentence(
            "command.can_used",
            name=options.house.name,
            unusual=len(oddities),
            defaults=len(house.assumed),
        )
    )
    return 0


def _savings(options: argparse.Namespace) -> int:
    options = with_job(options)
    study = _study(options)
    ticked = todays_keys(plan_named(options.plan))
    result = study.plan(ticked)
    for line in (*hazard_lines(study), *told_back(study)):
        _say(line)
    if result.ticked:
        _say(_headline(study, result.ticked, options.calculated))
    _say(sentence("command.calculated_perfect"))
    for key, row in result.measures.items():
        mark = "x" if row.ticked else " "
        _say(
            f"[{mark}] {key:28s} alone {row.alone:8.2f}  now {row.now:8.2f}  cost {row.cost.likely:9.2f}"
            f"{_held(row)}"
        )
    _say(_sums(result))
    if carbon := carbon_worth(result, study.case.terms, words(LANGUAGES[0])):
        _say(carbon)
    proposed = _proposed(study, result.ticked, sure=not options.calculated)
    for line in step_lines(study, proposed, chosen=bool(result.ticked)):
        _say(line)
    return 0


def _sums(result: PlanResult) -> str:
    """Bills before and after, what is saved and how far measures overlap, to the cent and of the cents above."""
    before, after = round(result.before.cost, 2), round(result.after.cost, 2)
    alone = sum(round(row.alone, 2) for row in result.measures.values() if row.ticked)
    saved = before - after
    return sentence(
        "command.before_after",
        cost=f"{before:.2f}",
        after=f"{after:.2f}",
        saved=f"{saved:.2f}",
        overlap=f"{round(alone - saved, 2) + 0.0:.2f}",
    )


def _proposed(study: Study, ticked: Sequence[str], *, sure: bool) -> Proposal:
    """The chosen plan or, where nothing is chosen, the best of what something speaks for."""
    advice = Advice(study)
    return proposal(advice, ticked, sure=sure) if ticked else rater_plan(advice, sure=sure)


def _held(row: MeasureResult) -> str:
    """What a measure waits for, at the end of its line."""
    titles = "; ".join(hazard.title for hazard in row.held_by)
    return f"  waits: {titles}" if titles else ""


def _headline(study: Study, ticked: Sequence[str], worked_out: bool) -> str:
    """The saving of a plan with its range, both from the same draws."""
    saving = Advice(study).outcome(ticked, worked_out=worked_out).saving
    counted = "as calculated" if worked_out else "in real houses"
    return (
        f"saves about {dollars(saving.middle)} a year {counted}; in 8 of 10 cases "
        f"{dollars(saving.low)} to {dollars(saving.high)}"
    )


def _say(text: str, file: TextIO | None = None) -> None:
    print(text, file=file or sys.stdout)


if __name__ == "__main__":
    sys.exit(main())
