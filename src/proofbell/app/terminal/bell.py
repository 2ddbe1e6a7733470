"""How an alarm reaches the terminal: its bell, and its own notification."""

from __future__ import annotations

from textual.app import App

from proofbell.app.terminal.textual_private import write_beside_the_screen
from proofbell.visible import visible


def bell_and_notification(app: App[int], words: str) -> None:
    """BEL, and OSC 9, which terminals that do not know it leave out."""
    write_beside_the_screen(app, "\a" + notification(words))


def notification(words: str) -> str:
    """The sequence for the terminal's own notification; nothing in the words can end it early."""
    return f"\x1b]9;{visible(words, most=120)}\x1b\\"
