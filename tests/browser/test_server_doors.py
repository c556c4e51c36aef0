"""The page server refuses what a read-only page does not need: code, files, other templates, strangers."""

import json
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from playwright.sync_api import Page
from served_page import Server, kernel_of, open_page, tick
from tornado.httpclient import HTTPClientError
from tornado.websocket import WebSocketClosedError
from visitor import Visitor, run
from waiting import LONGEST

from retrofit_lab.app.page.plan_file import MOST_BYTES
from retrofit_lab.app.serve.spoken_code import OF_ONE
from retrofit_lab.texts import catalog

pytestmark = pytest.mark.browser
TOO_LARGE = catalog("en", "page")["file"]["too_large"].format(size=MOST_BYTES // 1000)
TOKEN = "a-token-of-more-than-sixteen"


def status(address: str, **headers: str) -> int:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    try:
        with urllib.request.urlopen(
            urllib.request.Request(address, headers=named), timeout=LONGEST
        ) as answer:
            return answer.status
    except urllib.error.HTTPError as error:
        return error.code


@pytest.mark.parametrize(
    "path",
    [
        "voila/files/kitchen_table.ipynb",
        "voila/files/../pyproject.toml",
        "voila/files/%2e%2e/pyproject.toml",
        "files/kitchen_table.ipynb",
        "voila/templates/retrofit_lab/static/%2e%2e/conf.json",
        "voila/templates/retrofit_lab/static/../../../../../../serving.py",
        "api/contents/kitchen_table.ipynb",
        "api/terminals",
        "voila/render/../../etc/passwd",
    ],
)
def test_files_are_not_given_out(server: Server, path: str) -> None:
    # a path that climbs out of a static folder is answered with 500 by the page server, without content
    assert status(server.address + path) in (403, 404, 405, 500)


@pytest.mark.parametrize("method", ["PUT", "POST", "PATCH", "DELETE"])
def test_nothing_is_written_by_any_address(server: Server, method: str) -> None:
    """The page server has no route that writes; only the form of the walk does, by its own process."""
    with urllib.request.urlopen(server.address, timeout=LONGEST) as answer:
        cookies = "; ".join(
            cookie.partition(";")[0] for cookie in answer.headers.get_all("Set-Cookie")
        )
    given = dict(cookie.partition("=")[::2] for cookie in cookies.split("; "))
    headers = {"Cookie": cookies, "X-XSRFToken": given.get("_xsrf", "")}
    for path in (
        "",
        "api/contents/x.toml",
        "voila/files/x.toml",
        "files/x.toml",
        "api/kernels",
        "api/sessions",
    ):
        wanted = urllib.request.Request(
            server.address + path, data=b'{"type": "file"}', headers=headers, method=method
        )
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(wanted, timeout=LONGEST)
        with refused.value as answer:
            assert answer.code == 405, path


def test_other_theme_and_template_are_not_taken(server: Server) -> None:
    with urllib.request.urlopen(
        server.address + "?voila-theme=%22%3E%3Cscript%3Ealert(1)%3C/script%3E&voila-template=lab",
        timeout=LONGEST,
    ) as answer:
        text = answer.read().decode()
    assert "alert(1)" not in text
    assert "Skip to the fixes" in text


@pytest.mark.parametrize("host", ["house.example", "house.example:80", "192.0.2.1", "127.0.0.1.house.example", "[2001:db8::1]:80"])  # fmt: skip
def test_foreign_name_that_leads_here_gets_nothing(server: Server, host: str) -> None:
    before = set(server.kernels())
    assert status(server.address, Host=host) == 403
    assert set(server.kernels()) == before


@pytest.mark.parametrize(
    "headers",
    [{"Sec_Fetch_Dest": "image", "Sec_Fetch_Site": "cross-site"}, {"Sec_Fetch_Dest": "script"},
     {"Sec_Fetch_Dest": "iframe"}, {"Sec_Fetch_Dest": "empty", "Origin": "http://house.example"}],
)  # fmt: skip
def test_foreign_page_takes_no_place(server: Server, headers: dict[str, str]) -> None:
    before = set(server.kernels())
    assert status(server.address, **headers) == 403
    assert set(server.kernels()) == before


def test_page_cannot_be_framed_by_another(server: Server) -> None:
    with urllib.request.urlopen(server.address, timeout=LONGEST) as answer:
        assert "frame-ancestors 'self'" in answer.headers["Content-Security-Policy"]


RUN_CODE = """async ([id, asked, seconds]) => {
  const session = crypto.randomUUID();
  const address = location.origin.replace('http', 'ws') + `/api/kernels/${id}/channels?session_id=${session}`;
  const socket = new WebSocket(address);
  const seen = [];
  await new Promise((resolve, reject) => { socket.onopen = resolve; socket.onerror = reject; });
  // a kernel answers in the order of the questions: when the last one, which is allowed, is answered, all are
  const answered = new Promise((resolve, reject) => {
    socket.onmessage = (event) => {
      if (typeof event.data !== 'string') return;
      seen.push(event.data);
      if (JSON.parse(event.data).header.msg_type === 'comm_info_reply') resolve();
    };
    setTimeout(() => reject(new Error('the kernel does not answer')), 1000 * seconds);
  });
  for (const [type, content] of [...asked, ['comm_info_request', {}]]) {
    const header = { msg_id: crypto.randomUUID(), session, username: 'x', msg_type: type, version: '5.3',
                     date: new Date().toISOString() };
    socket.send(JSON.stringify({ channel: 'shell', header, parent_header: {}, metadata: {}, content, buffers: [] }));
  }
  await answered;
  socket.close();
  return seen.join('\\n');
}"""


def test_kernel_takes_no_code(server: Server, page: Page, tmp_path: Path) -> None:
    mark = tmp_path / "was_here"
    asked = {
        "execute_request": {"code": f"open({str(mark)!r}, 'w').write('x')", "silent": False},
        "complete_request": {"code": "import o", "cursor_pos": 8},
        "inspect_request": {"code": "open", "cursor_pos": 4, "detail_level": 1},
        "history_request": {"hist_access_type": "tail", "n": 5, "output": False, "raw": True},
    }
    open_page(page, server.address)
    seen = page.evaluate(RUN_CODE, [kernel_of(page), list(asked.items()), LONGEST])
    for kind in asked:
        assert f'"{kind.replace("request", "reply")}"' not in seen
    assert not mark.exists()


def test_token_or_two_words_are_asked_for_on_a_page_of_ours(tmp_path: Path, page: Page) -> None:
    file = tmp_path / "token.txt"
    file.write_text(TOKEN, encoding="utf-8")
    running = Server("--token-file", str(file), "--listen", "0.0.0.0")
    try:
        bare = running.address.split("?")[0]
        words = running.find("type the two words: (.+)")
        texts = catalog("en", "server")["entry"]
        page.goto(f"{bare}?token=wrong-wrong-wrong-wrong")
        assert page.locator("[role=alert]").inner_text() == texts["stale"]
        page.get_by_role("link", name=texts["other"]).click()
        assert page.locator("h1").inner_text() == catalog("es", "server")["entry"]["heading"]
        page.goto(bare)
        page.get_by_label(texts["ask"]).fill("maple mapel")
        page.keyboard.press("Enter")
        page.wait_for_selector("[role=alert]")
        assert page.locator("[role=alert]").inner_text() == texts["wrong"]
        page.get_by_label(texts["ask"]).fill(words.upper().replace(" ", "-"))
        page.get_by_role("button", name=texts["button"]).click()
        page.wait_for_selector(".kt[data-ready]")
        nothing_stock(running.address.split("?")[0], words)
        command_line = Path(f"/proc/{running.process.pid}/cmdline")
        if command_line.exists():
            assert TOKEN not in command_line.read_text()
    finally:
        running.stop()


def nothing_stock(bare: str, words: str) -> None:
    """No page of the server's own, no log-in page, no traceback, and an end to tries."""
    posted = urllib.request.Request(f"{bare}login", data=b"password=x&new_password=y")
    for asked in (f"{bare}login", f"{bare}logout", f"{bare}voila/files/x", f"{bare}enter", posted):
        code, text = said_to(asked)
        assert code in (403, 405)
        assert "<title>Retrofit Lab</title>" in text
        assert "Traceback" not in text
    codes = [said_to(f"{bare}?code=wrong-{n}")[0] for n in range(OF_ONE)]
    assert set(codes) == {403, 429}
    # not even the right words help until it is over
    assert said_to(f"{bare}?code={words.replace(' ', '-')}")[0] == 429


def said_to(asked: str | urllib.request.Request) -> tuple[int, str]:
    """Status and text of an answer to someone unknown."""
    try:
        with urllib.request.urlopen(asked, timeout=LONGEST) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def joins(visitor: Visitor, **headers: str) -> int:
    """Status of the answer to one who wants to join the channels of a kernel that someone else has."""
    try:
        run(visitor.join(**headers))
    except HTTPClientError as error:
        return error.code
    return 101


def widget_message(**data: object) -> str:
    header = {
        "msg_id": "1",
        "msg_type": "comm_msg",
        "session": "s",
        "username": "",
        "version": "5.3",
    }
    return json.dumps({"channel": "shell", "header": header, "parent_header": {}, "metadata": {},
                       "content": {"comm_id": "COMM", **data}})  # fmt: skip


def message(kind: str, channel: str = "shell", **content: object) -> str:
    header = {"msg_id": "1", "msg_type": kind, "session": "s", "username": "", "version": "5.3"}
    return json.dumps({"channel": channel, "header": header, "parent_header": {}, "metadata": {},
                       "content": content})  # fmt: skip


MALFORMED = [
    "", "x", "7", "null", "[]", "{}", '"text"', '{"channel": "shell"}', "[" * 100_000,
    '{"header": 7, "channel": "shell"}', '{"header": {}, "channel": [1]}',
    b"", b"\0", b"\xff" * 64, (2**63 - 1).to_bytes(8, "little") + b"x",
    message("comm_msg"), message("comm_msg", comm_id=["x"], data=7), message("comm_msg", comm_id="none", data={}),
    message("comm_open"), message("comm_open", comm_id="n", target_name="jupyter.widget", data={}),
    message("comm_open", comm_id="n2", target_name="jupyter.widget",
            data={"state": {"_model_module": "os", "_model_name": "system"}}),
    message("comm_open", comm_id="n3", target_name="__import__", data={}),
    message("comm_info_request", target_name={"a": 1}), message("kernel_info_request", "nowhere"),
    message("execute_request", "control", code="1/0"), message("shutdown_request", "control", restart=False),
    message("shutdown_request", restart=True), message("interrupt_request", "control"),
    message("debug_request", "control", command="evaluate"), message("input_reply", "stdin", value="x"),
    message("update_display_data"), message("<script>"),
    *(widget_message(data=data) for data in (
        None, 7, [], {}, {"method": None}, {"method": "update"}, {"method": "update", "state": [1]},
        {"method": "update", "state": {"ticked": {}}, "buffer_paths": [["ticked", "a", 3]]},
        {"method": "update", "state": {"units": "A" * 1_000_000, "now": {}, "page": None}},
        {"method": "custom"}, {"method": "custom", "content": {"kind": "open", "text": "A" * 300_000}},
        {"method": "request_states"}, {"method": "__class__"},
    )),
]  # fmt: skip


async def send_all(visitor: Visitor) -> list[str]:
    """Send every malformed message, joining again where the server has had enough; what came back."""
    heard = []
    await visitor.join()
    for text in MALFORMED:
        raw = text.replace("COMM", visitor.widget) if isinstance(text, str) else text
        visitor.raw(raw)
        heard += await dealt_with(visitor)
    visitor.say({"method": "custom", "content": {"kind": "download", "format": "exe"}})
    return heard + await visitor.hear_until('"said"')


async def dealt_with(visitor: Visitor) -> list[str]:
    """What comes until what was sent is dealt with; join again where the server has had enough."""
    try:
        heard = await visitor.hear_answers()
    except WebSocketClosedError:
        heard, visitor.ended = [], True
    if visitor.ended:
        await visitor.join()
        heard += await visitor.hear_answers()
    return heard


def test_malformed_messages_break_nothing_and_tell_nothing(server: Server, page: Page) -> None:
    open_page(page, server.address)
    hostile = run(Visitor(server.address).open())
    heard = run(send_all(Visitor.again(hostile)))
    assert any("said" in text for text in heard)
    for text in heard:
        for word in ("Traceback", 'File \\"', ".py", "site-packages", "ZeroDivisionError"):
            assert word not in text, text[:300]
    assert {hostile.kernel_id, kernel_of(page)} <= set(server.kernels())
    tick(page, "led_lamps")
    shown = run(ticked_by(Visitor.again(hostile)))
    assert shown["ticked"] == ["led_lamps"]


async def ticked_by(visitor: Visitor) -> dict:
    await visitor.join()
    return await visitor.tick(["led_lamps"])


async def send_too_much(visitor: Visitor) -> dict:
    await visitor.join()
    visitor.say({"method": "custom", "content": {"kind": "open", "text": "A" * 12_000_000}})
    await visitor.hear_until("no such words: until the server ends the connection")
    await visitor.join()
    visitor.say({"method": "custom", "content": {"kind": "open", "text": "A" * 300_000}})
    return await visitor.until("said")


def test_oversized_upload_is_refused_on_both_sides(
    server: Server, page: Page, tmp_path: Path
) -> None:
    large = tmp_path / "choice.json"
    large.write_text("A" * 300_000, encoding="utf-8")
    sent: list[int] = []
    page.on("websocket", lambda s: s.on("framesent", lambda frame: sent.append(len(frame))))
    open_page(page, server.address)
    page.get_by_label("Open a saved plan").set_input_files(large)
    page.wait_for_selector(".problem:visible")
    assert page.locator(".problem:visible").inner_text() == TOO_LARGE
    assert max(sent) < 100_000
    said = run(send_too_much(Visitor.again(run(Visitor(server.address).open()))))
    assert said == {**said, "text": TOO_LARGE, "problem": True}


def test_only_the_page_itself_joins_its_kernel(server: Server, page: Page) -> None:
    open_page(page, server.address)
    visitor = Visitor(server.address)
    visitor.kernel_id = kernel_of(page)
    assert joins(visitor) == 101
    for foreign in (
        {"Origin": "http://house.example"},
        {"Origin": "null"},
        {"Host": "house.example"},
        {"Host": "house.example", "Origin": "http://house.example"},
    ):
        assert joins(visitor, **foreign) == 403
