"""Files that a command makes: never in place of another one."""

from __future__ import annotations

from pathlib import Path

from proofbell import places
from proofbell.cli.arguments.reading import own_folders
from proofbell.errors import Failure
from proofbell.file_names import file_stem
from proofbell.journal.files.copying import AlreadyThere, whole_file
from proofbell.journal.files.disk_words import why_not_written
from proofbell.private_folder import make_private_folder
from proofbell.visible import visible


def free_path(named: str) -> Path:
    """The path that somebody typed, where nothing lies yet; raises `Failure`."""
    path = places.path_to_write(named)
    if path.exists():
        raise _taken(path)
    return path


def own_path(name: str) -> Path:
    """A free place among one's own formulas for a formula of that name; the folder is made. Raises `Failure`."""
    folder = own_folders()[0]
    shown = visible(str(folder), most=120)
    try:
        make_private_folder(folder)
    except OSError as error:
        reason = error.strerror or "something else lies there"
        raise Failure(f"The folder {shown} cannot be made: {reason}.", "Give a file with --out.", status=1) from error
    return free_path(str(folder / f"{file_stem(name, '')}.toml"))


def write_new(path: Path, data: bytes) -> None:
    """Write a file, whole or not at all; one that somebody made meanwhile is left alone. Raises `Failure`."""
    try:
        with whole_file(path, overwrite=False) as file:
            file.write(data)
    except AlreadyThere as error:
        raise _taken(path) from error
    except OSError as error:
        message = f"{visible(str(path), most=120)} cannot be written: {why_not_written(error)}."
        raise Failure(message, "Name another place.", status=1) from error


def _taken(path: Path) -> Failure:
    return Failure(f"{visible(str(path), most=120)} is there already.", "Give another name; nothing is replaced.")
