"""Starts the read-only page server: standalone voila with every door shut that the page does not need."""

import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.request
import webbrowser
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from retrofit_lab.presentation.classroom.guess_box import GUESSES_VARIABLE
from retrofit_lab.presentation.kitchen_table import (
    BILLS_VARIABLE,
    HOUSE_VARIABLE,
    PRICES_VARIABLE,
)
from retrofit_lab.reference_data import shipped_folder
from retrofit_lab.values import InputError

SHARE = Path(__file__).parent / "share"
LOOPBACK = ("127.0.0.1", "::1", "localhost")
EXTENSIONS = [
    "@voila-dashboards/widgets-manager8",
    "@jupyter-widgets/jupyterlab-manager",
    "anywidget",
]
IDLE_SECONDS = 1200
START_SECONDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class ServeOptions:
    """How a page is served; without ``page`` it is the kitchen table."""

    house: Path
    listen: str = "127.0.0.1"
    port: int = 0
    token: str = ""
    open_browser: bool = True
    page: Path | None = None
    bills: Path | None = None
    prices: Path | None = None


def check_options(options: ServeOptions) -> None:
    """Refuse to listen beyond this machine without a token.

    Raises
    ------
    InputError
        Saying what to add.
    """
    if options.listen not in LOOPBACK and len(options.token) < 16:
        raise InputError(
            f"listening on {options.listen} lets other machines in; a token of at least 16 letters is "
            f"needed. Write one to a file and add --token-file FILE, or leave --listen out."
        )


def free_port(listen: str) -> int:
    """A port that nothing listens on."""
    family = socket.AF_INET6 if ":" in listen else socket.AF_INET
    with socket.socket(family) as probe:
        probe.bind((listen, 0))
        return int(probe.getsockname()[1])


def server_settings(options: ServeOptions, port: int) -> dict[str, Any]:
    """Settings of the page server, as its configuration file holds them."""
    return {
        "Voila": {
            "ip": options.listen,
            "port": port,
            "port_retries": 0,
            "open_browser": False,
            "token": options.token,
            "auto_token": False,
            "root_dir": str(options.page.parent if options.page else shipped_folder("notebooks")),
        },
        "VoilaConfiguration": {
            "template": "retrofit_lab",
            "theme": "light",
            "allow_template_override": "NO",
            "allow_theme_override": "NO",
            "strip_sources": True,
            "show_tracebacks": False,
            "file_allowlist": [],
            "extension_allowlist": EXTENSIONS,
        },
        "VoilaExecutor": {"timeout": 60},
        "KernelManager": {"transport": "ipc" if os.name == "posix" else "tcp"},
        "MappingKernelManager": {
            "cull_idle_timeout": IDLE_SECONDS,
            "cull_interval": 60,
            "cull_connected": False,
        },
    }


def serve(options: ServeOptions) -> int:
    """Serve the page until the server is stopped; returns its exit code."""
    check_options(options)
    # whoever ends the command ends it as Ctrl-C does: settings, token and guesses go with it
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    port = options.port or free_port(options.listen)
    with tempfile.TemporaryDirectory(prefix="retrofit_lab_") as folder:
        settings = Path(folder) / "voila.json"
        settings.touch(mode=0o600)
        settings.write_text(json.dumps(server_settings(options, port)), encoding="utf-8")
        process = subprocess.Popen(  # noqa: S603 - our own interpreter and arguments
            _command(options, folder), env=_environment(options, folder)
        )
        opener = threading.Thread(target=_announce, args=(process, options, port), daemon=True)
        opener.start()
        return _wait(process)


def _command(options: ServeOptions, folder: str) -> list[str]:
    page = options.page or shipped_folder("notebooks") / "kitchen_table.ipynb"
    return [sys.executable, "-m", "voila", str(page), f"--Voila.config_file_paths={folder}"]


def _environment(options: ServeOptions, folder: str) -> dict[str, str]:
    paths = [str(SHARE), os.environ.get("JUPYTER_PATH", "")]
    return {
        **os.environ,
        "JUPYTER_PATH": os.pathsep.join(path for path in paths if path),
        "JUPYTER_CONFIG_DIR": folder,
        "JUPYTER_RUNTIME_DIR": folder,
        HOUSE_VARIABLE: str(options.house.resolve()),
        BILLS_VARIABLE: _whole(options.bills),
        PRICES_VARIABLE: _whole(options.prices),
        GUESSES_VARIABLE: folder,
    }


def _whole(path: Path | None) -> str:
    return str(path.resolve()) if path else ""


def _wait(process: "subprocess.Popen[bytes]") -> int:
    try:
        return process.wait()
    except KeyboardInterrupt:
        process.terminate()
        return process.wait()


def _announce(process: "subprocess.Popen[bytes]", options: ServeOptions, port: int) -> None:
    """Print the address once the server answers, and open it in the browser if wanted."""
    host = f"[{options.listen}]" if ":" in options.listen else options.listen
    query = f"?token={options.token}" if options.token else ""
    address = f"http://{host}:{port}/{query}"
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end and process.poll() is None:
        if _answers(f"http://{host}:{port}/voila/static/voila.js"):
            what = "page" if options.page else "kitchen table"
            print(f"The {what} is at {address}", flush=True)  # noqa: T201 - the command's output
            if options.open_browser:
                webbrowser.open(address)
            return
        time.sleep(0.2)


def _answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(address, timeout=2):  # noqa: S310 - our own server
            return True
    except urllib.error.HTTPError:
        return True
    except OSError:
        return False
