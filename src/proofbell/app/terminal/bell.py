"""How an alarm reaches the terminal: its bell, and its own notification."""

from __future__ import annotations

from textual.app import App

from proofbell.visible import visible


def bell_and_notification(app: App[int], words: str) -> None:
    """BEL, and OSC 9, which terminals that do not know it leave out."""
    driver = app._driver  # the one place that writes to the terminal beside the screen
    if driver is None or app.is_headless:
        return
    driver.write("\a" + notification(words))
    driver.flush()


def notification(words: str) -> str:
    """The sequence for the terminal's own notification; nothing in the words can end it early."""
    return f"\x1b]9;{visible(words, most=120)}\x1b\\"
