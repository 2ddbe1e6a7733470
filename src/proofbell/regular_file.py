"""Reads what is a file and nothing else: no pipe that nobody writes to, no device, no socket, no folder.

Opening such a pipe waits until somebody writes to it, and a device may never come to an end. So nothing is waited for
at the opening (O_NONBLOCK), and what was opened is looked at before it is read: between a look at the name and the
opening, something else could have been put there. Source: open(), POSIX.1-2017.
"""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)
_FLAGS = os.O_RDONLY
for _name in ("O_NONBLOCK", "O_NOCTTY", "O_CLOEXEC", "O_BINARY"):
    _FLAGS |= getattr(os, _name, 0)


class NotAFileError(OSError):
    """Something else than a file lies there; ``what`` says what: "a folder", "a pipe"."""

    def __init__(self, what: str, path: Path) -> None:
        super().__init__(errno.EINVAL, f"it is {what}, not a file", str(path))
        self.what = what


def other_than_file(mode: int) -> str:
    """What a thing of that ``st_mode`` is when it is no regular file, in words; empty for a file."""
    if stat.S_ISREG(mode):
        return ""
    return next((words for holds, words in _KINDS if holds(mode)), "something else")


def first_bytes(path: Path, most: int) -> bytes:
    """Return what is in the file: at most ``most`` bytes, and one more, by which a larger file is known.

    Raises:
        NotAFileError: it is a folder, a pipe, a socket or a device.
        OSError: it is not there, may not be read, or the disk fails.
        ValueError: the name cannot be one.
    """
    try:
        descriptor = os.open(path, _FLAGS)
    except OSError as error:
        # A socket cannot be opened at all, a folder not on every system.
        what = "" if isinstance(error, FileNotFoundError | PermissionError) else _at(path)
        if what:
            raise NotAFileError(what, path) from error
        raise
    what = other_than_file(os.fstat(descriptor).st_mode)
    if what:
        os.close(descriptor)
        raise NotAFileError(what, path)
    with os.fdopen(descriptor, "rb") as file:
        return file.read(most + 1)


def _at(path: Path) -> str:
    try:
        return other_than_file(path.stat().st_mode)
    except OSError:
        return ""
