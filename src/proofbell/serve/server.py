"""What is answered to whom. Nothing of the bench goes to anybody who has not said the code."""

from __future__ import annotations

import asyncio
import contextlib
import json
import secrets
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from dataclasses import dataclass, field

from aiohttp import WSMsgType, web

from proofbell.clock import Clock
from proofbell.kitchen.model import Kitchen
from proofbell.serve.door import Door, Refused
from proofbell.serve.pages import bench_page, door_page, file_of, look, refusal
from proofbell.serve.reach import Reach, headers, same_origin
from proofbell.serve.window import Window

MOST_WINDOWS = 8
"""Each is a program of its own."""

LONGEST_MESSAGE = 65_536
LOOK_EVERY_S = 20.0

LEFT, UNUSED, FULL, ENDED = 4000, 4001, 4003, 1001
"""Why a window was closed: by the baker, by nobody's using it, for want of room, with the server (RFC 6455, 7.4)."""

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


@dataclass
class Serving:
    """The server's rules and its open windows.

    ``command`` opens a bench; ``kitchen`` is read anew for each page; ``told`` is called after each change of the
    door, which the terminal shows.
    """

    reach: Reach
    clock: Clock
    command: Sequence[str]
    kitchen: Callable[[], Kitchen]
    told: Callable[[Door], None] = lambda _: None
    door: Door = field(default_factory=Door)
    _open: dict[web.WebSocketResponse, tuple[Window, str]] = field(default_factory=dict)

    def app(self) -> web.Application:
        """The application, to be run or tested."""
        app = web.Application(middlewares=[self._guard], client_max_size=1024)
        app.on_response_prepare.append(_with_headers)
        app.add_routes(
            [
                web.get("/", self._page),
                web.post("/code", self._code),
                web.get("/here", self._here),
                web.get("/bench.js", self._file),
                web.get("/screen.js", self._file),
                web.get("/bench.css", self._file),
                web.get("/look.css", self._look),
                web.get("/window", self._window),
            ]
        )
        app.cleanup_ctx.append(self._looking)
        return app

    @property
    def cookie(self) -> str:
        """Its name: two servers on one machine share their cookies, whatever their ports."""
        return f"proofbell-{self.reach.port}"

    # -- who is let in -----------------------------------------------------------------------------------------------

    @web.middleware
    async def _guard(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """The host, the origin, the session: in this order, before anything is looked at."""
        if not self.reach.takes_host(request.headers.get("Host")):
            return web.Response(status=421, text="This name is not this server's. Use an address that it shows.\n")
        origin = request.headers.get("Origin")
        must = request.method != "GET" or request.path == "/window"
        if (must or origin is not None) and not same_origin(origin, request.headers.get("Host")):
            return web.Response(status=403, text="This was asked for by a page of another site.\n")
        if request.path not in ("/", "/code") and not self._is_known(request):
            return web.Response(status=401, text="The code that the terminal shows is needed first.\n")
        return await handler(request)

    async def _code(self, request: web.Request) -> web.Response:
        answer = self.door.knock(await request.text(), self._now_us())
        self.told(self.door)
        if isinstance(answer, Refused):
            return web.Response(status=403, text=refusal(answer, self.door.wrong))
        response = web.Response(status=204)
        response.set_cookie(self.cookie, answer, httponly=True, samesite="Strict", path="/")
        return response

    def _token(self, request: web.Request) -> str:
        return request.cookies.get(self.cookie, "")

    def _is_known(self, request: web.Request) -> bool:
        return self.door.knows(self._token(request), self._now_us())

    # -- what they see -------------------------------------------------------------------------------------------

    async def _page(self, request: web.Request) -> web.Response:
        if self._is_known(request):
            self.door.used(self._token(request), self._now_us())
            return web.Response(text=bench_page(self.kitchen()), content_type="text/html")
        nonce = secrets.token_urlsafe(16)
        return web.Response(
            text=door_page(nonce, closed=self.door.is_closed),
            content_type="text/html",
            headers=headers(request.headers.get("Host", ""), nonce),
        )

    async def _here(self, _: web.Request) -> web.Response:
        """Asked by a page that lost its window: the server is back, and the session holds."""
        return web.Response(status=204)

    async def _file(self, request: web.Request) -> web.Response:
        kind = "text/css" if request.path.endswith(".css") else "text/javascript"
        return web.Response(text=file_of(request.path.removeprefix("/")), content_type=kind)

    async def _look(self, _: web.Request) -> web.Response:
        return web.Response(text=look(self.kitchen().theme), content_type="text/css")

    # -- a window ------------------------------------------------------------------------------------------------

    async def _window(self, request: web.Request) -> web.WebSocketResponse:
        socket = web.WebSocketResponse(heartbeat=15, timeout=0.5, max_msg_size=LONGEST_MESSAGE)
        await socket.prepare(request)
        if len(self._open) >= MOST_WINDOWS:
            await socket.close(code=FULL)
            return socket

        async def write(data: bytes) -> None:
            # The bench must not wait for a browser that has gone.
            with contextlib.suppress(ConnectionError, RuntimeError):
                await socket.send_bytes(data)

        async def close() -> None:
            await socket.close(code=LEFT if window.left else ENDED)

        themes = ("night", "day")
        wanted, token = request.query.get("look"), self._token(request)
        window = Window(self.command, wanted if wanted in themes else themes[0], write=write, close=close)
        self._open[socket] = window, token
        try:
            width, height = _size(request.query.get("width"), request.query.get("height")) or (80, 24)
            await window.start(width, height)
            async for message in socket:
                if message.type is WSMsgType.TEXT:
                    await self._said(message.data, window, token)
        finally:
            # Closing a page ends its process, and nothing else: the bakes are in the journal.
            await asyncio.shield(window.stop())
            self._open.pop(socket, None)
        return socket

    async def _said(self, text: str, window: Window, token: str) -> None:
        """What a page says is taken only in its known forms."""
        try:
            what, *rest = json.loads(text)
        except (ValueError, TypeError):
            return
        if what == "keys" and len(rest) == 1 and isinstance(rest[0], str):
            self.door.used(token, self._now_us())
            await window.send_bytes(rest[0].encode("utf-8", "replace"))
        elif what == "size" and len(rest) == 2 and (size := _size(*rest)):
            await window.set_terminal_size(*size)
        elif what == "focus":
            await window.focus()
        elif what == "blur":
            await window.blur()

    # -- the end -------------------------------------------------------------------------------------------------

    async def end_unused(self) -> None:
        """Close the windows of sessions that nobody has used for long."""
        now_us = self._now_us()
        ended = [socket for socket, (_, token) in self._open.items() if not self.door.knows(token, now_us)]
        self.door.forget_unused(now_us)
        await asyncio.gather(*(socket.close(code=UNUSED) for socket in ended))

    async def end_all(self) -> None:
        """Close every window and end every process: less than three seconds."""
        await asyncio.gather(
            *(window.stop() for window, _ in self._open.values()),
            *(socket.close(code=ENDED) for socket in self._open),
            return_exceptions=True,
        )

    async def _looking(self, _: web.Application) -> AsyncIterator[None]:
        async def look_round() -> None:
            while True:
                await asyncio.sleep(LOOK_EVERY_S)
                await self.end_unused()

        task = asyncio.get_running_loop().create_task(look_round())
        yield
        task.cancel()
        await self.end_all()

    def _now_us(self) -> int:
        return self.clock.stamp().boot_us


async def _with_headers(request: web.Request, response: web.StreamResponse) -> None:
    host = request.headers.get("Host", "") if response.status != 421 else ""
    for name, value in headers(host).items():
        response.headers.setdefault(name, value)


def _size(width: object, height: object) -> tuple[int, int] | None:
    """A window's size in cells, within what a bench can be drawn in; None where it is none."""
    try:
        columns, rows = int(str(width)), int(str(height))
    except ValueError:
        return None
    return min(max(columns, 20), 400), min(max(rows, 8), 200)
