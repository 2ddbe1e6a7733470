"""Whether the journal is where it is looked for, and whether two programs or a power cut may do it harm there."""

from __future__ import annotations

import sys
from pathlib import Path

from proofbell.journal.faults import CannotOpen

MOST_SHOWN = 120
"""More letters of a name than this are not shown."""

_ELSEWHERE = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ceph", "glusterfs", "davfs", "fuse.sshfs", "fuse.rclone"}
)


def is_there(path: Path) -> bool:
    """Whether there is a file of this name; it is not opened.

    Raises CannotOpen: there can be none, since the name is too long or leads through a file, or nobody may look.
    """
    try:
        path.stat()
    except FileNotFoundError:
        return False
    except (OSError, ValueError) as error:
        # A file where a folder should be leaves room for no journal, which is not the same as none yet.
        why = getattr(error, "strerror", None) or error
        raise CannotOpen(
            f"the journal cannot be at {_short(path)}: {why}", "name another file with PROOFBELL_JOURNAL"
        ) from error
    return True


def _short(path: Path) -> str:
    words = str(path)
    return words if len(words) <= MOST_SHOWN else f"{words[:MOST_SHOWN]}…"


def place_warning(path: Path, mounts: Path = Path("/proc/self/mounts")) -> str:
    """Say that ``path`` is on a network folder; empty when it is not, or when the system does not tell.

    Locks and flushes often do not reach through such a folder ("How To Corrupt An SQLite Database File",
    sqlite.org/howtocorrupt.html). Only Linux tells in a file which folder is of which kind.
    """
    if sys.platform != "linux":
        return ""
    try:
        lines = mounts.read_text(encoding="utf-8", errors="replace").splitlines()
        where = path.resolve()
    except OSError:
        return ""
    found, kind = Path("/"), ""
    for line in lines:
        parts = line.split(" ")
        if len(parts) < 3:
            continue
        # Spaces in a folder's name are written as an octal number.
        folder = Path(parts[1].replace("\\040", " "))
        if (folder == where or folder in where.parents) and len(folder.parts) >= len(found.parts):
            found, kind = folder, parts[2]
    if kind not in _ELSEWHERE:
        return ""
    return (
        f"the journal is on a network folder ({kind} at {found}), where it is not safe from a broken line: "
        "keep it on this computer's own disk, and back it up to there"
    )
