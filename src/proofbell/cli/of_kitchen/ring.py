"""``proofbell kitchen ring``: one ring in every way that this kitchen has, and what came of it."""

from __future__ import annotations

import os
import sys

from proofbell import places
from proofbell.app.alarms.notification import sequence, way_of
from proofbell.app.alarms.trial import LETTER, WORDS, tried
from proofbell.cli.printed.printing import print_json, remark
from proofbell.kitchen.alarm_command import examples
from proofbell.kitchen.file import load_kitchen
from proofbell.visible import visible


def ring(*, as_json: bool) -> int:
    """Ring; 0: all that there is was run; 1: the kitchen's own command failed."""
    kitchen = load_kitchen(places.kitchen_file())
    command = kitchen.alarm_command
    terminal = sys.stderr.isatty()
    way = way_of(kitchen.bell.notify, os.environ, tmux_lets_through=_lets_through())
    if terminal:
        sys.stderr.write("\a" + sequence(way, f"Proofbell: {LETTER}  {WORDS}"))
        sys.stderr.flush()
    wrong = tried(command) if command else ""
    if as_json:
        told = {"terminal": terminal, "notification": way.osc if terminal else None}
        print_json({**told, "command": list(command), "wrong": wrong or None})
        return 1 if wrong else 0
    print(f"Rang the terminal's bell; {way.words}." if terminal else "No terminal here: its bell was not rung.")
    if command and not wrong:
        print(f"Ran {visible(command[0], most=80)}: it ended well.")
    if not command:
        print(f"Not heard? Set a command that plays a sound:\n  proofbell kitchen set alarm {_quoted(examples()[0])}")
    if wrong:
        remark(wrong)
    return 1 if wrong else 0


def _lets_through() -> bool:
    if not os.environ.get("TMUX"):
        return False
    from proofbell.app.alarms.tmux import tmux_lets_through

    return tmux_lets_through(os.environ)


def _quoted(words: str) -> str:
    """For a shell; a list that has quotation marks of one sort goes into those of the other."""
    return f'"{words}"' if "'" in words else f"'{words}'"
