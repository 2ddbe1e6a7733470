"""Which of two open programs raises the alarms: the one that holds the lock file.

The system lets go of the lock when its holder ends, however it ends. Windows locks bytes, others the file.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _take(descriptor: int) -> bool:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _take(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True


def lock_path(journal: Path) -> Path:
    """Where the lock file of this journal lies."""
    return journal.with_name(journal.name + ".lead")


class Lead:
    """The right to raise alarms. Ask again now and then: it becomes free when the other program ends."""

    def __init__(self, journal: Path) -> None:
        self._path = lock_path(journal)
        self._descriptor: int | None = None

    @property
    def held(self) -> bool:
        """Whether this program leads."""
        return self._descriptor is not None

    def take(self) -> bool:
        """Try to lead; True when this program now does, or did already.

        Where no lock file can be made (a write-protected folder), the program leads: two alarms are better than none.
        """
        if self._descriptor is not None:
            return True
        try:
            descriptor = os.open(self._path, os.O_CREAT | os.O_RDWR, 0o600)
        except OSError:
            return True
        if _take(descriptor):
            self._descriptor = descriptor
            return True
        os.close(descriptor)
        return False

    def let_go(self) -> None:
        """Stop leading. The file stays: removing it could take it from under another program."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None
