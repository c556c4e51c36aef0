"""Starts the read-only page server with every door shut that the page does not need, and says where it is."""

import io
import ipaddress
import json
import logging
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
import webbrowser
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import psutil

from retrofit_lab.app.serve.capacity import (
    Places,
    class_sentences,
    free_megabytes,
    places_for,
    within_files,
)
from retrofit_lab.app.serve.listening import LISTENING, file_limit, listening_sockets
from retrofit_lab.app.shared.ending import stopped_by_signals
from retrofit_lab.app.shared.surroundings import (
    BILLS_VARIABLE,
    FOLDER_VARIABLE,
    GUESSES_VARIABLE,
    HOUSE_VARIABLE,
    JOIN_VARIABLE,
    LANGUAGE_VARIABLE,
    LESSON_HOUSE_VARIABLE,
    PLACE_VARIABLE,
    PRICES_VARIABLE,
    TEMPLATES,
    TRAINER_VARIABLE,
)
from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.texts import LANGUAGES
from retrofit_lab.texts.english_only import sentence

SERVER_MODULE = "retrofit_lab.app.serve"
LOOPBACK = ("127.0.0.1", "::1", "localhost")
EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104 - only looked for, and refused without a token
EXTENSIONS = [
    "@voila-dashboards/widgets-manager8",
    "@jupyter-widgets/jupyterlab-manager",
    "anywidget",
]
IDLE_SECONDS = 1200
USUAL_PORT = 8450
"""Always the same, so that a page that was opened once is found again."""
NEXT_PORTS = 9
"""Ports after the usual one that are tried before any free one is taken."""
MESSAGE_BYTES, WALK_BYTES = 2_000_000, 12_000_000
"""Largest message that a page may send; a form of a walk sends pictures."""
FOLDERS = "retrofit_lab_"
LONGEST_ENDING = 19
"""Letters of a folder's own name after that: a number of a process and what makes it unlike all others."""
SOCKET_PATH = 103
"""Bytes that the path of a socket may have; some systems have four more. [1]"""
SHORT_PLACE = "/tmp"  # noqa: S108 - the folders in it are made so that only who made them can enter
"""Where every system with such sockets has room for the files of others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ServeOptions:
    """How a page is served; without ``page`` it is the kitchen table; ``trainer`` opens its class view.

    ``folder`` is where the form of a walk writes; no other page gets one. ``code`` are two spoken words that
    let people in beside the token; ``guesses`` is where a class keeps its guesses, which end with the server
    where there is none. Port 0 is any free one. A lesson is held with ``house`` only where it is someone's
    ``own_house``, and in the weather of ``place`` where that is named.
    """

    house: Path | None
    folder: Path | None = None
    name: str = "kitchen table"
    qr: bool = False
    listen: str = "127.0.0.1"
    port: int = 0
    token: str = ""
    code: str = ""
    guesses: Path | None = None
    open_browser: bool = True
    page: Path | None = None
    bills: BillFiles = BillFiles()  # noqa: RUF009 - frozen
    prices: Path | None = None
    place: str = ""
    own_house: bool = False
    class_size: int | None = None
    idle_seconds: int = IDLE_SECONDS
    trainer: str = ""
    language: str = LANGUAGES[0]


def check_class(size: int | None) -> None:
    """Refuse a class that the memory does not hold.

    Raises
    ------
    InputError
        Saying how many would fit.
    """
    places_for(size, free_megabytes())


def check_options(options: ServeOptions) -> None:
    """Refuse to listen beyond this machine without a token, and a class that the memory does not hold.

    Raises
    ------
    InputError
        Saying what to add or how many would fit.
    """
    check_class(options.class_size)
    if options.listen not in LOOPBACK and len(options.token) < 16:
        raise InputError(sentence("serve_serving.listening_on", listen=options.listen))


def listen_for(class_size: int | None) -> str:
    """Where to listen where no one says: a class comes over the network, anyone else sits here."""
    return LOOPBACK[0] if class_size is None else EVERYWHERE[0]


def free_port(listen: str) -> int:
    """A port that nothing listens on.

    Raises
    ------
    InputError
        When the address is none of this machine.
    """
    first, *others = listening_sockets(listen, 0)
    port = int(first.getsockname()[1])
    for probe in (first, *others):
        probe.close()
    return port


def port_or_free(listen: str, wanted: int) -> int:
    """The wanted port, or a free one where something listens on it already."""
    try:
        for probe in listening_sockets(listen, wanted):
            probe.close()
    except InputError:
        return free_port(listen)
    return wanted


def settled_port(listen: str, usual: int = USUAL_PORT) -> int:
    """The usual port; where something listens on it already, another one, and a sentence that says so."""
    for port in range(usual, usual + NEXT_PORTS + 1):
        if port_or_free(listen, port) == port:
            break
    else:
        port = free_port(listen)
    if port != usual:
        _say(sentence("serve_serving.port_use", usual=usual, port=port))
    return port


def check_port(listen: str, port: int) -> int:
    """A port that was asked for.

    Raises
    ------
    InputError
        When something listens on it already, or it is no port.
    """
    for probe in listening_sockets(listen, port):
        probe.close()
    return port


def server_settings(
    options: ServeOptions, port: int, places: Places, folder: str
) -> dict[str, Any]:
    """Settings of the page server; what it makes for itself is in ``folder``."""
    return {
        "PageKernels": {"most": places.most, "ready": places.ready},
        "Doors": {"code": options.code},
        "Voila": {
            "log_level": logging.ERROR,
            "ip": options.listen,
            "port": port,
            "connection_dir_root": folder,
            "open_browser": False,
            "token": options.token,
            "auto_token": False,
            "root_dir": str(options.page.parent if options.page else shipped_folder("notebooks")),
            # without a token a foreign page must not come in under a name of its own that leads here
            "tornado_settings": {
                "allow_remote_access": bool(options.token),
                "websocket_max_message_size": WALK_BYTES if options.folder else MESSAGE_BYTES,
            },
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
        "KernelManager": {"transport": "ipc" if has_room_for_sockets(folder) else "tcp"},
        # a kernel that died and was started again knows nothing of its page; the page says so and opens anew
        "KernelRestarter": {"restart_limit": 0},
        "MappingKernelManager": {
            "kernel_manager_class": "retrofit_lab.app.serve.beside.PageProcess",
            "cull_idle_timeout": options.idle_seconds,
            "cull_interval": min(60, options.idle_seconds),
            "cull_connected": False,
        },
    }


def serve(options: ServeOptions) -> int:
    """Serve the page until the server is stopped; returns its exit code."""
    check_options(options)
    places = within_files(places_for(options.class_size, free_megabytes()), file_limit())
    port = check_port(options.listen, options.port) or free_port(options.listen)
    if options.class_size is not None:
        for line in class_sentences(options.class_size, places, free_megabytes()):
            _say(line)
    remove_left_folders()
    # whoever ends the command ends it as Ctrl-C does: what it holds for the class goes with it
    with stopped_by_signals(), own_folder() as folder:
        process = subprocess.Popen(  # noqa: S603 - our own interpreter and arguments
            _command(options, folder),
            env=_environment(options, folder, port),
            stdin=subprocess.PIPE,
        )
        settings = json.dumps(server_settings(options, port, places, folder))
        _hand_over(process, settings)
        opener = threading.Thread(target=_announce, args=(process, options, folder), daemon=True)
        opener.start()
        return wait_for(process)


def _hand_over(process: "subprocess.Popen[bytes]", settings: str) -> None:
    """Give the server its settings; its input stays open, and ends with this process however that ends."""
    with suppress(OSError):  # it ended already, and has said why
        if process.stdin:
            process.stdin.write(settings.encode() + b"\n")
            process.stdin.flush()


@contextmanager
def own_folder() -> Iterator[str]:
    """A folder for the time of one server, which says whose it is."""
    prefix = f"{FOLDERS}{os.getpid()}_"
    # where files that are still open cannot go, what is left goes at the next start
    with tempfile.TemporaryDirectory(
        prefix=prefix, dir=folders_place(), ignore_cleanup_errors=True
    ) as folder:
        yield folder


def folders_place() -> str:
    """Where folders of servers are made: where temporary files go, or a shorter place if sockets need it."""
    usual = tempfile.gettempdir()
    named = f"/{FOLDERS}{'0' * LONGEST_ENDING}"
    if has_room_for_sockets(usual + named) or not os.access(SHORT_PLACE, os.W_OK):
        return usual
    return SHORT_PLACE if has_room_for_sockets(SHORT_PLACE + named) else usual


def has_room_for_sockets(folder: str) -> bool:
    """Whether pages can talk with the server by files in a folder; systems take short paths of such files only."""
    file = f"/kernel-{'0' * 36}-ipc-5"
    return os.name == "posix" and len(os.fsencode(folder + file)) <= SOCKET_PATH


def remove_left_folders() -> None:
    """Remove folders of servers that were ended so hard that they could not."""
    for folder in Path(folders_place()).glob(f"{FOLDERS}*_*"):
        number = folder.name.removeprefix(FOLDERS).partition("_")[0]
        if number.isdigit() and not psutil.pid_exists(int(number)):
            shutil.rmtree(folder, ignore_errors=True)


def _command(options: ServeOptions, folder: str) -> list[str]:
    page = options.page or shipped_folder("notebooks") / "kitchen_table.ipynb"
    return [sys.executable, "-m", SERVER_MODULE, str(page), f"--Voila.config_file_paths={folder}"]


def _environment(options: ServeOptions, folder: str, port: int) -> dict[str, str]:
    paths = [str(TEMPLATES), os.environ.get("JUPYTER_PATH", "")]
    # a class on few cores is served best when no page takes more than one of them
    threads = {} if options.class_size is None else {"OPENBLAS_NUM_THREADS": "1"}
    return {
        **os.environ,
        **threads,
        "JUPYTER_PATH": os.pathsep.join(path for path in paths if path),
        "JUPYTER_CONFIG_DIR": folder,
        "JUPYTER_RUNTIME_DIR": folder,
        # what a question needed for a moment goes back to the machine, not into a heap of each thread
        "MALLOC_ARENA_MAX": "1",
        "MALLOC_TRIM_THRESHOLD_": "131072",
        HOUSE_VARIABLE: _whole(options.house),
        FOLDER_VARIABLE: _whole(options.folder),
        BILLS_VARIABLE: options.bills.text,
        PRICES_VARIABLE: _whole(options.prices),
        LANGUAGE_VARIABLE: options.language,
        PLACE_VARIABLE: options.place,
        LESSON_HOUSE_VARIABLE: "yes" if options.own_house else "",
        GUESSES_VARIABLE: str(options.guesses or folder) if options.trainer else "",
        TRAINER_VARIABLE: options.trainer,
        JOIN_VARIABLE: _joining(options, port),
    }


def _joining(options: ServeOptions, port: int) -> str:
    """The address that lets others in; nothing where only this machine can open the page."""
    others = addresses(options.listen, port, options.token, options.code)[1:]
    return others[0] if others else ""


def _whole(path: Path | None) -> str:
    return str(path.resolve()) if path else ""


def wait_for(process: "subprocess.Popen[bytes]") -> int:
    """Wait until a process ends; Ctrl-C ends it in order. Returns its exit code."""
    try:
        return process.wait()
    except KeyboardInterrupt:
        process.terminate()
        return process.wait()


def _announce(process: "subprocess.Popen[bytes]", options: ServeOptions, folder: str) -> None:
    """Print the addresses once our own server listens, and open the page in the browser if wanted."""
    # however busy the machine is: a page whose address is never told would be served to no one
    while process.poll() is None and not (port := _told_port(folder)):
        time.sleep(0.1)
    if process.poll() is not None:
        return
    own, *others = addresses(options.listen, port, options.token, options.code)
    _say(f"The {options.name} is at {own}")
    for line in for_others(options, others):
        _say(line)
    if options.trainer:
        own = f"{(others or [own])[0]}#class={options.trainer}"
        _say(sentence("serve_serving.class_view", own=own))
    if options.open_browser:
        webbrowser.open(own)


def _told_port(folder: str) -> int:
    """Port that the server has said it listens on; 0 until then."""
    try:
        return int((Path(folder) / LISTENING).read_text(encoding="ascii"))
    except (OSError, ValueError):
        return 0


def addresses(listen: str, port: int, token: str, code: str = "") -> list[str]:
    """Addresses of the page: that for this machine, then those for others on the network.

    This machine's holds the token; the others hold the two words where there are any, as everybody who hears
    them may come.
    """
    own = f"?{urlencode({'token': token})}" if token else ""
    theirs = f"?code={code.replace(' ', '-')}" if code and token else own
    if listen in EVERYWHERE:
        hosts = [LOOPBACK[EVERYWHERE.index(listen)], *network_hosts(ipv6=listen == "::")]
    else:
        hosts = [listen] if listen in LOOPBACK else [listen, listen]
    queries = [own, *(theirs for _ in hosts[1:])]
    return [
        f"http://{f'[{host}]' if ':' in host else host}:{port}/{query}"
        for host, query in zip(hosts, queries, strict=True)
    ]


def network_hosts(*, ipv6: bool) -> list[str]:
    """Addresses of this machine that others can reach, by the older protocol first."""
    families = (socket.AF_INET, socket.AF_INET6) if ipv6 else (socket.AF_INET,)
    found = [
        entry.address
        for family in families
        for entries in psutil.net_if_addrs().values()
        for entry in entries
        if entry.family == family and "%" not in entry.address
    ]
    return [host for host in found if _reachable(ipaddress.ip_address(host))]


def _reachable(address: ipaddress.IPv4Address | ipaddress.IPv6Address) -> bool:
    return not (address.is_loopback or address.is_link_local or address.is_unspecified)


def for_others(options: ServeOptions, others: list[str]) -> list[str]:
    """What is said about the address for students or other machines."""
    if others:
        picture = qr_picture(others[0]) if options.qr else []
        typed = [address.partition("?")[0] if options.code else address for address in others]
        words = [sentence("serve_serving.type_two", code=options.code)] if options.code else []
        return [
            sentence("serve_serving.others_on"),
            *(f"  {one}" for one in typed),
            *words,
            *picture,
        ]
    if options.class_size is None:
        return []
    if options.listen in LOOPBACK:
        return [sentence("serve_serving.only_machine")]
    return [sentence("serve_serving.network_was")]


def qr_picture(address: str) -> list[str]:
    """A square code of an address, as lines of a terminal, for the camera of a phone."""
    import segno  # noqa: PLC0415 - only who shows it needs it

    drawn = io.StringIO()
    segno.make(address, error="l").terminal(drawn, compact=True)
    return [sentence("serve_serving.point_phone"), *drawn.getvalue().splitlines()]


def _say(text: str) -> None:
    print(text, flush=True)  # noqa: T201 - the command's output
