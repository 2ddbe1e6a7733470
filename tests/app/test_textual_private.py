"""The private parts of Textual that the app leans on are there, and in one file only."""

from __future__ import annotations

import asyncio
import inspect
import pkgutil
import sys
from collections.abc import Iterator
from importlib import import_module
from types import FunctionType

import pytest
from textual import _context
from textual._compositor import ChopsUpdate
from textual.app import App
from textual.command import CommandList, CommandPalette, Hit, Hits, Provider
from textual.drivers._writer_thread import WriterThread
from textual.drivers.linux_driver import LinuxDriver
from textual.message_pump import MessagePump
from textual.widgets import Input

import proofbell.app
from proofbell.app.terminal.textual_private import Palette
from tests.support.kitchen_scene import app_on, empty_bench

THE_FILE = "proofbell.app.terminal.textual_private"

METHODS = {
    (App, "_handle_exception"): ["self", "error"],
    (App, "_suspend_signal"): ["self"],
    (MessagePump, "_dispatch_message"): ["self", "message"],
    (MessagePump, "_pre_process"): ["self"],
    (ChopsUpdate, "render_segments"): ["self", "console"],
    (CommandPalette, "_action_command_list"): ["self", "action"],
    (CommandPalette, "_watch__list_visible"): ["self"],
    (CommandPalette, "_watch__show_busy"): ["self"],
    (Input, "_position_to_cell"): ["self", "position"],
    (Input, "_cell_offset_to_index"): ["self", "offset"],
    (LinuxDriver, "_sigtstp_application"): ["self", "_"],
    (LinuxDriver, "_sigcont_application"): ["self", "_"],
}
"""With the parameters that they are called with."""


@pytest.mark.parametrize(("owner", "name"), METHODS)
def test_a_method_that_is_stood_in_for_is_still_called_so(owner: type, name: str) -> None:
    assert list(inspect.signature(vars(owner)[name]).parameters) == METHODS[owner, name]


async def test_what_is_read_and_written_is_still_there() -> None:
    driver = LinuxDriver(App())
    assert vars(driver).keys() >= {"_app", "_file", "_writer_thread", "_must_signal_resume"}
    assert isinstance(driver._auto_restart, bool)
    assert "_queue" in vars(WriterThread(sys.stderr))
    assert "_driver" in vars(App())
    assert vars(ChopsUpdate([], [], [])).keys() == {"chops", "spans", "chop_ends"}
    assert isinstance(Input._value, property)
    assert _context.active_message_pump.get(None) is None, "it is a context variable"


def overridden() -> Iterator[tuple[str, str]]:
    """Private methods of Textual's that a class of ours stands in for, with the module."""
    for info in pkgutil.walk_packages(proofbell.app.__path__, "proofbell.app."):
        module = import_module(info.name)
        for kind in vars(module).values():
            if not inspect.isclass(kind) or kind.__module__ != module.__name__:
                continue
            theirs = {name for base in kind.__mro__ if base.__module__.startswith("textual") for name in vars(base)}
            for name, written in vars(kind).items():
                method = written.fget if isinstance(written, property) else written
                ours = isinstance(method, FunctionType) and method.__module__ == module.__name__
                if ours and name in theirs and name.startswith("_") and not name.endswith("__"):
                    yield info.name, f"{kind.__name__}.{name}"


def test_no_other_file_stands_in_for_a_private_method() -> None:
    assert {module for module, _ in overridden()} == {THE_FILE}


async def test_a_key_in_a_palette_that_is_not_drawn_yet_is_no_fault() -> None:
    live, _ = empty_bench()
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.action_command_palette()
        await pilot.pause()
        palette = app.screen
        assert isinstance(palette, Palette)
        palette.query_one(CommandList)._index_to_line.clear()
        palette._action_command_list("page_up")
        palette._action_command_list("no such thing")


async def test_what_is_found_as_the_palette_goes_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    searching, found = asyncio.Event(), asyncio.Event()

    class Slow(Provider):
        async def search(self, query: str) -> Hits:
            searching.set()
            await found.wait()
            yield Hit(1.0, query, lambda: None)

    live, _ = empty_bench()
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.push_screen(Palette(providers=[Slow]))
        await pilot.press("a")
        await searching.wait()
        await app.screen.query(CommandList).remove()
        found.set()
        await app.workers.wait_for_complete(list(app.workers))
        await pilot.pause()
