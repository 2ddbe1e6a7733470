"""Why something could not be written, in words for a baker instead of the system's."""

from __future__ import annotations

import errno
import sqlite3

_SYSTEM = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk is full",
    errno.EFBIG: "it would be larger than a file may be here",
    errno.EACCES: "the folder is write-protected",
    errno.EPERM: "the folder is write-protected",
    errno.EROFS: "the disk is write-protected",
    errno.ENOENT: "there is no such folder",
    errno.ENOTDIR: "a part of its path is a file, not a folder",
    errno.EISDIR: "it is a folder",
    errno.ENAMETOOLONG: "its name is too long",
    errno.EIO: "the disk failed",
}

_DATABASE = {
    sqlite3.SQLITE_FULL: "the disk is full",
    sqlite3.SQLITE_IOERR: "the disk is full, or failed",
    sqlite3.SQLITE_READONLY: "it is write-protected",
    sqlite3.SQLITE_CANTOPEN: "its folder is not there, or is write-protected",
    sqlite3.SQLITE_BUSY: "another program keeps it busy",
    sqlite3.SQLITE_CORRUPT: "what was to be copied is damaged",
    sqlite3.SQLITE_NOTADB: "what was to be copied is damaged",
}


def why_not_written(error: OSError | sqlite3.Error) -> str:
    """The reason in plain words, without a full stop."""
    if isinstance(error, sqlite3.Error):
        return _DATABASE.get(getattr(error, "sqlite_errorcode", 0) & 0xFF, str(error))
    return _SYSTEM.get(error.errno or 0, error.strerror or "the system does not say why")


_DAMAGE = frozenset({sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB})
_UNREAD = frozenset({sqlite3.SQLITE_IOERR_READ, sqlite3.SQLITE_IOERR_SHORT_READ, sqlite3.SQLITE_IOERR_CORRUPTFS})


def is_damage(error: sqlite3.Error) -> bool:
    """Whether a fault means that what is stored is damaged, and not that something else stands in the way.

    One that SQLite gives no code for comes from a text that is no text.
    """
    code = getattr(error, "sqlite_errorcode", None)
    return code is None or code & 0xFF in _DAMAGE or code in _UNREAD
