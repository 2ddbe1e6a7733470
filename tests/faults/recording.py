"""SQLite on files in memory, with every operation on them written down.

It is another build of SQLite than Python's own: what is tried here is what the journal asks of SQLite, its settings,
tables and transactions. The file interface is described in "The OS Interface or VFS", sqlite.org/vfs.html.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import apsw

from tests.faults.disk import Files, Made, Operation, Removed, Shortened, Synced, Wrote, put

_NUMBERS = count(1)

_SYNCED_WITH_FOLDER = apsw.SQLITE_OPEN_MAIN_JOURNAL | apsw.SQLITE_OPEN_SUPER_JOURNAL | apsw.SQLITE_OPEN_WAL
"""SQLite's file interface for Unix syncs the folder with the first sync of a new file of these kinds."""


class RecordingFile:
    """One open file; SQLite calls what begins with an x."""

    def __init__(self, number: int, content: bytearray, tell: Callable[[Operation], None], *, new: bool) -> None:
        self._number = number
        self._content = content
        self._tell = tell
        self._new = new

    def xRead(self, amount: int, offset: int) -> bytes:  # noqa: N802 - SQLite's name for it, as all those below
        return bytes(self._content[offset : offset + amount])

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802
        self._do(Wrote(self._number, offset, bytes(data)))

    def xTruncate(self, newsize: int) -> None:  # noqa: N802
        self._do(Shortened(self._number, newsize))

    def _do(self, operation: Wrote | Shortened) -> None:
        put(self._content, operation)
        self._tell(operation)

    def xSync(self, _flags: int) -> None:  # noqa: N802
        self._tell(Synced(self._number, folder=self._new))
        self._new = False

    def xFileSize(self) -> int:  # noqa: N802
        return len(self._content)

    def xLock(self, level: int) -> None:  # noqa: N802
        """Nobody else is there."""

    def xUnlock(self, level: int) -> None:  # noqa: N802
        """Nobody else is there."""

    def xCheckReservedLock(self) -> bool:  # noqa: N802
        return False

    def xFileControl(self, _op: int, _ptr: int) -> bool:  # noqa: N802
        return False

    def xSectorSize(self) -> int:  # noqa: N802
        return 4096

    def xDeviceCharacteristics(self) -> int:  # noqa: N802
        # As on Unix: bytes beside those that are written are never harmed.
        return apsw.SQLITE_IOCAP_POWERSAFE_OVERWRITE

    def xClose(self) -> None:  # noqa: N802
        """There is nothing to let go of."""


class RecordingFiles(apsw.VFS):
    """A folder of files in memory."""

    def __init__(self, files: Files, tell: Callable[[Operation], None]) -> None:
        self.vfs_name = f"recording-{next(_NUMBERS)}"
        self._tell = tell
        self._names = {name: number for number, name in enumerate(files)}
        self._contents = {number: bytearray(content) for number, content in enumerate(files.values())}
        super().__init__(self.vfs_name, "")

    def xOpen(self, name: object, flags: list[int]) -> RecordingFile:  # type: ignore[override]  # noqa: N802
        path = name.filename() if isinstance(name, apsw.URIFilename) else str(name)
        new = path not in self._names
        if new:
            number = len(self._contents)
            self._names[path], self._contents[number] = number, bytearray()
            self._tell(Made(path, number))
        number = self._names[path]
        flags[1] = flags[0]
        with_folder = new and bool(flags[0] & _SYNCED_WITH_FOLDER)
        return RecordingFile(number, self._contents[number], self._tell, new=with_folder)

    def xDelete(self, filename: str, syncdir: bool) -> None:  # noqa: N802, FBT001
        if self._names.pop(filename, None) is not None:
            self._tell(Removed(filename, syncdir))

    def xAccess(self, pathname: str, flags: int) -> bool:  # noqa: ARG002, N802
        return pathname in self._names

    def xFullPathname(self, name: str) -> str:  # noqa: N802
        return name


@contextlib.contextmanager
def recording(files: Files, tell: Callable[[Operation], None]) -> Iterator[Callable[..., apsw.Connection]]:
    """How to connect to a database on these files; every operation on them is told."""
    folder = RecordingFiles(files, tell)

    def connect(path: Path, *_wait_s: float) -> apsw.Connection:
        # Nobody else is there to wait for.
        return apsw.Connection(str(path), vfs=folder.vfs_name)

    try:
        yield connect
    finally:
        folder.unregister()
