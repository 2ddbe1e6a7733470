"""Makes folders that only their owner may look into: what was baked, and when, is nobody else's business."""

from __future__ import annotations

import contextlib
from pathlib import Path


def make_private_folder(path: Path) -> None:
    """Make a folder, and those above it that are missing, each for its owner alone whatever the umask says.

    What is there already is left as it is. Source for the rights: XDG Base Directory Specification 0.8, 0700. Raises
    OSError: it cannot be made.
    """
    if path.is_dir():
        return
    if path.parent != path:
        make_private_folder(path.parent)
    with contextlib.suppress(FileExistsError):
        path.mkdir(0o700)
        path.chmod(0o700)
    if not path.is_dir():
        raise NotADirectoryError(f"{path} is no folder")
