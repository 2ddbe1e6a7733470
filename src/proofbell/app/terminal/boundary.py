"""One boundary around everything that Textual runs for the app: what fails inside is told of, and ends nothing.

Textual ends an app at the first exception in any handler, timer, worker or task. A baker with four doughs on the
bench has no use for that: the page that failed may be empty, the doughs must go on.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Iterator
from typing import Any

from textual.app import App
from textual.dom import DOMNode
from textual.events import Key
from textual.message import Message
from textual.message_pump import MessagePump
from textual.screen import Screen
from textual.worker import NoActiveWorker, WorkerCancelled, WorkerFailed, get_current_worker

from proofbell.app.terminal.textual_private import (
    Dispatch,
    FaultTold,
    keep_mounted_widgets_going,
    running_for,
    stand_around_dispatch,
)


class Boundary(FaultTold):
    """An app that outlives the faults in it. ``met`` is told of each."""

    loud: bool = False
    """A fault ends the app with its trace: for tests, and for those who mend it."""

    loop: asyncio.AbstractEventLoop | None = None
    """The loop of the screens' thread, once it runs."""

    def __init__(self, *, ansi_color: bool | None = None) -> None:
        super().__init__(ansi_color=ansi_color)
        self.broken: set[Screen[Any]] = set()
        """Screens in which something failed; one that is used again and again is better made anew."""

    def met(self, error: BaseException, page: str) -> None:
        """An exception that nobody caught, and the page that it came from; to be told to the baker."""
        raise NotImplementedError

    @property
    def ground(self) -> Screen[Any]:
        """The screen below all others: as long as it is there, a baker can go on."""
        raise NotImplementedError

    def contained(self, error: BaseException, pump: MessagePump | None) -> bool:
        """Tell of a fault and keep the app alive; False when the app has to end by it."""
        if _is_gone(pump):
            # It came from a page that was left meanwhile: nobody waits for it any more.
            return True
        if self.loud or self.ground not in self.screen_stack:
            return False
        with contextlib.suppress(Exception):
            screen = _screen_of(pump)
            if screen is not None:
                self.broken.add(screen)
            self.met(error, page_of(pump))
        return True

    def outlives(self, error: Exception) -> bool:
        """Textual's last word on an exception in a timer, a worker, an idle handler or the drawing of a screen."""
        return self.contained(error.error if isinstance(error, WorkerFailed) else error, _pump())

    def leave_broken(self, screen: Screen[Any] | None) -> None:
        """The way back has failed: go back all the same. The screen below all others stays."""
        if screen is not None and screen is self.screen and screen is not self.ground:
            # Not by way of `dismiss`: whoever waits for an answer may have failed over it already.
            with contextlib.suppress(Exception):
                self.pop_screen()

    def watch_loop(self) -> None:
        """Take in what fails in a task or callback of the event loop itself."""
        self.loop = asyncio.get_running_loop()
        self.loop.set_exception_handler(self._failed_in_loop)

    def _failed_in_loop(self, loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
        error = context.get("exception")
        if not isinstance(error, Exception) or not self.contained(error, self):
            loop.default_exception_handler(context)

    @contextlib.contextmanager
    def step(self, page: str) -> Iterator[None]:
        """A part of a longer task: when it fails it is told of, and the parts after it are done all the same."""
        try:
            yield
        except Exception as error:
            if self.loud:
                raise
            self.met(error, page)


def page_of(pump: MessagePump | None) -> str:
    """The page that a widget is on: its name in the registry of actions, else of its kind; "app" for none."""
    screen = _screen_of(pump)
    return "app" if screen is None else screen.name or type(screen).__name__


def _screen_of(pump: MessagePump | None) -> Screen[Any] | None:
    if isinstance(pump, App):
        # Keys are handled by the app, for the screen on top.
        return pump.screen_stack[-1] if pump.screen_stack else None
    nodes = pump.ancestors_with_self if isinstance(pump, DOMNode) else ()
    return next((node for node in nodes if isinstance(node, Screen)), None)


def _pump() -> MessagePump | None:
    """What the code that just failed was run for."""
    try:
        node: MessagePump = get_current_worker().node
    except NoActiveWorker:
        return running_for()
    return node


def _is_gone(pump: MessagePump | None) -> bool:
    """Whether a widget is on no screen that could be seen or come back to."""
    if not isinstance(pump, DOMNode) or isinstance(pump, App):
        return False
    screen = _screen_of(pump)
    return screen is None or screen not in pump.app.screen_stack


async def _dispatch_contained(dispatch: Dispatch, pump: MessagePump, message: Message) -> None:
    """As Textual dispatches a message; what fails in a handler does not end the widget's own loop."""
    try:
        await dispatch(pump, message)
    except WorkerCancelled:
        # Whoever waited for a worker of a page that was left.
        return
    except Exception as error:
        if not contained(error, pump):
            raise
        app = pump.app
        if isinstance(app, Boundary) and isinstance(message, Key) and message.key == "escape":
            app.leave_broken(_screen_of(pump))


def contained(error: Exception, pump: MessagePump) -> bool:
    """Have the app of a widget tell of a fault; False when there is no app that outlives it."""
    app = _app_of(pump)
    return isinstance(app, Boundary) and app.contained(error, pump)


def _app_of(pump: MessagePump) -> App[Any] | None:
    try:
        return pump.app
    except Exception:  # noqa: BLE001 - a pump without an app has no boundary either
        return None


stand_around_dispatch(_dispatch_contained)
keep_mounted_widgets_going()
