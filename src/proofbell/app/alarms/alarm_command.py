"""Runs the user's own alarm command."""

from __future__ import annotations

import signal
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from proofbell.app.alarms.process_group import ProcessGroup
from proofbell.visible import visible

MOST_COMMANDS = 4
"""Of the user's commands at one time: one that hangs must not fill the machine."""

LONGEST_US = 30_000_000
"""How long one of them, and what it started, may run, by the real clock: two rings. Our own choice."""

GRACE_US = 2_000_000
"""From asking it to end to ending it."""


@dataclass
class _Run:
    group: ProcessGroup
    until_us: int
    asked_to_end: bool = False
    told: bool = False


class Commands:
    """Runs the user's command for an alarm: no shell, no waiting, no output on the screen, and never for ever.

    ``command`` gives the program and its arguments as the kitchen has them when it rings; none: nothing is run.

    Whatever goes wrong with it comes back in words; nothing is left out in silence. `close` may be called from any
    thread.
    """

    def __init__(self, command: Callable[[], Sequence[str]]) -> None:
        self._command = command
        self._runs: list[_Run] = []
        self._closed = False

    def run(self, letter: str, words: str, real_us: int) -> str:
        """Start it for a letter and what to do. Returns why it could not, or nothing."""
        command = self._command()
        if not command or self._closed:
            return ""
        if sum(one.group.status is None for one in self._runs) >= MOST_COMMANDS:
            return (
                f"The alarm's command was not started for {letter}: {MOST_COMMANDS} earlier runs have not ended yet. "
                "The bell rang."
            )
        try:
            group = ProcessGroup(filled(command, letter, words))
        except (OSError, ValueError) as error:
            return f"The alarm's command could not be started: {visible(str(error))}. The bell rang."
        self._runs.append(_Run(group, real_us + LONGEST_US))
        if self._closed:  # by another thread, meanwhile
            group.kill()
        return ""

    def reap(self, real_us: int) -> str:
        """Look after those that run: end what has run too long. Returns what went wrong since, or nothing.

        To be called each second or so. What a command leaves running behind it may do so to the same limit.
        """
        told = [words for one in self._runs if (words := _look_after(one, real_us))]
        self._runs = [one for one in self._runs if one.group.is_alive]
        return told[-1] if told else ""

    def close(self, grace_s: float = 0.3) -> None:
        """End all that still run, and start no more. Those deaf to it are ended after ``grace_s``."""
        self._closed = True
        running = list(self._runs)
        for one in running:
            one.group.end()
        for one in running:
            one.group.wait(grace_s / len(running))
        for one in running:
            one.group.kill()
        for one in running:
            one.group.wait(grace_s)


def filled(command: Sequence[str], letter: str, words: str) -> list[str]:
    """The command for one alarm: an argument ``{letter}`` or ``{words}`` becomes the letter, or what to do.

    Nothing is added unasked: what plays a sound takes the sound's name and no more. Only whole arguments, so that a
    formula's words never come to stand within a script.
    """
    known = {"{letter}": letter, "{words}": visible(words)}
    program, *arguments = command
    return [program, *(known.get(each, each) for each in arguments)]


def _look_after(one: _Run, real_us: int) -> str:
    status = one.group.status
    words = ""
    if status is not None and not one.told:
        one.told = True
        words = "" if one.asked_to_end else failed(status)
    if one.asked_to_end:
        if real_us >= one.until_us:
            one.group.kill()
    elif real_us >= one.until_us:
        one.asked_to_end = True
        one.until_us = real_us + GRACE_US
        one.group.end()
        if status is None:
            words = (
                f"The alarm's command had not ended after {LONGEST_US // 1_000_000} s and was ended. "
                "Try it in a terminal."
            )
    return words


def failed(status: int) -> str:
    """What a status other than 0 says."""
    if status == 0:
        return ""
    try:
        how = f"status {status}" if status > 0 else signal.Signals(-status).name
    except ValueError:
        how = f"signal {-status}"
    return f"The alarm's command failed ({how}). Try it in a terminal."
