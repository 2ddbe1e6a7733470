"""What only memory knows when the program ends: written to a journal of its own, somewhere, rather than lost."""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Sequence
from pathlib import Path

from proofbell import places
from proofbell.app.session.live import Live
from proofbell.errors import Failure
from proofbell.journal.recovery.known import write_known

STEM = "proofbell-unsaved"


def say_last_words(live: Live, journal: Path) -> Path | None:
    """Write the bakes of the bench beside the journal; where that cannot be, at home or among temporary files.

    Returns the file, or None when nothing is unsaved or no place can be written to. It may be called in any thread.
    """
    if not live.unsaved or live.left_at is not None:
        return live.left_at
    name = f"{_stem(journal)}-{live.clock.stamp().wall_us // 1_000_000}.sqlite"
    bakes = [state.events for state in live.states]
    for folder in _folders(journal):
        try:
            write_known(folder / name, bakes)
        except (Failure, OSError):
            continue
        live.left_at = folder / name
        break
    return live.left_at


def left_behind(journal: Path) -> Sequence[Path]:
    """The files that earlier ends have left for this journal."""
    found: list[Path] = []
    for folder in _folders(journal):
        try:
            found += sorted(folder.glob(f"{_stem(journal)}-*.sqlite"))
        except OSError:
            continue
    return found


def _stem(journal: Path) -> str:
    """Names the journal too: the same places may serve several."""
    return f"{STEM}-{hashlib.blake2b(os.fsencode(journal.absolute()), digest_size=4).hexdigest()}"


def _folders(journal: Path) -> Sequence[Path]:
    # A folder that is gone is not made again: it may be a disk that will be plugged in.
    folders = (journal.parent, places.home_folder(), Path(tempfile.gettempdir()))
    return [folder for folder in folders if folder is not None and folder.is_dir()]
