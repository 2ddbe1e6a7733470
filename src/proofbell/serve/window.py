"""One bench in a process of its own, as in a terminal's window; its end is that of a terminal that is closed."""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
import signal
import sys
from collections.abc import Awaitable, Callable, Mapping, Sequence

from textual_serve.app_service import AppService
from textual_serve.download_manager import DownloadManager

from proofbell.browser import VARIABLE

HANG_UP_S = 2.7
"""So long the bench has to save and leave, which takes it 2.6 s at the most; then it is ended."""

_OF_A_TERMINAL = ("TMUX", "STY", "LC_TERMINAL", "NO_COLOR")
"""What tells of the terminal that the server was started in, and not of the browser."""


class Window(AppService):
    """The library's other side of a bench's pipes, with an end that is certain.

    ``command`` opens the bench; ``look`` is the theme that the browser's setting asks for.
    """

    def __init__(
        self,
        command: Sequence[str],
        look: str,
        *,
        write: Callable[[bytes], Awaitable[None]],
        close: Callable[[], Awaitable[None]],
    ) -> None:
        async def nothing(_: str) -> None:
            """No files are handed out, and no pages opened."""

        super().__init__(
            " ".join(command), write_bytes=write, write_str=nothing, close=close, download_manager=DownloadManager()
        )
        self._words, self._look = tuple(command), look
        self.left = False
        """The baker closed the bench, by its own key."""
        self._told_to_leave = False

    def _build_environment(self, width: int = 80, height: int = 24) -> dict[str, str]:
        kept = super()._build_environment(width, height)
        for name in _OF_A_TERMINAL:
            kept.pop(name, None)
        return {**kept, **surroundings(self._look)}

    async def _open_app_process(self, width: int = 80, height: int = 24) -> asyncio.subprocess.Process:
        """Without a shell, and where no key of the server's terminal reaches it."""
        pipe = asyncio.subprocess.PIPE
        self._process = process = await asyncio.create_subprocess_exec(
            *self._words,
            stdin=pipe,
            stdout=pipe,
            stderr=pipe,
            env=self._build_environment(width, height),
            start_new_session=sys.platform != "win32",
        )
        self._stdin = process.stdin
        return process

    async def run(self) -> None:
        """Hand on what the bench draws until it ends, however it ends."""
        await super().run()
        await self.remote_close()

    async def on_meta(self, data: bytes) -> None:
        """The bench says that it leaves. Files to hand out and pages to open are no business of a browser's window."""
        self.left = self.left or (not self._told_to_leave and json.loads(data).get("type") == "exit")

    async def stop(self) -> None:
        """Have it leave as from a closed terminal, and wait until it is gone: less than three seconds."""
        process, self._told_to_leave = self._process, True
        if process is not None and process.returncode is None:
            with contextlib.suppress(ProcessLookupError):
                process.terminate() if sys.platform == "win32" else process.send_signal(signal.SIGHUP)
            try:
                await asyncio.wait_for(process.wait(), HANG_UP_S)
            except TimeoutError:
                _end(process)
                await process.wait()
        if self._task is not None:
            await self._task


def surroundings(look: str) -> Mapping[str, str]:
    """What the program is told of the window that it is in."""
    return {VARIABLE: look or "night", "TERM": "xterm-256color", "TERM_PROGRAM": "proofbell"}


def _end(process: asyncio.subprocess.Process) -> None:
    """At once, with all that it started."""
    with contextlib.suppress(ProcessLookupError):
        if sys.platform == "win32":
            process.kill()
        else:
            os.killpg(process.pid, signal.SIGKILL)
