"""All that leans on Textual's private parts, each for a reason, under public names of our own.

Where a release moves one of them, ``tests/app/test_textual_private.py`` fails and says which.
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Awaitable, Callable
from queue import Full
from typing import Any, Protocol, runtime_checkable

from rich.cells import cell_len, get_character_cell_size
from rich.console import Console
from rich.control import Control
from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual import on
from textual._compositor import ChopsUpdate
from textual._context import active_message_pump
from textual.app import App
from textual.command import CommandPalette
from textual.css.query import NoMatches
from textual.message import Message
from textual.message_pump import MessagePump
from textual.strip import Strip
from textual.widgets import Input

from proofbell.visible import visible

if sys.platform != "win32":
    from textual.drivers.linux_driver import LinuxDriver


def write_beside_the_screen(app: App[Any], text: str) -> None:
    """Write a sequence to the terminal that is no part of the screen. Textual offers the bell, and no other."""
    driver = app._driver
    if driver is not None and not app.is_headless:
        driver.write(text)
        driver.flush()


@runtime_checkable
class Titled(Protocol):
    """A driver that can set the window's title, and gives it back."""

    def title(self, words: str) -> None:
        """Set it; empty gives it back."""
        ...


def title_of_window(app: App[Any], words: str) -> None:
    """Set the title of the terminal's window, where the driver gives it back in the end."""
    driver = app._driver
    if isinstance(driver, Titled) and not app.is_headless:
        driver.title(words)


def running_for() -> MessagePump | None:
    """The widget that the code of this moment is run for. Only the context knows, once an exception is on its way."""
    return active_message_pump.get(None)


Dispatch = Callable[[MessagePump, Message], Awaitable[None]]


def stand_around_dispatch(around: Callable[[Dispatch, MessagePump, Message], Awaitable[None]]) -> None:
    """Have ``around`` called for each message of each widget, with what dispatches it.

    Every widget of Textual's own has this method from the one class; there is no public way to stand around it.
    """
    dispatch = MessagePump._dispatch_message

    async def dispatch_message(self: MessagePump, message: Message) -> None:
        await around(dispatch, self, message)

    MessagePump._dispatch_message = dispatch_message  # type: ignore[method-assign]


def keep_mounted_widgets_going() -> None:
    """Have a widget in which something failed as it was mounted take messages all the same, if the app outlives that.

    Textual leaves it on the page and never runs it: with the focus in it no key would be heard, Escape neither.
    """
    pre_process = MessagePump._pre_process

    async def mounted(self: MessagePump) -> bool:
        return await pre_process(self) or (isinstance(self.app, FaultTold) and not self.app.return_code)

    MessagePump._pre_process = mounted  # type: ignore[method-assign]


def send_only_what_changed() -> None:
    """Have an update of some cells begin at the first of them: Textual begins at the edge of their widget."""

    def render_segments(self: ChopsUpdate, console: Console) -> str:
        sent = ""
        for y, begin, end in self.spans:
            for right, (left, strip) in zip(self.chop_ends[y], self.chops[y].items(), strict=False):
                if strip is not None and left < end and right > begin:
                    x = max(left, begin)
                    sent += Control.move_to(x, y).segment.text
                    sent += Strip(_joined(strip.crop(x - left, min(right, end) - left))).render(console)
        return sent

    ChopsUpdate.render_segments = render_segments  # type: ignore[method-assign]


def _joined(strip: Strip) -> list[Segment]:
    """Blanks in the style beside them where both look the same: each change of style is forty bytes."""
    joined: list[Segment] = []
    for after in strip:
        before = joined[-1] if joined else None
        if before is None or not _are_alike(before, after):
            joined.append(after)
        else:
            joined[-1] = Segment(before.text + after.text, after.style if not before.text.strip(" ") else before.style)
    return joined


def _are_alike(before: Segment, after: Segment) -> bool:
    """Whether the two can be sent in the style of that which is more than blanks."""
    if before.style == after.style:
        return True
    ground = _ground(before.style)
    return (
        ground is not None and ground == _ground(after.style) and not (before.text.strip(" ") and after.text.strip(" "))
    )


def _ground(style: Style | None) -> object:
    """What a blank in that style looks like; None where it shows more than its ground."""
    if style is None or style.reverse or style.underline or style.underline2 or style.strike or style.overline:
        return None
    return style.bgcolor, style.link


class FaultTold(App[int]):
    """An app that is asked before an exception ends it: Textual tells nobody, and ends."""

    def outlives(self, error: Exception) -> bool:
        """Whether the app goes on after an exception in a timer, a worker, an idle handler or the drawing."""
        raise NotImplementedError

    def ended_by(self, error: Exception) -> Exception:
        """What is told of a fault that ends the app."""
        return error

    def _handle_exception(self, error: Exception) -> None:
        if not self.outlives(error):
            super()._handle_exception(self.ended_by(error))


class Palette(CommandPalette):
    """The palette, where two things go well in which Textual fails.

    A key that moves through its list before the list was drawn moves nothing. What was found once the palette is being
    taken down, its list gone already, is shown nowhere.
    """

    @on(Input.Changed)
    def harmless(self, event: Input.Changed) -> None:
        """What came into its line by whatever way is shown as it is, and obeyed by no terminal."""
        shown = visible(event.value)
        if shown != event.value:
            event.input.value = shown

    def _watch__list_visible(self) -> None:
        with contextlib.suppress(NoMatches):
            super()._watch__list_visible()

    async def _watch__show_busy(self) -> None:
        with contextlib.suppress(NoMatches):
            await super()._watch__show_busy()

    def _action_command_list(self, action: str) -> None:
        with contextlib.suppress(KeyError):
            super()._action_command_list(action)


class MaskedInput(Input):
    """An input that shows something else than its value: one character for each. Textual always shows the value."""

    def shown(self) -> str:
        raise NotImplementedError

    @property
    def _value(self) -> Text:
        return Text(self.shown(), no_wrap=True, overflow="ignore", end="")

    def _position_to_cell(self, position: int) -> int:
        return cell_len(self.shown()[:position])

    def _cell_offset_to_index(self, offset: int) -> int:
        """The character that a click on that cell means."""
        left = offset + self.scroll_offset.x
        shown = self.shown()
        for index, character in enumerate(shown):
            left -= get_character_cell_size(character)
            if left < 0:
                return index
        return len(shown)


class Writes(Protocol):
    """What a driver writes to."""

    def write(self, text: str) -> int: ...

    def flush(self) -> None: ...

    def fileno(self) -> int: ...


if sys.platform != "win32":

    class StoppedDriver(LinuxDriver):
        """Textual's own driver; how it writes, stops and continues is for a subclass to say.

        Textual's waits for ever where a terminal takes nothing, and forgets the shell's modes after some stops.
        """

        def asked_to_stop(self) -> None:
            """SIGTSTP came."""
            raise NotImplementedError

        def continued(self) -> None:
            """SIGCONT came."""
            raise NotImplementedError

        def write_to(self, output: Writes) -> None:
            self._file: Any = output

        def put(self, data: str, wait_s: float) -> bool:
            """Hand something to the thread that writes; False: there was no room for so long."""
            if self._writer_thread is not None:
                try:
                    self._writer_thread._queue.put(data, timeout=wait_s)
                except Full:
                    return False
            return True

        @property
        def starts_again(self) -> bool:
            """Whether the screens come back after a stop."""
            return self._auto_restart

        @property
        def waits_for_terminal(self) -> bool:
            """Whether the terminal is not ours yet."""
            return self._must_signal_resume

        def tell_of_return(self) -> None:
            """Have the app told once the terminal is ours again."""
            self._must_signal_resume = True

        def tell_of_stop(self) -> None:
            """Have the app told that it is put aside."""
            self._app._suspend_signal()

        def redraw(self) -> None:
            self._app.screen.refresh(layout=True)

        def give_up(self) -> None:
            self._app.exit(1)

        def _sigtstp_application(self, *_: object) -> None:
            self.asked_to_stop()

        def _sigcont_application(self, *_: object) -> None:
            self.continued()
