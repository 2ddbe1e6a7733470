"""Faults of the program's own, written down so that they can be sent in and mended; nothing personal among them.

A fault is told by its kind and by the places in the code that it came through. Its own words are left out, as are
values, paths outside the program, formulas and notes: any of them may hold somebody's text.
"""

from __future__ import annotations

import contextlib
import os
import platform
import sys
import traceback
from datetime import UTC, datetime
from pathlib import Path

from proofbell import __version__
from proofbell.bake.stamp import Stamp
from proofbell.frozen import dataclass

MOST_BYTES = 256 * 1024
"""A fault file that is larger is begun anew: what is wrong today stands in the newest lines."""

MOST_PLACES = 12
"""The innermost so many places of a fault are written down."""

_PACKAGE = "proofbell"


@dataclass(frozen=True, slots=True)
class Fault:
    """What went wrong: the ``kind`` of exception, the code's ``places`` from the outside in, and on which ``page``."""

    kind: str
    places: tuple[str, ...]
    page: str

    @property
    def place(self) -> str:
        """The innermost place in the program's own code; else the innermost of all."""
        ours = [place for place in self.places if place.startswith(_PACKAGE)]
        return (ours or self.places or ("nowhere",))[-1]


def fault_of(error: BaseException, page: str) -> Fault:
    """What may be told of an exception."""
    while error.__cause__ is not None:
        error = error.__cause__
    frames = traceback.extract_tb(error.__traceback__)[-MOST_PLACES:]
    return Fault(type(error).__name__, tuple(_place(frame) for frame in frames), page)


def _place(frame: traceback.FrameSummary) -> str:
    """``proofbell/app/start_screen.py:145 action_back``: from the package's folder on, never the folders above it."""
    parts = Path(frame.filename).parts
    packages = [index for index, part in enumerate(parts) if part in {_PACKAGE, "textual", "site-packages"}]
    # The last of them: the program may itself lie in a folder of that name.
    first = packages[-1] if packages else len(parts) - 1
    return f"{'/'.join(parts[first:])}:{frame.lineno} {frame.name}"


class FaultFile:
    """Appends faults to a file that only its owner may read; one that cannot be written is done without."""

    def __init__(self, path: Path | None) -> None:
        self.path = path
        """None: faults are written nowhere, as in a rehearsal."""

    def write(self, fault: Fault, now: Stamp) -> bool:
        """Add one fault, met at ``now``; whether it is in the file."""
        if self.path is None:
            return False
        with contextlib.suppress(OSError):
            self._make_room()
            descriptor = os.open(self.path, os.O_CREAT | os.O_APPEND | os.O_WRONLY, 0o600)
            with os.fdopen(descriptor, "w", encoding="utf-8") as file:
                file.write(text_of(fault, now))
            return True
        return False

    def _make_room(self) -> None:
        if self.path is not None and self.path.exists() and self.path.stat().st_size > MOST_BYTES:
            self.path.unlink()


def text_of(fault: Fault, now: Stamp) -> str:
    """The fault in lines, with the versions that somebody who mends it has to know."""
    moment = datetime.fromtimestamp(now.wall_us / 1_000_000, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    versions = f"proofbell {__version__}  textual {_textual_version()}  python {platform.python_version()}"
    lines = [
        f"{moment}  {versions}  {sys.platform}",
        f"  {fault.kind} on page {fault.page or 'none'}",
        *(f"    {place}" for place in fault.places),
        "",
    ]
    return "\n".join(lines) + "\n"


def _textual_version() -> str:
    from textual import __version__ as textual_version

    return textual_version
