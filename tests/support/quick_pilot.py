"""A pilot that goes on as soon as the app has nothing left to do.

Textual's own waits until the processor has been still for 20 ms, twice for each key: most of a screen's test.
"""

from __future__ import annotations

import asyncio
import concurrent.futures
from typing import Any

import pytest
import textual.app
import textual.pilot
from textual._context import active_app, active_message_pump
from textual.screen import Screen

THREADS_S = 0.02
"""So long a thread that works for the app is waited for while nothing else happens, as Textual would."""

_wrap_future = asyncio.wrap_future
_in_threads: set[asyncio.Future[Any]] = set()


def _noted(
    future: concurrent.futures.Future[Any], *, loop: asyncio.AbstractEventLoop | None = None
) -> asyncio.Future[Any]:
    """Note what a thread is at work on: an answer of the journal, a file that is read."""
    awaited: asyncio.Future[Any] = _wrap_future(future, loop=loop)
    _in_threads.add(awaited)
    awaited.add_done_callback(_in_threads.discard)
    return awaited


async def nothing_left(min_sleep: float = 0.0, max_sleep: float = 1.0) -> None:
    """Return when no message, task or callback waits for its turn, and what has changed is drawn."""
    loop = asyncio.get_running_loop()
    until = loop.time() + max_sleep
    first = True
    while loop.time() < until:
        still = 0
        while still < 2 and loop.time() < until:
            await asyncio.sleep(0)
            still = 0 if loop._ready else still + 1  # type: ignore[attr-defined]
        app = active_app.get(None)
        if app is not None and app._screen_stack:
            # A page that a dialog stands over is drawn too, once: it is never done.
            for screen in app._screen_stack if first else app._screen_stack[-1:]:
                _draw(screen)
            first = False
        if loop._ready:  # type: ignore[attr-defined]
            continue
        working = [future for future in _in_threads if future.get_loop() is loop]
        if not working:
            return
        if not (await asyncio.wait(working, timeout=THREADS_S, return_when=asyncio.FIRST_COMPLETED))[0]:
            return


def _draw(screen: Screen[Any]) -> None:
    """Draw what has changed, as the screen's own timer would: what fails in it is the app's to tell of."""
    token = active_message_pump.set(screen)
    try:
        screen._on_timer_update()
    except Exception as error:  # noqa: BLE001 - as Textual's timers do
        screen.app._handle_exception(error)
    finally:
        active_message_pump.reset(token)


def use(patch: pytest.MonkeyPatch) -> None:
    """Have every pilot wait in this way."""
    for module in (textual.app, textual.pilot):
        patch.setattr(module, "wait_for_idle", nothing_left)
    for where in (asyncio, asyncio.futures):
        patch.setattr(where, "wrap_future", _noted)
