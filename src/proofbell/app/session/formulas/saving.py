"""Writes formula files: a changed one in place of the old, a copy where there is none. Never over another's change."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from pathlib import Path

from proofbell.errors import Failure
from proofbell.formula.text.guard import MOST_BYTES
from proofbell.private_folder import make_private_folder
from proofbell.regular_file import first_bytes
from proofbell.visible import visible


def formula_bytes(path: Path) -> bytes:
    """Return what is in the file.

    Raises:
        Failure: it cannot be read.
    """
    try:
        return first_bytes(path, MOST_BYTES)
    except (OSError, ValueError) as error:
        raise _cannot("read", path, error) from error


def replace_file(path: Path, before: bytes, now: bytes) -> None:
    """Put ``now`` in place of ``before``, which the file must still hold; whole or not at all, with the old mode.

    Raises:
        Failure: the file holds something else by now, or it cannot be written.
    """
    target = path.resolve()
    try:
        mode = stat.S_IMODE(target.stat().st_mode)
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(now)
                file.flush()
                os.fsync(file.fileno())
            Path(name).chmod(mode)
            _refuse_other(target, before)
            Path(name).replace(target)
        except BaseException:
            with contextlib.suppress(OSError):
                Path(name).unlink()
            raise
    except OSError as error:
        raise _cannot("written", path, error) from error


def _refuse_other(path: Path, before: bytes) -> None:
    if formula_bytes(path) != before:
        message = f"{visible(path.name, most=80)} was changed by another program meanwhile."
        raise Failure(message, "Nothing was written. Leave this page and open it again.")


def new_file(path: Path, data: bytes) -> None:
    """Write a file that is not there yet, and the folder for it.

    Raises:
        Failure: something is there already, or it cannot be written.
    """
    try:
        make_private_folder(path.parent)
        with path.open("xb") as file:
            file.write(data)
    except OSError as error:
        raise _cannot("written", path, error) from error


def _cannot(done: str, path: Path, error: Exception) -> Failure:
    why = getattr(error, "strerror", None) or "the name cannot be used"
    message = f"{visible(str(path), most=120)} cannot be {done}: {why}."
    return Failure(message, "Check its folder and its permissions.", status=1)
