"""How an alarm leaves the program: the terminal's own notification, and the user's command."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.app.alarms.alarm_command import GRACE_US, LONGEST_US, Commands
from proofbell.app.alarms.notification import Osc, Way, sequence, way_of
from proofbell.app.app import ProofbellApp
from tests.support.kitchen_scene import GUESTHOUSE, app_on, empty_bench, of, proofing, unjudged
from tests.support.stage import seen

PATIENCE_S = 40.0


CONTROLS = {chr(code) for code in (*range(0x20), *range(0x7F, 0xA0))}


@given(words=st.text(max_size=60), osc=st.sampled_from(get_args(Osc)), through_tmux=st.booleans())
def test_no_words_can_end_the_notification_early(words: str, osc: Osc, *, through_tmux: bool) -> None:
    sent = sequence(Way(osc, through_tmux), words)
    inner = sent
    if through_tmux:
        assert sent.startswith("\x1bPtmux;\x1b\x1b]")
        assert sent.endswith("\x1b\\")
        inner = sent.removeprefix("\x1bPtmux;")[:-2].replace("\x1b\x1b", "\x1b")

    assert inner.startswith(f"\x1b]{osc};")
    assert inner.endswith("\x1b\\")
    assert not set(inner[4:-2]) & CONTROLS
    assert osc != "777" or inner.count(";") == 3


@pytest.mark.parametrize(
    ("environment", "osc"),
    [
        ({"TERM": "xterm-kitty"}, "99"),
        ({"TERM": "xterm-256color", "TERM_PROGRAM": "iTerm.app"}, "9"),
        ({"TERM": "xterm-256color", "VTE_VERSION": "7402"}, "777"),
        ({"TERM": "foot"}, "777"),
        ({"TERM": "xterm-256color", "SSH_TTY": "/dev/pts/1"}, "9"),
        ({"TERM": "linux"}, None),
        ({"TERM": "xterm-256color", "TERM_PROGRAM": "Apple_Terminal"}, None),
    ],
)
def test_a_terminal_is_asked_by_the_sequence_that_it_understands(environment: dict[str, str], osc: Osc | None) -> None:
    assert way_of("auto", environment).osc == osc
    assert way_of("off", environment).osc is None
    assert way_of("osc 777", environment).osc == "777"


def test_in_tmux_it_is_asked_only_where_tmux_lets_it_through() -> None:
    inside = {"TERM": "tmux-256color", "TMUX": "/run/tmux-0/default,1,0", "TERM_PROGRAM": "tmux", "VTE_VERSION": "7402"}

    assert way_of("auto", inside) == Way(None, swallowed=True)
    assert "allow-passthrough" in way_of("auto", inside).words
    assert way_of("auto", inside, tmux_lets_through=True) == Way("777", through_tmux=True)


class Marks:
    """Commands that leave their process number in a folder, to be looked up from outside."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.made: list[Commands] = []

    def commands(self, then: str, *, first: str = "", child: bool = False) -> Commands:
        """Does something first, writes its number, starts a child that waits for ever if asked, and then goes on."""
        mark = "(pathlib.Path(sys.argv[1]) / str(os.getpid())).touch()"
        forks = f"os.fork() or ({mark}, signal.pause()); " if child else ""
        script = f"import os, pathlib, signal, sys; {first}{mark}; {forks}{then}"
        self.made.append(Commands(lambda: [sys.executable, "-c", script, str(self.folder)]))
        return self.made[-1]

    def seen(self, count: int) -> list[int]:
        """Wait until so many have begun; their numbers."""
        until(lambda: len(list(self.folder.iterdir())) >= count)
        return [int(path.name) for path in self.folder.iterdir()]


HANGS = "signal.pause()"
DEAF = "signal.signal(signal.SIGTERM, signal.SIG_IGN); "


def until(is_so: Callable[[], bool]) -> None:
    """Look again and again; only a test that fails ever waits so long."""
    deadline = time.monotonic() + PATIENCE_S
    while not is_so():
        assert time.monotonic() < deadline, "it never came"
        threading.Event().wait(0.01)


def runs(number: int) -> bool:
    """Whether a process is there and more than a name that waits to be struck off."""
    told = subprocess.run(["ps", "-o", "stat=", "-p", str(number)], capture_output=True, text=True, check=False)
    return bool(told.stdout.strip()) and not told.stdout.strip().startswith("Z")


@pytest.fixture
def marks(tmp_path: Path) -> Iterator[Marks]:
    folder = tmp_path / "marks"
    folder.mkdir()
    made = Marks(folder)
    yield made
    for commands in made.made:
        commands.close()
    for path in folder.iterdir():
        with contextlib.suppress(ProcessLookupError):
            os.kill(int(path.name), signal.SIGKILL)


def words_of(commands: Commands, real_us: int) -> str:
    """Look after them until there is something to say."""
    said: list[str] = []

    def something() -> bool:
        said.append(commands.reap(real_us))
        return bool(said[-1])

    until(something)
    return said[-1]


def test_the_users_command_gets_letter_and_words_as_arguments_and_no_shell(tmp_path: Path) -> None:
    told = tmp_path / "told.json"
    script = "import json, os, sys; open(sys.argv[1] + '_', 'w').write(json.dumps(sys.argv[2:])); "
    code = script + "os.rename(sys.argv[1] + '_', sys.argv[1])"
    commands = Commands(lambda: [sys.executable, "-c", code, str(told), "{letter}", "{words}", "is {words}"])

    assert commands.run("A", "load the oven; $(touch /nowhere) && echo", 0) == ""
    until(told.exists)
    commands.close()

    assert json.loads(told.read_text()) == ["A", "load the oven; $(touch /nowhere) && echo", "is {words}"]


def test_a_command_that_is_not_there_is_said_and_stops_nothing(tmp_path: Path) -> None:
    assert "could not be started" in Commands(lambda: [str(tmp_path / "no-such-bell")]).run("A", "load the oven", 0)


@pytest.mark.parametrize(
    ("end", "words"), [("sys.exit(3)", "status 3"), ("os.kill(os.getpid(), signal.SIGKILL)", "SIGKILL")]
)
def test_a_command_that_fails_is_said_once(marks: Marks, end: str, words: str) -> None:
    commands = marks.commands(end)
    assert commands.run("A", "load the oven", 0) == ""

    assert words in words_of(commands, 1)
    assert commands.reap(2) == ""


def test_four_that_hang_leave_the_fifth_out_in_words_and_make_room_after_their_time(marks: Marks) -> None:
    commands = marks.commands(HANGS)
    said = [commands.run("A", "load the oven", 0) for _ in range(4)]
    refused = commands.run("B", "fold", 1)
    hanging = marks.seen(4)

    assert said == [""] * 4
    assert "not started for B" in refused
    assert commands.reap(LONGEST_US - 1) == ""
    assert "was ended" in commands.reap(LONGEST_US)
    until(lambda: not any(map(runs, hanging)))
    until(lambda: commands.run("B", "fold", LONGEST_US) == "")
    marks.seen(5)


def test_a_command_that_is_deaf_to_being_asked_is_ended_a_moment_later(marks: Marks) -> None:
    commands = marks.commands(HANGS, first=DEAF)
    commands.run("A", "load the oven", 0)
    (number,) = marks.seen(1)

    commands.reap(LONGEST_US)
    commands.reap(LONGEST_US + GRACE_US - 1)
    assert runs(number)
    commands.reap(LONGEST_US + GRACE_US)
    until(lambda: not runs(number))


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no process groups to end")
@pytest.mark.parametrize("then", [HANGS, "sys.exit(0)"])
def test_what_a_command_has_started_ends_with_it(marks: Marks, then: str) -> None:
    commands = marks.commands(then, child=True)
    commands.run("A", "load the oven", 0)
    both = marks.seen(2)

    commands.reap(LONGEST_US)
    until(lambda: not any(map(runs, both)))


@pytest.mark.parametrize("first", ["", DEAF])
def test_none_outlives_the_end_of_the_app(marks: Marks, first: str) -> None:
    commands = marks.commands(HANGS, first=first, child=True)
    commands.run("A", "load the oven", 0)
    both = marks.seen(2)

    commands.close()
    until(lambda: not any(map(runs, both)))


@pytest.mark.parametrize(("end", "words"), [("sys.exit(3)", "status 3"), (HANGS, "was ended")])
async def test_the_bench_says_that_the_command_failed_or_hung(tmp_path: Path, end: str, words: str) -> None:
    command = (sys.executable, "-c", f"import signal, sys; {end}")
    live, clock = empty_bench(kitchen=replace(GUESTHOUSE, alarm_command=command))
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        assert app.bench.board.rings
        clock.forward(LONGEST_US / 1_000_000)
        for _ in range(2000):
            app.tick()
            await pilot.pause(0.01)
            if words in seen(app):
                return
    raise AssertionError("nothing was said")


async def test_a_command_that_is_not_there_is_told_as_the_bench_opens_before_it_has_to_ring() -> None:
    live, _ = empty_bench(kitchen=replace(GUESTHOUSE, alarm_command=("no-such-bell-here",)))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        shown = seen(app)

    assert 'the program "no-such-bell-here" is not found' in shown


async def test_the_bench_looks_again_the_moment_that_something_comes_due(monkeypatch: pytest.MonkeyPatch) -> None:
    looks: list[float] = []
    monkeypatch.setattr(ProofbellApp, "look_in", lambda _, seconds: looks.append(seconds))
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    await unjudged(live, bake)
    due_s = of(live, bake).stages[of(live, bake).current or 0].length_s
    async with app_on(live).run_test(size=(80, 24)) as pilot:
        app = pilot.app
        assert isinstance(app, ProofbellApp)
        clock.forward(due_s - 1.7)
        app.tick()
        assert not looks
        clock.forward(1.0)
        app.tick()
        assert len(looks) == 1
        clock.forward(looks[0])
        app.tick()
        assert app.bench.board.rings
