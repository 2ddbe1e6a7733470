"""The whole walk in a real terminal: start, weigh, begin, a reading, kill, reopen, finish, read the log."""

from __future__ import annotations

import re
import signal
import sys
from pathlib import Path

import pytest

from tests.support.terminal import AGAIN_S, START, Terminal, run

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are a thing of Unix")

APART_S = 0.8
"""Space that follows space sooner is taken for a slip."""

UNTIL = re.compile(r"left, until (\w{3} )?\d\d:\d\d")


def test_a_bake_from_the_first_key_to_its_log_with_a_kill_in_the_middle(tmp_path: Path) -> None:
    with Terminal(tmp_path) as terminal:
        terminal.until("Harbour knots")
        terminal.press("jjj")
        terminal.until("▸ Harbour knots")
        terminal.until("of dough with")
        terminal.press_until("b", "not begun")
        terminal.press_until("w", "in the bowl")
        terminal.press(" ")
        terminal.until("▸")
        terminal.press_until("\x1b", "space begin")
        terminal.press_until(" ", "stage 1 of 7")
        terminal.read(APART_S)
        terminal.press_until(" ", "stage 2 of 7")
        terminal.read(APART_S)
        terminal.press_until(" ", "expected 24 to 26 °C")
        terminal.press("27")
        terminal.until("First proof 70 → 55 min, due")
        terminal.press("\r")
        shown = terminal.until(lambda text: UNTIL.search(text) is not None and "70 → 55 min" in text)
        due = UNTIL.search(shown)
        terminal.signal(signal.SIGKILL)
        assert terminal.ended() == -signal.SIGKILL

    with Terminal(tmp_path) as terminal:
        shown = terminal.until(lambda text: UNTIL.search(text) is not None and "70 → 55 min" in text)
        again = UNTIL.search(shown)
        assert due is not None
        assert again is not None
        assert again[0] == due[0], "the same hour as before the kill"
        _finish(terminal)
        terminal.press("b")  # once: the same key leaves the log
        terminal.until("enter correct")
        terminal.until("Dough temperature: 27.0 °C")
        terminal.press_until("\x1b", "put away")
        terminal.press("\x11")
        assert terminal.ended() == 0

    listed = run(tmp_path, "journal")
    assert "Harbour knots" in listed


def _finish(terminal: Terminal) -> None:
    """End every stage: skip the checks, answer yes when asked."""
    for _ in range(60):
        text = terminal.text
        if "Finished" in text or "enter correct" in text:
            return
        key = "x" if "skip the check" in text else "\r" if " now?" in text else " "
        if key == " ":
            terminal.read(APART_S)
        terminal.press(key)
        try:
            terminal.until(lambda now, before=text: _told(now) != _told(before), AGAIN_S)  # type: ignore[misc]
        except AssertionError:
            continue
    raise AssertionError(f"not finished; the screen:\n{terminal.text}")


def _told(text: str) -> list[str]:
    """What the screen says beside its running numbers."""
    stage = re.findall(r"stage \d+ of \d+|Finished|▶ [^\d\n]*", text)
    return [*stage, str("skip the check" in text), str(" now?" in text)]


@pytest.mark.parametrize("which", [signal.SIGTERM, signal.SIGHUP])
def test_a_shutdown_leaves_the_terminal_as_it_was(tmp_path: Path, which: signal.Signals) -> None:
    import termios

    with Terminal(tmp_path) as terminal:
        terminal.until("No dough yet")
        terminal.signal(which)

        assert terminal.ended() == 0
        assert termios.tcgetattr(terminal.slave) == terminal.before
        for switched_off in (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?25h"):
            assert switched_off in terminal.raw
        assert b"Traceback" not in terminal.raw


def test_a_fault_of_the_program_is_told_and_the_bench_goes_on(tmp_path: Path) -> None:
    broken = "from proofbell.app.bench.bench_screen import BenchScreen as B; B.action_journal = lambda self: 1 / 0; "
    with Terminal(tmp_path, start=broken + START) as terminal:
        # All of it: while it is painted over the bench, the bench's own words are still there.
        terminal.until(lambda text: "No dough yet" in text and "No dough on the bench" not in text)
        terminal.press_until("\x1b", "No dough on the bench")
        terminal.press_until("J", "An internal error on the page bench (ZeroDivisionError")
        terminal.press_until("a", "Harbour knots")
        terminal.press_until("\x1b", "No dough on the bench")
        terminal.press("\x11")

        assert terminal.ended() == 0
        assert b"Traceback" not in terminal.raw
    assert "ZeroDivisionError on page bench" in (tmp_path / "proofbell-faults.txt").read_text(encoding="utf-8")


def test_a_fault_before_there_is_anything_to_see_ends_in_plain_words(tmp_path: Path) -> None:
    import termios

    broken = "from proofbell.app.app import ProofbellApp; ProofbellApp.watch_loop = lambda self: 1 / 0; "
    with Terminal(tmp_path, start=broken + START) as terminal:
        assert terminal.ended() == 1
        assert termios.tcgetattr(terminal.slave) == terminal.before
        assert b"Start it again" in terminal.raw
        assert b"Traceback" not in terminal.raw


def test_without_a_terminal_the_bench_says_so_and_what_to_use_instead(tmp_path: Path) -> None:
    import subprocess

    with pytest.raises(subprocess.CalledProcessError) as refused:
        run(tmp_path)

    assert refused.value.returncode == 1
    assert "needs a terminal" in refused.value.stderr


def test_no_color_sends_no_colour(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """NO_COLOR as no-color.org has it: no escape sequence that sets a colour."""
    from tests.support import terminal as module

    plain = module.environment

    def coloured(folder: Path) -> dict[str, str]:
        return {**plain(folder), "NO_COLOR": "1"}

    monkeypatch.setattr(module, "environment", coloured)
    with Terminal(tmp_path) as terminal:
        terminal.until("No dough yet")

        colours = re.findall(rb"\x1b\[[0-9;]*?(?:3[0-7]|4[0-7]|9[0-7]|10[0-7]|[34]8;[25];[0-9;]+)m", terminal.raw)
        assert colours == []
