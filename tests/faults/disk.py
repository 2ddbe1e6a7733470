"""A disk that forgets: file operations in their order, and what may be left of them when the power goes.

What was written since a file was last synced is kept, lost or turned into garbage, each sector for itself; a file that
was made shorter may have its old length again; a name that was given or taken away may be as it was. These are the
outcomes that SQLite's own crash tests reckon with: "How SQLite Is Tested", sqlite.org/testing.html, section 3.3.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field

SECTOR_BYTES = 512


@dataclass(frozen=True, slots=True)
class Made:
    """A new, empty file under a name."""

    name: str
    file: int


@dataclass(frozen=True, slots=True)
class Wrote:
    """Bytes into a file."""

    file: int
    at: int
    data: bytes


@dataclass(frozen=True, slots=True)
class Shortened:
    """A file has another length."""

    file: int
    size: int


@dataclass(frozen=True, slots=True)
class Synced:
    """A file is on the disk; with its folder when it is new."""

    file: int
    folder: bool


@dataclass(frozen=True, slots=True)
class Removed:
    """A name is gone; for good when the folder was synced."""

    name: str
    folder: bool


Operation = Made | Wrote | Shortened | Synced | Removed

Files = Mapping[str, bytes]


@dataclass
class Disk:
    """What is on the disk for certain, and what is on its way there."""

    names: dict[str, int] = field(default_factory=dict)
    contents: dict[int, bytes] = field(default_factory=dict)
    unsynced: dict[int, list[Wrote | Shortened]] = field(default_factory=dict)
    unnamed: list[Made | Removed] = field(default_factory=list)

    @classmethod
    def holding(cls, files: Files) -> Disk:
        """A disk with these files, all synced; the files are numbered in their order."""
        return cls(
            {name: number for number, name in enumerate(files)},
            dict(enumerate(files.values())),
        )

    def take(self, operation: Operation) -> None:
        """One operation more."""
        match operation:
            case Wrote(file) | Shortened(file):
                self.unsynced.setdefault(file, []).append(operation)
            case Synced(file, folder):
                self.contents[file] = self._with(file, self.unsynced.pop(file, []))
                if folder:
                    self._sync_folder()
            case Removed(_, folder):
                self.unnamed.append(operation)
                if folder:
                    self._sync_folder()
            case Made():
                self.unnamed.append(operation)

    def after_cut(self, rng: random.Random) -> dict[str, bytes]:
        """The files as they may be found when the power is back. The disk itself is left as it was."""
        names = dict(self.names)
        # A file system writes its names in order, so they end somewhere in the row.
        for change in self.unnamed[: rng.randint(0, len(self.unnamed))]:
            _rename(names, change)
        kept, garbage = rng.random(), rng.random() / 2
        found: dict[str, bytes] = {}
        for name, file in names.items():
            fates: list[Wrote | Shortened] = []
            for operation in self.unsynced.get(file, []):
                for piece in _pieces(operation):
                    if rng.random() >= kept:
                        continue
                    spoilt = isinstance(piece, Wrote) and rng.random() < garbage
                    fates.append(Wrote(file, piece.at, rng.randbytes(len(piece.data))) if spoilt else piece)  # type: ignore[union-attr]
            found[name] = self._with(file, fates)
        return found

    def _with(self, file: int, operations: list[Wrote | Shortened]) -> bytes:
        content = bytearray(self.contents.get(file, b""))
        for operation in operations:
            put(content, operation)
        return bytes(content)

    def _sync_folder(self) -> None:
        for change in self.unnamed:
            _rename(self.names, change)
        self.unnamed.clear()


def put(content: bytearray, operation: Wrote | Shortened) -> None:
    """Do one operation to a file's content; a gap is filled with zeros."""
    end = operation.size if isinstance(operation, Shortened) else operation.at
    if len(content) < end:
        content.extend(bytes(end - len(content)))
    if isinstance(operation, Shortened):
        del content[operation.size :]
    else:
        content[operation.at : operation.at + len(operation.data)] = operation.data


def _rename(names: dict[str, int], change: Made | Removed) -> None:
    if isinstance(change, Made):
        names[change.name] = change.file
    else:
        names.pop(change.name, None)


def _pieces(operation: Wrote | Shortened) -> list[Wrote | Shortened]:
    """What reaches the disk as one: the part of a write that lies in one sector."""
    if isinstance(operation, Shortened):
        return [operation]
    pieces: list[Wrote | Shortened] = []
    at, end = operation.at, operation.at + len(operation.data)
    while at < end:
        border = min(end, (at // SECTOR_BYTES + 1) * SECTOR_BYTES)
        pieces.append(Wrote(operation.file, at, operation.data[at - operation.at : border - operation.at]))
        at = border
    return pieces
