"""``proofbell read -``: line after line from a probe's own program, in one process."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from proofbell.bake import intents
from proofbell.bake.intents import Intent
from proofbell.cli import main
from proofbell.cli.of_read import stream as stream_module
from proofbell.cli.of_read.stream import AGAIN_S, Remarks
from proofbell.errors import Failure
from tests.support.command_line import PROVING, Captured, bake, state_of
from tests.support.terminal import HEARS, START

IN_THE_OVEN: tuple[Intent, ...] = (*PROVING, intents.Done(), intents.Done(), intents.Done())


@pytest.fixture(name="journal", autouse=True)
def _journal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "journal.sqlite"
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(path))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    return path


class Pipe(io.StringIO):
    """Lines that come one by one; what is no line is done between them. The clock goes on by ``each_s`` with each."""

    def __init__(self, *steps: str | Callable[[], object], each_s: float = 15.0) -> None:
        super().__init__()
        self._steps = list(steps)
        self._each_s = each_s
        self.at_s = 0.0

    def readline(self, _size: int = -1, /) -> str:  # type: ignore[override]
        while self._steps:
            step = self._steps.pop(0)
            if isinstance(step, str):
                self.at_s += self._each_s
                return f"{step}\n"
            step()
        return ""


def piped(
    monkeypatch: pytest.MonkeyPatch,
    *steps: str | Callable[[], object],
    more: tuple[str, ...] = (),
    each_s: float = 15.0,
) -> int:
    pipe = Pipe(*steps, each_s=each_s)
    monkeypatch.setattr(sys, "stdin", pipe)
    monkeypatch.setattr(stream_module, "running_s", lambda: pipe.at_s)
    return main(["read", "-", *more])


def say(path: Path, letter: str, *said: Intent) -> None:
    """Somebody else says something to a bake that is on."""
    from proofbell.clock import Patience, WallClock
    from proofbell.journal.storage.deciding import Said, opened
    from proofbell.journal.storage.deciding import say as tell

    with opened(path, Patience()) as others:
        for intent in said:
            assert isinstance(tell(others, f"bake-{letter}", intent, WallClock().stamp, Patience()), Said)


def test_lines_are_taken_thinned_and_change_the_proof(
    journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    bake(journal, "A", *PROVING)
    lines = ["27", "27.1", "26.9", "room 21", "junk", "\x1b[2J", '{"dough": 28.5}', "27", "27.1", "26.2"]
    assert piped(monkeypatch, *lines) == 0
    said = capsys.readouterr()
    state = state_of(journal, "A")
    # What moved by more than the probe's degree, or is a minute old.
    assert [(each.what[:4], each.value) for each in state.readings] == [
        ("doug", 27.0),
        ("room", 21.0),
        ("doug", 28.5),
        ("doug", 26.2),
    ]
    assert {each.source for each in state.readings} == {"probe"}
    assert state.stages[2].length_s == 3300
    assert "A  Harbour rolls, First proof: dough temperature 27 °C taken.\nDough 27.0 °C, 26 °C" in said.out
    assert 'Line 5, junk: write 26.5, core 91.2, or a JSON object such as {"core": 91.2}.' in said.err
    assert "\x1b" not in said.err
    assert said.err.endswith("The input has ended. 10 lines read, 4 readings stored, 2 lines not understood.\n")


def test_a_refused_value_keeps_no_good_one_out_and_is_counted(
    journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    bake(journal, "A", *PROVING)
    assert piped(monkeypatch, "junk", "also junk", "50", "27", "29", each_s=1.0) == 0
    # Two good values within ten seconds are one reading.
    assert [each.value for each in state_of(journal, "A").readings] == [27.0]
    assert capsys.readouterr().err.endswith(
        "5 lines read, 1 reading stored, 2 lines not understood, 1 reading refused.\n"
    )


def test_json_is_a_line_for_each_reading(journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    bake(journal, "A", *IN_THE_OVEN)
    assert piped(monkeypatch, "27", "85", more=("--what", "core temperature", "--json")) == 0
    first, second = (json.loads(line) for line in capsys.readouterr().out.splitlines())
    assert (first["schema"], first["value"], second["value"]) == (1, 27.0, 85.0)
    assert second["says"][0] == "Core 85.0 °C: not done yet; 88 to 94 °C."


def test_what_is_not_read_now_is_waited_for_and_said_once(
    journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    bake(journal, "A", *PROVING)
    into_the_oven = [lambda: say(journal, "A", intents.Done())] * 3
    assert piped(monkeypatch, "core 25", "core 25", "core 26", *into_the_oven, "core 27", "27", "27") == 0
    said = capsys.readouterr()
    assert said.err.count("A Harbour rolls, First proof: no core temperature is read there. Waiting.") == 1
    assert said.err.count("no dough temperature is read there") == 1
    assert [each.value for each in state_of(journal, "A").readings] == [27.0]


def test_a_bake_that_is_over_is_followed_by_the_next(
    journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    over = lambda: say(journal, "A", intents.GiveUp())  # noqa: E731
    begin = [lambda: bake(journal, "A", *PROVING), lambda: bake(journal, "B", *PROVING)]
    steps: list[str | Callable[[], object]] = ["25", "25", begin[0], "25", begin[1], "27", over, "22", "27", "22"]
    assert piped(monkeypatch, *steps) == 0
    told = capsys.readouterr().err.splitlines()
    # A second bake is none of the probe's business until the first is over.
    assert [line.partition(".")[0] for line in told] == [
        "No bake is live",
        "Reading for A Harbour rolls",
        "A Harbour rolls is over",
        "Reading for B Harbour rolls",
        "The input has ended",
    ]
    assert [each.value for each in state_of(journal, "A").readings] == [25.0, 27.0]
    assert [each.value for each in state_of(journal, "B").readings] == [22.0, 27.0, 22.0]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ((), "Several bakes are live."),
        (("--bake", "C"), "There is no live bake C."),
        (("--bake", "A", "--what", "rise"), "A probe cannot read rise."),
    ],
)
def test_before_the_first_line_it_must_be_clear_which_bake(
    journal: Path, monkeypatch: pytest.MonkeyPatch, more: tuple[str, ...], words: str, capsys: Captured
) -> None:
    bake(journal, "A", *PROVING)
    bake(journal, "B", *PROVING)
    assert piped(monkeypatch, "26", more=more) == 2
    assert capsys.readouterr().err.startswith(words)
    assert piped(monkeypatch, "27", more=("--bake", "b")) == 0
    assert state_of(journal, "A").readings == ()
    assert state_of(journal, "B").readings[0].value == 27.0


def test_what_cannot_be_is_told_and_ends_nothing(
    journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    bake(journal, "A", *PROVING)
    assert piped(monkeypatch, *["85"] * 12, "44", *["x" * 9999] * 3, "26") == 0
    said = capsys.readouterr()
    assert "A dough temperature of 85 °C cannot be right." in said.err
    # 16 lines in four minutes: no more than one remark a minute of each kind.
    assert len(said.err.splitlines()) <= 12
    assert [each.value for each in state_of(journal, "A").readings] == [26.0]


def test_a_flood_is_told_once_a_minute_with_how_many() -> None:
    told: list[str] = []
    remarks = Remarks(told.append)
    for second in range(121):
        for _ in range(10):
            remarks.trouble("line", f"Line {second}", float(second))
    assert told == ["Line 0", "Line 60 (599 more like it before)", "Line 120 (599 more like it before)"]
    assert AGAIN_S == 60.0


def test_ctrl_c_ends_it_with_how_much_it_was(journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    def stop() -> None:
        raise KeyboardInterrupt

    bake(journal, "A", *PROVING)
    assert piped(monkeypatch, "26", stop, "29") == 0
    assert capsys.readouterr().err.endswith("Stopped. 1 line read, 1 reading stored.\n")


def test_a_disk_that_fails_is_told_and_the_next_line_tried(
    journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    def full(*_: object) -> None:
        raise Failure("The disk is full.", "Make room.", status=1)

    bake(journal, "A", *PROVING)
    with monkeypatch.context() as once:
        once.setattr("proofbell.cli.of_read.stream.deciding.say", full)
        assert piped(once, "26", "26") == 1
    assert "Line 1: The disk is full." in capsys.readouterr().err
    assert state_of(journal, "A").readings == ()


def test_a_real_pipe_is_read_as_it_comes_and_a_reader_that_has_gone_ends_it_quietly(journal: Path) -> None:
    bake(journal, "A", *PROVING)
    command = [sys.executable, "-m", "proofbell", "read", "-"]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=dict(os.environ)
    ) as run:
        assert run.stdin is not None
        assert run.stdout is not None
        assert run.stderr is not None
        run.stdin.write(b"room 21\n\xff\xfe\n")
        run.stdin.flush()
        # While the pipe is open, the reading is there already.
        assert b"room temperature 21" in run.stdout.readline()
        run.stdout.close()
        run.stdin.write(b"26.5\n" * 3)
        run.stdin.close()
        said = run.stderr.read()
        run.wait()
    assert b"Traceback" not in said
    assert b"2 readings stored, 1 line not understood." in said
    assert [each.what for each in state_of(journal, "A").readings] == ["room temperature", "dough temperature"]


@pytest.mark.skipif(os.name == "nt", reason="no such signal")
def test_an_interrupt_from_outside_ends_it_with_how_much_it_was(journal: Path) -> None:
    bake(journal, "A", *PROVING)
    with subprocess.Popen(
        [sys.executable, "-c", HEARS + START, "read", "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as run:
        assert run.stdin is not None
        assert run.stdout is not None
        run.stdin.write(b"26.5\n")
        run.stdin.flush()
        run.stdout.readline()
        run.send_signal(signal.SIGINT)
        assert b"Stopped. 1 line read, 1 reading stored." in run.communicate()[1]
        assert run.returncode == 0
