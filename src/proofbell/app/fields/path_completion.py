"""Completes a path to a formula as a shell does: by folders and TOML files alone. Pure, but for `look`."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from pathlib import Path

from proofbell.errors import Failure
from proofbell.frozen import dataclass
from proofbell.places import typed_path
from proofbell.visible import visible

ENDING = ".toml"

MOST_LISTED = 24
"""So many names are listed; what is beyond them is counted."""


@dataclass(frozen=True, slots=True)
class Entry:
    name: str
    folder: bool


@dataclass(frozen=True, slots=True)
class Completion:
    """What the line becomes, and the names among which nothing decides yet; a folder's ends in a slash."""

    text: str
    names: tuple[str, ...] = ()


def parted(typed: str) -> tuple[str, str]:
    """The folder as it was typed, up to its slash, and the beginning of a name in it."""
    at = 1 + max(typed.rfind(slash) for slash in (os.sep, os.altsep) if slash)
    return typed[:at], typed[at:]


def fits(name: str, beginning: str) -> bool:
    """Whether a name is one that may be meant; what is hidden has to be asked for with its dot."""
    return name.startswith(beginning) and (beginning.startswith(".") or not name.startswith("."))


def completed(typed: str, entries: Iterable[Entry]) -> Completion:
    """The path as far as the entries of its folder leave no choice."""
    folder, beginning = parted(typed)
    fitting = sorted(
        (each for each in entries if fits(each.name, beginning) and (each.folder or each.name.endswith(ENDING))),
        key=lambda each: (not each.folder, each.name.casefold(), each.name),
    )
    names = tuple(f"{each.name}/" if each.folder else each.name for each in fitting)
    if not names:
        return Completion(typed)
    further = _shared(min(names), max(names))
    # What begins with a tilde would be a home folder; blanks around what is typed are taken off.
    unclear = not folder and further[:1] in ("~", " ")
    text = ("./" if unclear else folder) + further
    return Completion(text, names if len(names) > 1 else ())


def _shared(first: str, last: str) -> str:
    """What two names begin with alike; of the first and the last in order, all between them do too."""
    return first[
        : next((at for at, pair in enumerate(zip(first, last, strict=False)) if pair[0] != pair[1]), len(first))
    ]


def look(typed: str, go_on: Callable[[], bool] = lambda: True) -> Completion:
    """Complete from what is on the disk. ``go_on`` is asked on the way; without it what was found so far counts.

    Raises Failure: the folder is not there, may not be read, or is none.
    """
    folder, beginning = parted(typed)
    if not folder and typed == "~":
        return Completion("~/")
    at = typed_path(folder) if folder else Path()
    found: list[Entry] = []
    try:
        with os.scandir(at) as entries:
            for each in entries:
                if not go_on():
                    break
                if fits(each.name, beginning):
                    found.append(Entry(each.name, _is_folder(each)))
    except OSError as error:
        raise Failure(f"{visible(folder or '.', most=120)} cannot be looked into: {error.strerror}.") from error
    done = completed(typed, found)
    if done.text == typed and not done.names and not any(each.name == beginning for each in found):
        where = f"in {visible(folder, most=120)}" if folder else "here"
        begins = f" that begins with {visible(beginning, most=60)}" if beginning else ""
        raise Failure(f"No folder and no {ENDING} file{begins} {where}.")
    return done


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:  # a link to where nobody may look
        return False


def listed(names: tuple[str, ...]) -> tuple[str, ...]:
    """The names as they may be shown: harmless, and how many more there are."""
    shown = tuple(visible(name, most=40) for name in names[:MOST_LISTED])
    more = len(names) - len(shown)
    return (*shown, f"… and {more:,} more") if more else shown
