"""A megabyte in reserve beside the journal, given up when the disk is full, so that the night is logged to its end."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

BALLAST_BYTES = 1024 * 1024


def ballast_path(journal: Path) -> Path:
    return journal.with_name(journal.name + ".reserve")


def lay_down(journal: Path) -> bool:
    """Make the reserve if it is not there; False when there is no room or no right to."""
    path = ballast_path(journal)
    try:
        descriptor = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except FileExistsError:
        return True
    except OSError:
        return False
    try:
        with os.fdopen(descriptor, "wb") as file:
            # Random bytes: zeros may be stored as nothing at all.
            file.write(os.urandom(BALLAST_BYTES))
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        with contextlib.suppress(OSError):
            path.unlink()
        return False
    return True


def give_up(journal: Path) -> bool:
    """Free the reserve; False when there was none."""
    try:
        ballast_path(journal).unlink()
    except OSError:
        return False
    return True
