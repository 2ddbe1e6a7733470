"""A closed window, and the signals that end or stop a program: gone in time, nothing held, the terminal as it was."""

from __future__ import annotations

import contextlib
import os
import pty
import signal
import subprocess
import sys
import termios
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from proofbell.app.terminal.terminal_modes import RESET, TerminalModes
from proofbell.journal.files.lock import Lead
from tests.support.doughs import alarm_that_hangs, ringing
from tests.support.terminal import CONTROLS, START, Terminal, environment

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are a thing of Unix")

NO_CORE = "import resource; resource.setrlimit(resource.RLIMIT_CORE, (0, 0)); "
SWITCHED_OFF = (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?1003l", b"\x1b[?1006l", b"\x1b[?2004l", b"\x1b[?25h")
"""The second screen, the mouse, pasted text in brackets; and the cursor shown: xterm's "Control Sequences"."""

MOMENTS: dict[str, Callable[[Terminal], object]] = {
    "first byte": lambda terminal: terminal.until(lambda _: bool(terminal.raw)),
    "second screen": lambda terminal: terminal.until(lambda _: b"\x1b[?1049h" in terminal.raw),
    "first words": lambda terminal: terminal.until(lambda text: bool(text.strip())),
    "painted": lambda terminal: terminal.until("No dough yet"),
    "nobody reads": Terminal.fill,
}


def is_free(folder: Path) -> bool:
    """Whether somebody else may have the right to ring."""
    lead = Lead(folder / "journal.sqlite")
    try:
        lead.take()
        return lead.held
    finally:
        lead.let_go()


def runs(number: int) -> bool:
    """Whether a process is there and more than a name that waits to be struck off."""
    told = subprocess.run(["ps", "-o", "stat=", "-p", str(number)], capture_output=True, text=True, check=False)
    return bool(told.stdout.strip()) and not told.stdout.strip().startswith("Z")


def as_it_was(terminal: Terminal) -> None:
    """The modes as before, and everything off that was on, after it was last on."""
    assert termios.tcgetattr(terminal.slave) == terminal.before
    last = terminal.raw.rindex(b"\x1b[?1049h")
    assert [off for off in SWITCHED_OFF if off not in terminal.raw[last:]] == []


@pytest.mark.parametrize("start", [START, CONTROLS + START], ids=["a line", "the controlling line"])
@pytest.mark.parametrize("moment", MOMENTS)
def test_a_closed_window_ends_the_program_whatever_it_does(tmp_path: Path, moment: str, start: str) -> None:
    with Terminal(tmp_path, start=start) as terminal:
        if moment == "nobody reads":
            terminal.until("No dough yet")
        MOMENTS[moment](terminal)
        terminal.hang_up()

        terminal.is_gone()
        assert is_free(tmp_path)


@pytest.mark.parametrize("which", [signal.SIGTERM, signal.SIGHUP])
def test_a_terminal_that_takes_nothing_keeps_no_signal_from_ending_the_program(
    tmp_path: Path, which: signal.Signals
) -> None:
    with Terminal(tmp_path) as terminal:
        terminal.until("No dough yet")
        terminal.fill()
        terminal.signal(which)

        terminal.is_gone()
        assert is_free(tmp_path)
        assert termios.tcgetattr(terminal.slave) == terminal.before


@pytest.mark.parametrize("which", [signal.SIGQUIT, signal.SIGABRT])
def test_a_signal_that_aborts_does_so_with_the_terminal_as_it_was(tmp_path: Path, which: signal.Signals) -> None:
    with Terminal(tmp_path, start=NO_CORE + START) as terminal:
        terminal.until("No dough yet")
        terminal.signal(which)

        assert terminal.ended() == -which
        as_it_was(terminal)


def test_a_terminal_that_is_full_at_that_moment_is_waited_for() -> None:
    master, slave = pty.openpty()
    modes = TerminalModes(slave, slave)
    os.set_blocking(slave, False)
    with contextlib.suppress(BlockingIOError):
        while True:
            os.write(slave, b"a picture that nobody has read yet" * 40)
    got = bytearray()

    def read_all() -> None:
        while RESET not in got:
            got.extend(os.read(master, 4096))

    reader = threading.Timer(0.05, read_all)
    reader.daemon = True
    reader.start()
    modes.restore(wait_s=30)
    reader.join(30)
    os.close(slave)
    os.close(master)

    assert got.endswith(RESET)


def test_an_interrupt_from_outside_leaves_the_terminal_as_it_was(tmp_path: Path) -> None:
    with Terminal(tmp_path) as terminal:
        terminal.until("No dough yet")
        terminal.signal(signal.SIGINT)

        terminal.ended()
        as_it_was(terminal)


def test_a_fault_on_the_way_out_leaves_the_terminal_as_it_was(tmp_path: Path) -> None:
    broken = (
        "from proofbell.app.terminal.driver import BenchDriver as D; D.stop_application_mode = lambda self: 1 / 0; "
    )
    with Terminal(tmp_path, start=broken + START) as terminal:
        terminal.until("No dough yet")
        terminal.press("\x11")

        terminal.ended()
        as_it_was(terminal)


@pytest.mark.parametrize("how", ["ctrl+z", "SIGTSTP"])
def test_put_aside_it_gives_the_terminal_and_the_bell_back_and_comes_back_whole(tmp_path: Path, how: str) -> None:
    with Terminal(tmp_path, start=CONTROLS + START) as terminal:
        terminal.until("No dough yet")
        assert not is_free(tmp_path)
        terminal.press("\x1a") if how == "ctrl+z" else terminal.signal(signal.SIGTSTP)
        terminal.stopped()
        as_it_was(terminal)
        assert is_free(tmp_path)

        terminal.signal(signal.SIGCONT)
        terminal.until(lambda text: "No dough yet" in text and "Harbour knots" in text and "esc" in text)
        assert not termios.tcgetattr(terminal.slave)[3] & termios.ICANON
        terminal.until(lambda _: not is_free(tmp_path))
        terminal.press("\x11")
        assert terminal.ended() == 0
        as_it_was(terminal)


@pytest.mark.parametrize("modes", ["the shell's", "its own"])
def test_stopped_without_being_asked_it_comes_back_whole_and_leaves_the_terminal_as_it_was(
    tmp_path: Path, modes: str
) -> None:
    """Some shells take their terminal back while it is stopped; some give it back as it was left."""
    with Terminal(tmp_path, start=CONTROLS + START) as terminal:
        terminal.until("No dough yet")
        terminal.signal(signal.SIGSTOP)
        terminal.stopped()
        if modes == "the shell's":
            termios.tcsetattr(terminal.slave, termios.TCSANOW, terminal.before)

        terminal.signal(signal.SIGCONT)
        terminal.until(lambda text: "No dough yet" in text and "Harbour knots" in text and "esc" in text)
        assert not termios.tcgetattr(terminal.slave)[3] & termios.ICANON
        terminal.press("\x1a")
        terminal.stopped()
        as_it_was(terminal)
        terminal.signal(signal.SIGCONT)
        terminal.until("No dough yet")
        terminal.press("\x11")
        assert terminal.ended() == 0
        as_it_was(terminal)


ENDS: dict[str, Callable[[Terminal], object]] = {
    "ctrl+q": lambda terminal: terminal.press("\x11"),
    "SIGTERM": lambda terminal: terminal.signal(signal.SIGTERM),
    "SIGTERM, nobody reads": lambda terminal: terminal.signal(signal.SIGTERM),
    "SIGQUIT": lambda terminal: terminal.signal(signal.SIGQUIT),
    "closed window": Terminal.hang_up,
}


@pytest.mark.parametrize("end", ENDS)
def test_no_command_of_the_alarm_outlives_the_program(tmp_path: Path, end: str) -> None:
    ringing(tmp_path)
    started = alarm_that_hangs(tmp_path)
    with Terminal(tmp_path, start=NO_CORE + START) as terminal:
        try:
            terminal.until(lambda _: len(started()) >= 2)
            if "nobody reads" in end:
                terminal.fill()
            ENDS[end](terminal)
            terminal.is_gone() if end in ("closed window", "SIGTERM, nobody reads") else terminal.ended()
            assert [number for number in started() if runs(number)] == []
        finally:
            for number in filter(runs, started()):
                os.kill(number, signal.SIGKILL)


def test_a_window_that_may_not_ring_says_which_one_does_and_takes_over_from_it(tmp_path: Path) -> None:
    with Terminal(tmp_path) as first:
        first.until("No dough yet")
        first.until(lambda _: not is_free(tmp_path))
        leads = os.ttyname(first.slave).removeprefix("/dev/")
        with Terminal(tmp_path) as second:
            second.until("No dough yet")
            second.press_until("\x1b", f"Another window rings: the one on {leads}, open since")
            first.press("\x11")
            first.ended()
            second.until("This window rings now.")


WATCHED = """
import pathlib, sys, threading
from proofbell.app.terminal.hang_up import HangUp

told = pathlib.Path(sys.argv[1])
for_ever = threading.Event()

def say(word):
    with told.open("a") as file:
        file.write(word + "\\n")

def words():
    say("last words")
    for_ever.wait()

def leave():
    if sys.argv[2] == "leaves":
        left.set()

left = threading.Event()
with HangUp(leave=leave, restore=lambda _: say("restored"), let_go=lambda: say("let go"), last_words=words):
    say("begun")
    print("begun", flush=True)
    left.wait()
for_ever.wait()
"""


@pytest.mark.parametrize(
    ("how", "told"),
    [
        ("stays", ["begun", "let go", "last words", "restored"]),
        ("leaves", ["begun", "let go", "restored"]),
    ],
)
def test_the_right_to_ring_goes_first_and_then_the_last_words_if_the_app_cannot_say_them(
    tmp_path: Path, how: str, told: list[str]
) -> None:
    """What hangs here, the app, its last words or what comes after it, keeps nothing."""
    with subprocess.Popen(
        [sys.executable, "-c", WATCHED, str(tmp_path / "told"), how], stdout=subprocess.PIPE, env=environment(tmp_path)
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"begun\n"
        process.send_signal(signal.SIGTERM)
        ended = process.wait(40)

    said = (tmp_path / "told").read_text().split("\n")[:-1]
    # On a machine too busy for the rest the alarm of the system ends it; the right to ring went first all the same.
    assert ended == 1 or (ended == -signal.SIGALRM and said[:2] == told[:2])
    assert said == (told if ended == 1 else told[: len(said)])


TITLE = b"\x1b[22;2t\x1b]2;Proofbell\x1b\\"
TITLE_BACK = b"\x1b]2;\x1b\\\x1b[23;2t"
"""The window's title kept aside and set, and given back: xterm's "Control Sequences", window manipulation 22 and 23."""

TITLED: dict[str, Callable[[Terminal], object]] = {
    "ctrl+q": lambda terminal: terminal.press("\x11"),
    "SIGTERM": lambda terminal: terminal.signal(signal.SIGTERM),
    "SIGQUIT": lambda terminal: terminal.signal(signal.SIGQUIT),
}


@pytest.mark.parametrize("end", TITLED)
def test_the_windows_title_is_kept_aside_once_and_given_back_at_each_stop_and_end(tmp_path: Path, end: str) -> None:
    with Terminal(tmp_path, start=CONTROLS + NO_CORE + START) as terminal:
        terminal.until(lambda _: TITLE in terminal.raw)
        terminal.press("\x1a")
        terminal.stopped()
        assert terminal.raw.count(TITLE_BACK) == 1
        terminal.signal(signal.SIGCONT)
        terminal.until(lambda _: terminal.raw.count(TITLE) == 2)
        TITLED[end](terminal)
        terminal.ended()

    assert terminal.raw.count(TITLE_BACK) == 2
    assert terminal.raw.rindex(TITLE_BACK) > terminal.raw.rindex(b"\x1b]2;Proofbell")
    assert terminal.raw.count(b"\x1b[22;2t") == 2


def test_an_alarm_rings_asks_for_a_notification_and_says_so_in_the_title(tmp_path: Path) -> None:
    ringing(tmp_path)
    (tmp_path / "kitchen.toml").write_text('[bell]\nnotify = "osc 777"\n', encoding="utf-8")
    with Terminal(tmp_path, start="import os; os.environ.pop('TMUX', None); " + START) as terminal:
        terminal.until(lambda _: b"\a\x1b]777;notify;Proofbell;Proofbell: A" in terminal.raw)
        terminal.until(lambda _: b"\x1b]2;A " in terminal.raw)


def test_a_new_kitchen_is_asked_and_one_key_skips_to_the_formulas(tmp_path: Path) -> None:
    new = "import os; os.remove(os.environ['PROOFBELL_KITCHEN']); "
    with Terminal(tmp_path, start=new + START) as terminal:
        terminal.until("press r to ring it")
        terminal.press_until("\x1b", "No dough yet")
        terminal.press("\x11")
        terminal.ended()
    assert "[units]" in (tmp_path / "kitchen.toml").read_text(encoding="utf-8")
