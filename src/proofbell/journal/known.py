"""A journal written from memory: what a bench knows of its bakes, when its own file cannot be written."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from pathlib import Path

from proofbell.bake.events import Event
from proofbell.journal.ballast import give_up
from proofbell.journal.copying import AlreadyThere
from proofbell.journal.store import Journal


def write_known(path: Path, bakes: Sequence[Sequence[Event]]) -> None:
    """Make a sound journal at ``path`` that holds these bakes, each with all its events.

    Raises:
        AlreadyThere: something is at ``path``.
        JournalFault: it cannot be written there; nothing is left behind.
    """
    if path.exists():
        raise AlreadyThere(path)
    try:
        with Journal.open(path) as journal:
            for events in bakes:
                journal.complete(events)
        # A file to be carried home needs no room to grow.
        give_up(path)
    except BaseException:
        with contextlib.suppress(OSError):
            path.unlink()
        give_up(path)
        raise
