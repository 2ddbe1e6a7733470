"""The person's editor in the program's own terminal: what is due rings meanwhile, and the screens come back whole."""

from __future__ import annotations

import shlex
import signal
import sys
import termios
from pathlib import Path

import pytest

from tests.support.doughs import ringing
from tests.support.terminal import CONTROLS, START, Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are a thing of Unix")

SCRIPT = """
import pathlib, sys, termios, tty
print("EDITOR HERE", termios.tcgetattr(0)[3] & termios.ICANON > 0, sys.argv[-1], flush=True)
line = sys.stdin.readline()
tty.setraw(0)
if line.strip() == "raw":
    import os, signal
    os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture
def _editor(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.setenv("EDITOR", shlex.join([sys.executable, "-c", SCRIPT]))


def edit(terminal: Terminal) -> None:
    """From the bench to the editor, on a copy of the house formula."""
    terminal.until("Harbour knots")
    terminal.until("esc later")  # The check that is due has opened by itself.
    terminal.press_until("\x1b", lambda text: "esc later" not in text)
    terminal.press_until("E", "A copy of your own")
    terminal.press("y")
    terminal.until("EDITOR HERE True")


@pytest.mark.usefixtures("_editor")
@pytest.mark.parametrize("end", ["raw", "ctrl+c"])
def test_what_is_due_rings_while_the_editor_is_open_and_all_is_whole_after_it(tmp_path: Path, end: str) -> None:
    ringing(tmp_path)
    with Terminal(tmp_path, start=CONTROLS + START) as terminal:
        edit(terminal)
        begun = len(terminal.raw)
        terminal.until(lambda _: b"\a" in terminal.raw[begun:])
        assert b"\x1b" not in terminal.raw[begun:], "nothing but the bell reaches the editor's screen"
        terminal.press("raw\n" if end == "raw" else "\x03")

        terminal.until("was ended" if end == "raw" else "ended")
        terminal.until("in the editor")
        assert not termios.tcgetattr(terminal.slave)[3] & termios.ICANON
        terminal.press("\x11")
        assert terminal.ended() == 0
        assert termios.tcgetattr(terminal.slave) == terminal.before


@pytest.mark.usefixtures("_editor")
def test_the_end_of_the_program_ends_a_hanging_editor(tmp_path: Path) -> None:
    ringing(tmp_path)
    with Terminal(tmp_path, start=CONTROLS + START) as terminal:
        edit(terminal)
        terminal.signal(signal.SIGTERM)
        terminal.ended()
        assert termios.tcgetattr(terminal.slave) == terminal.before
