"""The page server refuses what a read-only page does not need: code, files, other templates, strangers."""

import json
import re
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from playwright.sync_api import Page
from served_page import Server, open_page

pytestmark = pytest.mark.browser
TOKEN = "a-token-of-more-than-sixteen"


def status(address: str) -> int:
    try:
        with urllib.request.urlopen(address, timeout=10) as answer:
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
        "voila/templates/retrofit_lab/static/../../../../../../presentation/serving.py",
        "api/contents/kitchen_table.ipynb",
        "api/terminals",
        "voila/render/../../etc/passwd",
    ],
)
def test_files_are_not_given_out(server: Server, path: str) -> None:
    # a path that climbs out of a static folder is answered with 500 by the page server, without content
    assert status(server.address + path) in (403, 404, 405, 500)


def test_other_theme_and_template_are_not_taken(server: Server) -> None:
    with urllib.request.urlopen(
        server.address + "?voila-theme=%22%3E%3Cscript%3Ealert(1)%3C/script%3E&voila-template=lab",
        timeout=30,
    ) as answer:
        text = answer.read().decode()
    assert "alert(1)" not in text
    assert "Skip to the measures" in text


RUN_CODE = """async ([id, type, content]) => {
  const session = crypto.randomUUID();
  const address = location.origin.replace('http', 'ws') + `/api/kernels/${id}/channels?session_id=${session}`;
  const socket = new WebSocket(address);
  const seen = [];
  await new Promise((resolve, reject) => { socket.onopen = resolve; socket.onerror = reject; });
  socket.onmessage = (event) => { if (typeof event.data === 'string') seen.push(event.data); };
  const header = { msg_id: session, session, username: 'x', msg_type: type, version: '5.3', date: new Date().toISOString() };
  socket.send(JSON.stringify({ channel: 'shell', header, parent_header: {}, metadata: {}, content, buffers: [] }));
  await new Promise((resolve) => setTimeout(resolve, 2500));
  socket.close();
  return seen.join('\\n');
}"""


@pytest.mark.parametrize(
    ("kind", "content"),
    [
        ("execute_request", {"code": "open({path!r}, 'w').write('x')", "silent": False}),
        ("complete_request", {"code": "import o", "cursor_pos": 8}),
        ("inspect_request", {"code": "open", "cursor_pos": 4, "detail_level": 1}),
        ("history_request", {"hist_access_type": "tail", "n": 5, "output": False, "raw": True}),
    ],
)
def test_kernel_takes_no_code(
    server: Server, page: Page, tmp_path: Path, kind: str, content
) -> None:
    open_page(page, server.address)
    kernel = re.search(r'"kernelId": "([^"]+)"', page.content())
    assert kernel
    mark = tmp_path / "was_here"
    text = json.loads(
        json.dumps(content).replace("{path!r}", repr(str(mark)).replace("\\", "\\\\"))
    )
    seen = page.evaluate(RUN_CODE, [kernel[1], kind, text])
    assert f'"{kind.replace("request", "reply")}"' not in seen
    assert not mark.exists()


def test_token_is_asked_for(tmp_path: Path, page: Page) -> None:
    file = tmp_path / "token.txt"
    file.write_text(TOKEN, encoding="utf-8")
    running = Server("--token-file", str(file))
    try:
        bare = running.address.split("?")[0]
        page.goto(bare)
        assert page.locator(".kt").count() == 0
        page.goto(f"{bare}?token=wrong-wrong-wrong-wrong")
        assert page.locator(".kt").count() == 0
        open_page(page, running.address)
        command_line = Path(f"/proc/{running.process.pid}/cmdline")
        if command_line.exists():
            assert TOKEN not in command_line.read_text()
    finally:
        running.stop()
