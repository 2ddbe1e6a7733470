"""Puts a new formula's file among one's own: nothing that is there is ever replaced."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from proofbell import places
from proofbell.errors import Failure
from proofbell.file_names import file_stem
from proofbell.private_folder import make_private_folder
from proofbell.visible import visible


def free_place(path: Path) -> Path:
    """The path, where nothing lies there. Raises Failure: something does."""
    if path.exists():
        raise _there(path)
    return path


def own_place(folder: Path, name: str) -> Path:
    """A free place for a formula of that name in the folder of own formulas, which is made.

    Raises Failure: a file of that name is there, or the folder cannot be made.
    """
    try:
        make_private_folder(folder)
    except OSError as error:
        shown, reason = visible(str(folder), most=120), error.strerror or "something else lies there"
        raise Failure(
            f"The folder {shown} cannot be made: {reason}.", "Name another folder in the kitchen file.", status=1
        ) from error
    return free_place(places.path_to_write(str(folder / f"{file_stem(name, '')}.toml")))


def write_new(path: Path, text: str) -> None:
    """Write a file that is not there yet, whole and with its line ends; one made meanwhile is left alone.

    Raises Failure: it is there, or cannot be written.
    """
    try:
        with path.open("x", encoding="utf-8", newline="") as file:
            try:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                with contextlib.suppress(OSError):
                    path.unlink()
                raise
    except FileExistsError as error:
        raise _there(path) from error
    except OSError as error:
        shown = visible(str(path), most=120)
        raise Failure(f"{shown} cannot be written: {error.strerror}.", "Name another place.", status=1) from error


def _there(path: Path) -> Failure:
    return Failure(f"{visible(str(path), most=120)} is there already.", "Give another name; nothing is replaced.")
