"""How an alarm reaches the terminal: its bell, and its own notification."""

from __future__ import annotations

from proofbell.app.terminal.job_control import JobControl
from proofbell.app.terminal.textual_private import write_beside_the_screen
from proofbell.visible import visible


def bell_and_notification(app: JobControl, words: str) -> None:
    """BEL, and OSC 9, which terminals that do not know it leave out.

    Where another program has the terminal, BEL alone: it is one byte, and moves nothing on that program's screen.
    """
    if app.output.lent:
        app.output.write("\a")
        app.output.flush()
    else:
        write_beside_the_screen(app, "\a" + notification(words))


def notification(words: str) -> str:
    """The sequence for the terminal's own notification; nothing in the words can end it early."""
    return f"\x1b]9;{visible(words, most=120)}\x1b\\"
