"""Whether the journal lies where two programs, or a power cut, may do it harm."""

from __future__ import annotations

import sys
from pathlib import Path

_ELSEWHERE = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ceph", "glusterfs", "davfs", "fuse.sshfs", "fuse.rclone"}
)


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
