"""A headless Chromium, driven by its DevTools protocol over a websocket: one page of a given size.

Protocol: https://chromedevtools.github.io/devtools-protocol/ (domains Target, Emulation, Runtime, Input, Page).
"""

from __future__ import annotations

import asyncio
import base64
import contextlib
import itertools
import os
import re
import shutil
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import aiohttp

PROGRAM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")

LONGEST_S = 60.0
"""A page that has not come to what is waited for by then, never will: the test fails."""


class Page:
    """One page."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket = socket
        self._numbers = itertools.count(1)
        self._session = ""
        self.errors: list[str] = []
        """What the page wrote to its console as an error, or threw."""

    async def send(self, method: str, **said: object) -> dict[str, Any]:
        """Send one command and return its result."""
        number = next(self._numbers)
        message: dict[str, object] = {"id": number, "method": method, "params": said}
        if self._session:
            message["sessionId"] = self._session
        await self._socket.send_json(message)
        while True:
            got = await self._socket.receive_json()
            if got.get("method") in ("Runtime.exceptionThrown", "Log.entryAdded"):
                self.errors.append(str(got["params"]))
            if got.get("id") == number:
                assert "error" not in got, (method, got["error"])
                return dict(got["result"])

    async def open(self, width: int, height: int, *, touch: bool, light: bool) -> None:
        """Make it, of this size."""
        target = await self.send("Target.createTarget", url="about:blank")
        attached = await self.send("Target.attachToTarget", targetId=target["targetId"], flatten=True)
        self._session = attached["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            await self.send(f"{domain}.enable")
        await self.send(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=2 if touch else 1,
            mobile=touch,
        )
        await self.send("Emulation.setTouchEmulationEnabled", enabled=touch)
        scheme = {"name": "prefers-color-scheme", "value": "light" if light else "dark"}
        await self.send("Emulation.setEmulatedMedia", features=[scheme])
        self._touch = touch

    async def go(self, url: str) -> None:
        """Go to an address and wait until its document is there."""
        await self.send("Page.navigate", url=url)
        await self.until(f"location.href === {url!r} && document.readyState === 'complete'")

    async def evaluate(self, script: str) -> Any:  # noqa: ANN401 - whatever JSON there is
        """What an expression is worth in the page; a promise is waited for."""
        got = await asyncio.wait_for(
            self.send("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True), LONGEST_S
        )
        assert "exceptionDetails" not in got, got["exceptionDetails"]
        return got["result"].get("value")

    async def until(self, condition: str) -> None:
        """Wait until an expression is true in the page, however often the page is loaded anew meanwhile."""
        async with asyncio.timeout(LONGEST_S):
            while True:
                with contextlib.suppress(AssertionError):
                    # Half a second in the page at the most: a navigation ends the promise.
                    look = f"new Promise(done => {{ let left = 30; const look = () => ({condition}) ? done(true) :"
                    if await self.evaluate(f"{look} left-- ? setTimeout(look, 16) : done(false); look(); }})"):
                        return

    async def tap(self, selector: str) -> None:
        """Tap or click the middle of an element."""
        box = await self.evaluate(
            f"(() => {{ const b = document.querySelector({selector!r}).getBoundingClientRect();"
            " return [b.x + b.width / 2, b.y + b.height / 2]; })()"
        )
        await self.tap_at(*box)

    async def tap_at(self, x: float, y: float) -> None:
        """Tap or click a point."""
        if self._touch:
            await self.send("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
            await self.send("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
            return
        for kind in ("mousePressed", "mouseReleased"):
            await self.send("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    async def type(self, text: str) -> None:
        """Type on the keyboard."""
        for letter in text:
            enter = letter == "\r"
            key = {"key": "Enter" if enter else letter, "text": letter, "windowsVirtualKeyCode": 13 if enter else 0}
            await self.send("Input.dispatchKeyEvent", type="keyDown", **key)
            await self.send("Input.dispatchKeyEvent", type="keyUp", **key)

    async def screenshot(self, path: Path) -> None:
        """Take a picture of it."""
        got = await self.send("Page.captureScreenshot", format="png")
        path.write_bytes(base64.b64decode(got["data"]))


@contextlib.asynccontextmanager
async def page_of(
    folder: Path, width: int, height: int, *, touch: bool = False, light: bool = False
) -> AsyncIterator[Page]:
    """A page in a browser of its own, whose profile lies in ``folder``."""
    assert PROGRAM is not None
    process = await asyncio.create_subprocess_exec(
        PROGRAM,
        "--headless=new",
        "--remote-debugging-port=0",
        f"--user-data-dir={folder}",
        "--no-first-run",
        "--disable-gpu",
        "--disable-dev-shm-usage",
        *(["--no-sandbox"] if os.geteuid() == 0 else []),
        stdout=asyncio.subprocess.DEVNULL,
        stderr=asyncio.subprocess.PIPE,
    )
    assert process.stderr is not None
    try:
        async with asyncio.timeout(LONGEST_S):
            while not (found := re.search(rb"DevTools listening on (ws://\S+)", await process.stderr.readline())):
                assert process.returncode is None, "the browser has ended"
        async with (
            aiohttp.ClientSession() as session,
            session.ws_connect(found[1].decode("ascii"), max_msg_size=0, autoping=True) as socket,
        ):
            page = Page(socket)
            await page.open(width, height, touch=touch, light=light)
            yield page
    finally:
        with contextlib.suppress(ProcessLookupError):
            process.terminate()
        await process.wait()
