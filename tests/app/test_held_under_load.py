"""One running server under attack: whatever a visitor does, the others go on, and the server tells what it refuses."""

import asyncio
import json
import os
import re
import socket
import subprocess
import sys
import urllib.error
import urllib.request
import uuid
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.parse import urlsplit

import psutil
import pytest
from served_page import Server
from tornado.httpclient import HTTPClientError, HTTPRequest
from tornado.websocket import WebSocketClosedError, websocket_connect
from visitor import Visitor, lasting
from waiting import LONGEST

from retrofit_lab.app.serve import frames, listening
from retrofit_lab.app.serve.bounds import Budget
from retrofit_lab.app.serve.capacity import CapacityError, Places, within_files
from retrofit_lab.app.serve.listening import (
    LISTENING,
    MOST_WATCHED,
    WANTED_FILES,
    WATCHED_A_PAGE,
    connections_within,
    listening_sockets,
    pages_within,
)
from retrofit_lab.app.serve.policy import LONGEST_ADDRESS, content_policy
from retrofit_lab.app.serve.visits import COMING, Visits, Who
from retrofit_lab.base.values import InputError

PACKED = "v1.kernel.websocket.jupyter.org"
FEW_FILES = 256
LIBRARY = {"method": "custom", "content": {"kind": "library"}}
PROGRAM = f"""
import resource, sys
resource.setrlimit(resource.RLIMIT_NOFILE, ({FEW_FILES}, {FEW_FILES}))
from retrofit_lab.command import main
sys.exit(main(["serve", *sys.argv[1:]]))
"""


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    """A server with few files where a system counts them; an honest visitor is there throughout."""
    running = Server(program=PROGRAM if os.name == "posix" else "")
    yield running
    running.stop()


@pytest.fixture(scope="module")
def visits() -> Iterator:
    with lasting() as visit:
        yield visit


@pytest.fixture(scope="module")
def honest(server: Server, visits) -> Visitor:
    return visits(Visitor(server.address).open())


@pytest.fixture(scope="module")
def attacker(server: Server, visits) -> Visitor:
    """Somebody else's page, whose connections the tests make."""

    async def opened_and_left() -> Visitor:
        visitor = await Visitor(server.address).open()
        visitor.socket.close()
        return visitor

    return visits(opened_and_left())


@pytest.fixture
def goes_on(server: Server, honest: Visitor, visits) -> Iterator[None]:
    """Whatever the test did, the honest visitor's pick is answered, by the same kernel."""
    yield
    for keys in (["led_lamps"], []):
        assert visits(honest.tick(keys))["ticked"] == keys
    assert honest.kernel_id in server.kernels()


async def packed(visitor: Visitor):
    """Another connection to the same kernel, in the newer way."""
    parts = urlsplit(visitor.address)
    place = f"ws://{parts.netloc}/api/kernels/{visitor.kernel_id}/channels?session_id={uuid.uuid4().hex}"
    request = HTTPRequest(place, headers={"Cookie": visitor.cookie})
    return await websocket_connect(request, subprotocols=[PACKED])


def words(*numbers: int) -> bytes:
    return b"".join(number.to_bytes(8, "little") for number in numbers)


HOSTILE_FRAMES = [
    words(2**60) + b"x" * 64, words(2**64 - 1), words(7), b"", b"x", words(7, 64, 2**63, 1, 2, 3, 4, 5),
    words(7, 64, 60, 70, 71, 72, 73, 74) + b"x" * 20, words(6, *[56] * 6), words(1000) + bytes(8000),
]  # fmt: skip


@pytest.mark.parametrize("frame", HOSTILE_FRAMES, ids=range(len(HOSTILE_FRAMES)))
def test_frame_with_untrue_counts_ends_its_connection_only(
    goes_on, attacker: Visitor, visits, frame: bytes
) -> None:
    async def send() -> None:
        channel = await packed(attacker)
        await channel.write_message(frame, binary=True)
        while await asyncio.wait_for(channel.read_message(), LONGEST) is not None:
            pass

    visits(send())


@pytest.mark.skipif(os.name != "posix", reason="sessions are a matter of POSIX")
def test_processes_of_pages_share_the_session_of_the_server(
    goes_on, server: Server, honest: Visitor
) -> None:
    """Only within a session does the rank count by which work behind one page yields to a pick on another."""
    page = server.kernels()[honest.kernel_id].pid
    assert os.getsid(page) == os.getsid(server.process.pid)
    assert os.getpgid(page) == page, "a signal for the server would reach the page too"


def test_page_makes_no_widgets_and_asks_for_no_code(goes_on, honest: Visitor, visits) -> None:
    async def send() -> list[str]:
        honest.send("comm_open", {"comm_id": "n", "target_name": "jupyter.widget", "data": {}})
        honest.send("execute_request", {"code": "1/0"})
        honest.send("comm_info_request", {})
        return list((await honest.next("comm_info_reply"))["comms"])

    assert "n" not in visits(send())


def test_flood_of_questions_that_are_never_read_costs_nobody_else(
    goes_on, server: Server, attacker: Visitor, visits
) -> None:
    before = server_process(server).memory_info().rss

    async def flood() -> None:
        other = Visitor.again(attacker)
        await other.join()
        with suppress(WebSocketClosedError):  # the server may have had enough before the last one
            for number in range(2000):
                other.say({"method": "request_state"} if number % 2 else LIBRARY)
        await asyncio.sleep(1)  # the answers go nowhere meanwhile

    visits(flood())
    assert server_process(server).memory_info().rss - before < 150e6


def test_message_that_is_too_large_ends_its_connection(goes_on, attacker: Visitor, visits) -> None:
    async def send() -> None:
        other = Visitor.again(attacker)
        await other.join()
        sent = other.socket.write_message(json.dumps({"header": {}, "text": "A" * 9_000_000}))
        while await asyncio.wait_for(other.socket.read_message(), LONGEST) is not None:
            pass
        with suppress(WebSocketClosedError):
            await sent

    visits(send())


def test_many_connections_to_one_page_are_refused(goes_on, attacker: Visitor, visits) -> None:
    async def join() -> list[int]:
        opened, refused = [], []
        for _ in range(8):
            try:
                opened.append(await packed(attacker))
            except HTTPClientError as error:
                refused.append(error.code)
        for one in opened:
            one.close()
        return refused

    assert set(visits(join())) == {429}


@contextmanager
def idle(address: str, count: int, first: bytes = b"") -> Iterator[list[socket.socket]]:
    parts, held = urlsplit(address), []
    try:
        for _ in range(count):
            one = socket.create_connection((parts.hostname, parts.port), timeout=LONGEST)
            one.sendall(first)
            held.append(one)
        yield held
    finally:
        for one in held:
            one.close()


@pytest.mark.skipif(os.name != "posix", reason="no limit on files there")
@pytest.mark.parametrize("first", [b"", b"GET / HTTP/1.1\r\nHost: x\r\nX-A: "])
def test_more_idle_connections_than_files_shut_nobody_out(
    goes_on, server: Server, first: bytes
) -> None:
    with (
        idle(server.address, 2 * FEW_FILES, first),
        urllib.request.urlopen(f"{server.address}voila/static/voila.js", timeout=LONGEST) as came,
    ):
        assert came.status == 200


def server_process(server: Server) -> psutil.Process:
    """The page server itself, which the command has started."""
    return next(p for p in psutil.Process(server.process.pid).children() if p.is_running())


@contextmanager
def full_disk(process: psutil.Process) -> Iterator[None]:
    """While it lasts, neither the server nor what it starts can write one more letter into any file."""
    before = process.rlimit(psutil.RLIMIT_FSIZE)
    process.rlimit(psutil.RLIMIT_FSIZE, (0, before[1]))
    try:
        yield
    finally:
        process.rlimit(psutil.RLIMIT_FSIZE, before)


def answer_to(address: str, **headers: str) -> tuple[int, dict[str, str], str]:
    try:
        with urllib.request.urlopen(
            urllib.request.Request(address, headers=headers), timeout=LONGEST
        ) as came:
            return came.status, dict(came.headers), came.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, dict(error.headers), error.read().decode()


@pytest.mark.parametrize(
    ("path", "status"),
    [("nowhere", 404), ("login", 404), ("logout", 404), ("voila/query/1-2", 404), ("voila/templates/x", 404),
     ("?kept=" + "a" * 70_000, 414)],
)  # fmt: skip
def test_address_that_is_not_there_is_answered_in_words_and_starts_nothing(
    goes_on, server: Server, path: str, status: int
) -> None:
    before = set(server.kernels())
    code, head, text = answer_to(server.address + path)
    assert code == status
    assert "Traceback" not in text
    assert head["X-Content-Type-Options"] == "nosniff"
    assert set(server.kernels()) == before


@pytest.mark.skipif(sys.platform != "linux", reason="no limit on another process's files there")
def test_full_disk_takes_no_open_page_down_and_is_told_to_who_comes(
    goes_on, server: Server, honest: Visitor, visits
) -> None:
    with full_disk(server_process(server)):
        assert visits(honest.tick(["led_lamps"]))["ticked"] == ["led_lamps"]
        code, _, text = answer_to(server.address)
        assert (code, "disk" in text) == (507, True), text
    came = visits(Visitor(server.address).open())
    assert visits(came.tick(["led_lamps"]))["ticked"] == ["led_lamps"]
    visits(honest.tick([]))


def test_page_holds_no_script_and_its_policy_lets_none_in(server: Server) -> None:
    _, head, text = answer_to(server.address)
    scripts = re.findall(r"<script\b([^>]*)>(.*?)</script>", text, re.DOTALL)
    assert scripts
    for attributes, inside in scripts:
        assert "src=" in attributes or "json" in attributes, inside[:80]
    assert not re.search(r"\son\w+=", re.sub(r"<script\b.*?</script>", "", text, flags=re.DOTALL))
    policy = dict(part.split(" ", 1) for part in head["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == policy["object-src"] == "'none'"
    assert "unsafe" not in policy["script-src"]
    assert head["Referrer-Policy"] == "same-origin"
    assert "geolocation=()" in head["Permissions-Policy"]


def test_port_that_somebody_has_is_told_and_not_announced(server: Server) -> None:
    port = str(urlsplit(server.address).port)
    for wanted, word in ((port, "is in use"), ("80000", "must be 0 to 65535")):
        found = subprocess.run(
            [sys.executable, "-m", "retrofit_lab.command", "serve", "--no-browser", "--port", wanted],
            capture_output=True, text=True, timeout=LONGEST, check=False,
        )  # fmt: skip
        assert (found.returncode, found.stdout) == (2, "")
        assert word in found.stderr
        assert "Traceback" not in found.stderr


def test_secret_stands_in_no_file_and_no_command(server: Server) -> None:
    parts = [p for p in psutil.Process(server.process.pid).children() if p.is_running()]
    assert all("token" not in " ".join(process.cmdline()) for process in parts)
    folder = next(
        a.partition("=")[2] for p in parts for a in p.cmdline() if "config_file_paths" in a
    )
    written = [path for path in Path(folder).rglob("*") if path.is_file()]
    assert {path.name for path in written if path.suffix != ".json"} >= {LISTENING}
    assert all("token" not in path.read_text("utf-8", "replace") for path in written)


@pytest.mark.parametrize("whole", [True, False])
def test_parts_of_a_message_are_found_again(whole: bool) -> None:
    said = [b"shell", b'{"msg_type": "comm_open"}', b"{}", b"{}", b'{"target_name": "x"}']
    offsets, place = [], 8 * (len(said) + 2)
    for part in said:
        offsets.append(place)
        place += len(part)
    message = words(len(said) + 1, *offsets, place) + b"".join(said)
    assert frames.message_parts(message) == said
    assert frames.message_parts(message[: len(message) - (not whole)]) == (said if whole else None)


@pytest.mark.parametrize(
    ("content", "opens"),
    [({"target_name": frames.STATE_TARGET}, True), ({"target_name": "jupyter.widget"}, False), ("[" * 99_999, False),
     (b"\xff", False), (None, False), (json.dumps({"target_name": frames.STATE_TARGET}), True)],
)  # fmt: skip
def test_only_the_question_for_all_widgets_opens_a_channel(content, opens: bool) -> None:
    assert frames.opens_only_state(content) is opens


def test_budget_fills_again_and_who_takes_more_waits() -> None:
    now = [0.0]
    budget = Budget(10.0, 2.0, clock=lambda: now[0])
    assert budget.wait_for(10.0) == 0.0
    assert budget.wait_for(4.0) == 2.0
    now[0] = 7.0
    assert budget.wait_for(10.0) == 0.0
    now[0] = 1000.0
    assert budget.wait_for(11.0) == 0.5


def test_pages_and_connections_within_the_files_of_this_process() -> None:
    for files in (128, 160, 256, 1024, 8192):
        pages = pages_within(files)
        assert pages >= 1
        assert connections_within(files, pages) >= 8
    assert within_files(Places(most=8), 160).most < 8
    with pytest.raises(CapacityError, match="would fit"):
        within_files(Places(most=32, ready=32), 256)


def test_sockets_that_are_watched_stay_below_what_one_look_of_the_system_can_watch(
    monkeypatch,
) -> None:
    monkeypatch.setattr(listening, "most_watched", lambda: MOST_WATCHED)
    assert pages_within(WANTED_FILES) >= 32
    for pages in (1, 8, 32):
        taken = connections_within(WANTED_FILES, pages) + pages * WATCHED_A_PAGE
        assert pages < taken < MOST_WATCHED


def test_socket_is_bound_before_anything_is_said() -> None:
    (taken,) = listening_sockets("127.0.0.1", 0)
    port = taken.getsockname()[1]
    with pytest.raises(InputError, match=f"port {port}"):
        listening_sockets("127.0.0.1", port)
    taken.close()


def test_pages_are_counted_by_browser_and_by_address() -> None:
    visits = Visits()
    for number, who in enumerate(("a", "a", "b")):
        COMING.set(Who(browser=who, address="192.0.2.1"))
        visits.begin(str(number))
    assert visits.same_browser(Who(browser="a")) == ["0", "1"]
    assert visits.crowd("2") == 3
    visits.end("0")
    assert visits.crowd("2") == 2
    assert visits.same_browser(Who()) == []


def test_a_page_that_is_being_given_out_is_given_up_when_its_process_ends() -> None:
    visits = Visits()

    async def give() -> None:
        COMING.set(Who(browser="a"))
        visits.begin("0")
        await asyncio.sleep(LONGEST)

    async def ended() -> bool:
        giving = asyncio.create_task(give())
        await asyncio.sleep(0)
        visits.end("0")
        await asyncio.wait([giving])
        return giving.cancelled()

    assert asyncio.run(ended())


def test_policy_names_no_host_that_could_carry_more() -> None:
    assert "ws://127.0.0.1:80 " in content_policy("127.0.0.1:80")
    assert "evil" not in content_policy("a; script-src evil")
    assert LONGEST_ADDRESS < 128_000
