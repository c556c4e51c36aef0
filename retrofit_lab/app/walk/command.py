"""The ``walk`` subcommand: serves the form to phone, tablet and laptop, or opens it in JupyterLab; no form here."""

import argparse
import json
import os
import secrets
import shutil
import subprocess
import sys
from pathlib import Path

from retrofit_lab.app.shared.ending import stopped_by_signals
from retrofit_lab.app.shared.surroundings import FOLDER_VARIABLE, HOUSE_VARIABLE
from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.base.values import InputError
from retrofit_lab.house.file import load_house
from retrofit_lab.house.job_folder import only_house
from retrofit_lab.texts import LANGUAGES
from retrofit_lab.texts.english_only import sentence

NOTEBOOK = "walkthrough.ipynb"
LISTEN = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104 - only with a token
PHONE_PORT = 8460
"""Always the same, so that a phone that opened it once finds it again; another is taken where it is in use."""
ASKS_THE_NETWORK = "@jupyterlab/apputils-extension:announcements"
"""Part of JupyterLab that asks for news and updates; a form for a basement without network needs none."""


def add_walk(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command's parser."""
    walk = commands.add_parser("walk", help=sentence("walk_command.record_house"))
    walk.add_argument(
        "house",
        nargs="?",
        type=Path,
        help=sentence("walk_command.house_file"),
    )
    walk.add_argument(
        "--phone",
        action="store_true",
        help=sentence("walk_command.let_phones"),
    )
    walk.add_argument("--lab", action="store_true", help=sentence("walk_command.open_form"))
    walk.add_argument("--port", type=int, default=0, help=sentence("walk_command.port_free"))
    walk.add_argument(
        "--language",
        default=LANGUAGES[0],
        choices=LANGUAGES,
        help=sentence("walk_command.language_form"),
    )
    walk.add_argument("--no-browser", action="store_true", help=sentence("walk_command.no_browser"))
    walk.set_defaults(run=run_walk)


def run_walk(options: argparse.Namespace) -> int:
    """Open the form until it is stopped; returns its exit code.

    Raises
    ------
    InputError
        When the house file cannot be used.
    """
    house, folder = house_and_folder(options.house)
    return _run_lab(options, house, folder) if options.lab else _serve(options, house, folder)


def _serve(options: argparse.Namespace, house: Path | None, folder: Path) -> int:
    from retrofit_lab.app.serve import serving  # noqa: PLC0415 - pulls in the page's libraries
    from retrofit_lab.app.serve.spoken_code import new_code  # noqa: PLC0415 - as above

    listen = EVERYWHERE if options.phone else LISTEN
    return serving.serve(
        serving.ServeOptions(
            house=house,
            folder=folder,
            page=shipped_folder("notebooks") / NOTEBOOK,
            name=sentence("walk_command.form_walk"),
            listen=listen,
            port=options.port or (serving.port_or_free(listen, PHONE_PORT) if options.phone else 0),
            # whoever has it may write in this folder, so it is made anew each time and never chosen by hand
            token=secrets.token_urlsafe(16) if options.phone else "",
            code=new_code() if options.phone else "",
            qr=options.phone,
            language=options.language,
            open_browser=not options.no_browser,
        )
    )


def _run_lab(options: argparse.Namespace, house: Path | None, folder: Path) -> int:
    from retrofit_lab.app.serve import serving  # noqa: PLC0415 - pulls in the page's libraries
    from retrofit_lab.app.serve.listening import listening_sockets  # noqa: PLC0415

    port = options.port or serving.free_port(LISTEN)
    for probe in listening_sockets(LISTEN, port):
        probe.close()
    serving.remove_left_folders()
    with stopped_by_signals(), serving.own_folder() as work:
        shutil.copy(shipped_folder("notebooks") / NOTEBOOK, work)
        config = Path(work) / ".config" / "labconfig"
        config.mkdir(parents=True)
        quiet = json.dumps({"disabledExtensions": {ASKS_THE_NETWORK: True}})
        (config / "page_config.json").write_text(quiet, encoding="utf-8")
        process = subprocess.Popen(  # noqa: S603 - our own interpreter and arguments
            lab_command(work, port, options.no_browser),
            env=_environment(house, folder, config.parent),
            stdin=subprocess.PIPE,
        )
        return serving.wait_for(process)


def house_and_folder(given: Path | None) -> tuple[Path | None, Path]:
    """House file to open, if any, and the folder where files stand.

    Raises
    ------
    InputError
        When there is no such file, or it is damaged.
    """
    if given is None:
        return None, Path.cwd()
    if given.is_dir():
        return only_house(given.resolve()), given.resolve()
    if not given.exists():
        raise InputError(sentence("walk_command.such_file", given=given))
    load_house(given)
    return given.resolve(), given.resolve().parent


def lab_command(work: str, port: int, no_browser: bool) -> list[str]:
    """Command that opens JupyterLab on the notebook in a working folder, on this machine only."""
    command = [sys.executable, "-m", "retrofit_lab.app.walk.lab"]
    command += [f"--ServerApp.root_dir={work}", f"--ServerApp.ip={LISTEN}"]
    command += [f"--ServerApp.port={port}", "--ServerApp.port_retries=0"]
    command.append("--LabApp.extension_manager=readonly")
    command += [f"--LabApp.default_url=/doc/tree/{NOTEBOOK}", "--ServerApp.terminals_enabled=False"]
    # in a container the only user is often root; the server listens on this machine and asks for its token
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")
    return [*command, "--no-browser"] if no_browser else command


def _environment(house: Path | None, folder: Path, config: Path) -> dict[str, str]:
    paths = [str(config), os.environ.get("JUPYTER_CONFIG_PATH", "")]
    return {
        **os.environ,
        "JUPYTER_CONFIG_PATH": os.pathsep.join(path for path in paths if path),
        FOLDER_VARIABLE: str(folder),
        HOUSE_VARIABLE: str(house or ""),
    }
