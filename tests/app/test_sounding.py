"""How an alarm leaves the program: the terminal's own notification, and the user's command."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from proofbell.app.sounding import Commands, notification


@given(st.text(max_size=60))
def test_no_words_can_end_the_notification_early(words: str) -> None:
    sent = notification(words)

    assert sent.startswith("\x1b]9;")
    assert sent.endswith("\x1b\\")
    assert not set(sent[4:-2]) & {chr(code) for code in (*range(0x20), *range(0x7F, 0xA0))}


def test_the_users_command_gets_letter_and_words_as_arguments_and_no_shell(tmp_path: Path) -> None:
    told = tmp_path / "told.json"
    script = "import json, sys; open(sys.argv[1], 'w').write(json.dumps(sys.argv[2:]))"
    commands = Commands([sys.executable, "-c", script, str(told)])

    assert commands.run("A", "load the oven; $(touch /nowhere) && echo") == ""
    for started in commands._running:
        started.wait(timeout=40)
    commands.reap()

    assert json.loads(told.read_text()) == ["A", "load the oven; $(touch /nowhere) && echo"]
    assert commands._running == []


def test_a_command_that_is_not_there_is_said_and_stops_nothing(tmp_path: Path) -> None:
    assert "could not be started" in Commands([str(tmp_path / "no-such-bell")]).run("A", "load the oven")


def test_commands_that_hang_do_not_pile_up() -> None:
    commands = Commands(
        [sys.executable, "-c", "import sys; sys.stdin.read(); import threading; threading.Event().wait()"]
    )
    for _ in range(9):
        commands.run("A", "load the oven")
    hanging = list(commands._running)
    for started in hanging:
        started.kill()
        started.wait(timeout=40)

    assert len(hanging) == 4
