"""What the server answers to whom. The bench behind it is a small program that speaks as a bench in pipes does."""

from __future__ import annotations

import asyncio
import contextlib
import os
import sys
from collections.abc import AsyncIterator
from dataclasses import dataclass

import pytest

pytest.importorskip("textual_serve", reason="the bench in a browser needs the extra: pip install 'proofbell[serve]'")

from aiohttp import ClientWebSocketResponse, WSMsgType, WSServerHandshakeError
from aiohttp.test_utils import TestClient, TestServer

from proofbell.bake.stamp import Stamp
from proofbell.kitchen.model import Kitchen
from proofbell.serve.door import IDLE_US, MOST_WRONG
from proofbell.serve.reach import Reach
from proofbell.serve.server import ENDED, FULL, LEFT, MOST_WINDOWS, UNUSED, Serving

BENCH = """
import os, signal, sys
def said(kind, data): os.write(1, kind + len(data).to_bytes(4, "big") + data)
def leave(*_):
    said(b"M", b'{"type": "exit"}')
    os._exit(1)
signal.signal(signal.SIGHUP, leave)
os.write(1, b"__GANGLION__\\n")
said(b"D", f"{os.getpid()} {os.environ['COLUMNS']}x{os.environ['ROWS']} {os.environ['PROOFBELL_BROWSER']}".encode())
while True:
    head = sys.stdin.buffer.read(5)
    if not head: break
    data = sys.stdin.buffer.read(int.from_bytes(head[1:], "big"))
    if data == b"leave": leave()
    if data == b"die": os._exit(3)
    said(b"D", head[:1] + data)
"""

GUARDED = ("/bench.js", "/screen.js", "/bench.css", "/look.css", "/here", "/window", "/../door.html", "/none")


@dataclass
class HandClock:
    """Moved by hand."""

    now_us: int = 0

    def stamp(self) -> Stamp:
        return Stamp(self.now_us, self.now_us, "boot")


class Browser:
    """A client with a cookie jar, and the headers that a browser sends."""

    def __init__(self, client: TestClient, serving: Serving, clock: HandClock) -> None:  # type: ignore[type-arg]
        self.client, self.serving, self.clock = client, serving, clock
        self.origin = f"http://127.0.0.1:{client.port}"

    async def code(self, said: str) -> tuple[int, str]:
        async with self.client.post("/code", data=said, headers={"Origin": self.origin}) as answer:
            return answer.status, await answer.text()

    async def let_in(self) -> None:
        assert (await self.code(self.serving.door.code))[0] == 204

    async def status(self, path: str, **headers: str) -> int:
        async with self.client.get(path, headers=headers) as answer:
            return answer.status

    async def window(self, query: str = "width=90&height=30&look=day") -> ClientWebSocketResponse:
        return await self.client.ws_connect(f"/window?{query}", headers={"Origin": self.origin})


@pytest.fixture
async def browser() -> AsyncIterator[Browser]:
    clock = HandClock()
    serving = Serving(Reach("127.0.0.1", 8470), clock, (sys.executable, "-c", BENCH), Kitchen)
    async with TestClient(TestServer(serving.app())) as client:
        yield Browser(client, serving, clock)


async def heard(window: ClientWebSocketResponse) -> bytes:
    message = await window.receive()
    assert message.type is WSMsgType.BINARY, message
    return bytes(message.data)


async def close_code(window: ClientWebSocketResponse) -> int | None:
    while (message := await window.receive()).type is WSMsgType.BINARY:
        pass
    assert message.type in (WSMsgType.CLOSE, WSMsgType.CLOSED)
    return window.close_code


async def gone(pid: int) -> None:
    """Wait until a process is no more; one that stays fails the test."""
    with contextlib.suppress(ProcessLookupError):
        async with asyncio.timeout(30):
            while True:
                os.kill(pid, 0)
                await asyncio.sleep(0)


async def test_without_the_code_there_is_the_door_and_nothing_else(browser: Browser) -> None:
    async with browser.client.get("/") as answer:
        page = await answer.text()
        assert answer.status == 200
    assert 'id="code"' in page
    assert 'id="screen"' not in page
    for path in GUARDED:
        assert await browser.status(path, Origin=browser.origin) == 401, path
    with pytest.raises(WSServerHandshakeError) as refused:
        await browser.window()
    assert refused.value.status == 401


async def test_the_code_lets_in_one_browser_once(browser: Browser) -> None:
    code = browser.serving.door.code
    async with browser.client.post("/code", data=code, headers={"Origin": browser.origin}) as answer:
        cookie = answer.headers["Set-Cookie"]
    # RFC 6265 for HttpOnly; its revision (6265bis) for SameSite.
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= set(cookie.split("; "))
    assert cookie.startswith("proofbell-8470=")
    async with browser.client.get("/") as answer:
        assert 'id="screen"' in await answer.text()
    for path in ("/bench.js", "/screen.js", "/bench.css", "/look.css"):
        assert await browser.status(path) == 200
    assert await browser.status("/here") == 204
    assert await browser.status("/none") == 404
    browser.client.session.cookie_jar.clear()
    assert await browser.status("/bench.js") == 401
    assert (await browser.code(code))[0] == 403


async def test_an_invented_cookie_lets_nobody_in(browser: Browser) -> None:
    for invented in ("", "x", browser.serving.door.code):
        assert await browser.status("/here", Cookie=f"proofbell-8470={invented}") == 401


async def test_wrong_codes_are_counted_and_ten_close_the_door(browser: Browser) -> None:
    assert await browser.code("0") == (403, "That is not the code. 9 tries are left.")
    for _ in range(MOST_WRONG - 3):
        await browser.code("0")
    assert "1 try is left" in (await browser.code("0"))[1]
    assert "nobody is let in any more" in (await browser.code("0"))[1]
    status, words = await browser.code(browser.serving.door.code)
    assert status == 403
    assert "Start the server again" in words
    async with browser.client.get("/") as answer:
        assert "disabled" in await answer.text()


async def test_a_code_that_is_a_book_is_not_read(browser: Browser) -> None:
    assert (await browser.code("1" * 5000))[0] == 413


async def test_a_page_of_another_site_reaches_nothing(browser: Browser) -> None:
    code = browser.serving.door.code
    for origin in ("http://evil.example", "null", f"https://127.0.0.1:{browser.client.port}"):
        async with browser.client.post("/code", data=code, headers={"Origin": origin}) as answer:
            assert answer.status == 403
        assert await browser.status("/", Origin=origin) == 403
    async with browser.client.post("/code", data=code) as answer:
        assert answer.status == 403  # no origin: no page of ours
    assert browser.serving.door.wrong == 0
    assert browser.serving.door.code == code
    await browser.let_in()
    for headers in ({"Origin": "http://evil.example"}, {}):
        with pytest.raises(WSServerHandshakeError) as refused:
            await browser.client.ws_connect("/window", headers=headers)
        assert refused.value.status == 403


async def test_another_name_for_this_machine_reaches_nothing(browser: Browser) -> None:
    await browser.let_in()
    for path in ("/", *GUARDED):
        assert await browser.status(path, Host="evil.example", Origin="http://evil.example") == 421
    async with browser.client.post(
        "/code", data="0", headers={"Host": "evil.example", "Origin": "http://evil.example"}
    ) as answer:
        assert answer.status == 421
    assert browser.serving.door.wrong == 0


async def test_every_answer_carries_the_headers(browser: Browser) -> None:
    async def look(path: str, **headers: str) -> None:
        async with browser.client.get(path, headers=headers) as answer:
            policy = answer.headers["Content-Security-Policy"]
            assert "default-src 'none'" in policy
            assert "frame-ancestors 'none'" in policy
            assert "unsafe" not in policy
            assert answer.headers["Referrer-Policy"] == "no-referrer"
            assert answer.headers["X-Content-Type-Options"] == "nosniff"
            assert answer.headers["Cache-Control"] == "no-store"

    for path in ("/", *GUARDED[:5], "/none"):
        await look(path)
    await look("/", Host="evil.example")
    await look("/", Origin="http://evil.example")
    await browser.let_in()
    for path in ("/", *GUARDED[:4], "/none"):
        await look(path)


async def test_the_door_s_script_is_new_each_time(browser: Browser) -> None:
    policies = set()
    for _ in range(2):
        async with browser.client.get("/") as answer:
            policies.add(answer.headers["Content-Security-Policy"])
    assert len(policies) == 2


async def test_a_window_is_a_program_of_its_own_that_ends_with_it(browser: Browser) -> None:
    await browser.let_in()
    first, second = await browser.window(), await browser.window("width=40&height=31&look=evil")
    one, size, look = (await heard(first)).split()
    other, narrow, usual = (await heard(second)).split()
    assert (size, narrow) == (b"90x30", b"40x31")
    assert (look, usual) == (b"day", b"night")
    assert one != other
    await first.send_json(["keys", "r"])
    assert await heard(first) == b"Dr"
    await first.send_json(["size", 50, 20])
    assert b'"width": 50' in await heard(first)
    await first.close()
    await gone(int(one))
    await second.send_json(["keys", "é"])
    assert await heard(second) == "Dé".encode()


async def test_what_a_page_cannot_say_is_passed_over(browser: Browser) -> None:
    await browser.let_in()
    window = await browser.window("width=-3&height=x")
    assert b"80x24" in await heard(window)
    for said in ("{", "[]", "5", '{"a": 1}', '["keys"]', '["keys", 5]', '["size", "x", 3]', '["run", "rm"]', '"keys"'):
        await window.send_str(said)
    await window.send_bytes(b"keys")
    await window.send_json(["size", 10**9, 0])
    assert await heard(window) == b'M{"type": "resize", "width": 400, "height": 8}'


async def test_a_message_that_is_a_book_closes_the_window(browser: Browser) -> None:
    await browser.let_in()
    window = await browser.window()
    await heard(window)
    await window.send_json(["keys", "x" * 70_000])
    assert await close_code(window) == 1009


async def test_the_page_is_told_why_its_window_closed(browser: Browser) -> None:
    await browser.let_in()
    for word, code in (("leave", LEFT), ("die", ENDED)):
        window = await browser.window()
        await heard(window)
        await window.send_json(["keys", word])
        assert await close_code(window) == code


async def test_there_is_room_for_so_many(browser: Browser) -> None:
    await browser.let_in()
    windows = [await browser.window() for _ in range(MOST_WINDOWS)]
    more = await browser.window()
    assert await close_code(more) == FULL
    await windows[0].close()
    for window in windows[1:]:
        await heard(window)


async def test_a_session_that_nobody_uses_ends_with_its_windows(browser: Browser) -> None:
    await browser.let_in()
    window = await browser.window()
    pid = int((await heard(window)).split()[0])
    browser.clock.now_us = IDLE_US - 1
    await browser.serving.end_unused()
    await window.send_json(["keys", "x"])
    assert await heard(window) == b"Dx"
    browser.clock.now_us = 2 * IDLE_US - 2
    await browser.serving.end_unused()
    assert await browser.status("/here") == 204  # asked by the page itself: nobody used it
    browser.clock.now_us += 1
    await browser.serving.end_unused()
    assert await close_code(window) == UNUSED
    assert await browser.status("/here") == 401
    await gone(pid)


async def test_the_end_of_the_server_ends_every_program(browser: Browser) -> None:
    await browser.let_in()
    windows = [await browser.window() for _ in range(3)]
    pids = [int((await heard(window)).split()[0]) for window in windows]
    _, *codes = await asyncio.gather(browser.serving.end_all(), *(close_code(window) for window in windows))
    assert codes == [ENDED] * 3
    for pid in pids:
        await gone(pid)
