"""The command of one's own that rings: as it is typed, and whether it can be run here."""

from __future__ import annotations

import os
import shlex
import shutil
import sys
from collections.abc import Sequence
from pathlib import Path

import tomli

from proofbell.errors import Failure
from proofbell.visible import visible

EXAMPLES: dict[str, tuple[str, ...]] = {
    "linux": (
        '["paplay", "/usr/share/sounds/freedesktop/stereo/bell.oga"]',
        '["pw-play", "/usr/share/sounds/freedesktop/stereo/bell.oga"]',
        '["aplay", "/usr/share/sounds/alsa/Front_Center.wav"]',
    ),
    "darwin": ('["afplay", "/System/Library/Sounds/Ping.aiff"]',),
    "win32": ("['powershell', '-NoProfile', '-Command', '[console]::Beep(880, 700)']",),
}
"""Commands that come with most systems of each kind, by `sys.platform`, as they are typed."""


def examples(platform: str = sys.platform) -> tuple[str, ...]:
    """Commands for this system, those first whose program is there."""
    found = EXAMPLES.get(platform, EXAMPLES["linux"])
    return tuple(sorted(found, key=lambda typed: not _is_there(typed)))


def _is_there(typed: str) -> bool:
    return shutil.which(tomli.loads(f"list = {typed}")["list"][0]) is not None


def read_list(typed: str) -> object:
    """A list as typed: in brackets as a file has it, ``["paplay", "bell.wav"]``, or in words as at a prompt.

    Raises Failure: brackets or quotation marks do not match.
    """
    if typed.startswith("["):
        try:
            return tomli.loads(f"list = {typed}\n")["list"]
        except tomli.TOMLDecodeError as error:
            message = f"{visible(typed, most=60)} is not a list."
            raise Failure(message, 'Write it like ["paplay", "bell.wav"]: each part in quotation marks.') from error
    try:
        return shlex.split(typed, posix=os.name != "nt")
    except ValueError as error:
        raise Failure(f"{visible(typed, most=60)} has a quotation mark too many.", "Close each that opens.") from error


def refuse_unrunnable(command: Sequence[str]) -> None:
    """Refuse a command whose program is not to be found on this machine.

    Raises Failure: it is not found, or is no program.
    """
    if not command or shutil.which(command[0]) is not None:
        return
    shown = visible(command[0], most=80)
    if Path(command[0]).is_file():
        raise Failure(f"alarm: {shown} is a file that cannot be run.", "Name the program that plays it first.")
    alone = f" The program alone comes first: {shown.split()[0]}." if " " in shown else ""
    first = examples()[0]
    other = f", or take another, such as {first}" if _is_there(first) else ""
    message = f'alarm: the program "{shown}" is not found on this machine.'
    raise Failure(message, f"Install it, or write its whole path{other}.{alone}")
