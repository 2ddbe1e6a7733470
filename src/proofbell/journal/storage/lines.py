"""Reads the stored lines of the journal, and goes on past those that are damaged.

Damage is a line with a column of the wrong kind, text that is no text, a page of the file that makes no sense. What
can be read beside it is read: each function asks an index first, and goes through the table itself when that fails.
"""

from __future__ import annotations

import contextlib
import re
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import Any

from proofbell.bake.record import Row
from proofbell.frozen import dataclass
from proofbell.journal.faults import BusyReading, CannotRead, JournalFault, Problem

COLUMNS = "id, bake, number, decision, wall_us, boot_us, boot_id, offset_min, name, schema, body, digest"
"""The columns of a Row, in its order."""

text_of = partial(str, encoding="utf-8", errors="backslashreplace")
"""Reads a text that may be damaged: a byte that belongs to no letter is given as its number, ``\\xff``."""

HIGHEST_SEQ = 1 << 40
"""More events than any journal will ever hold."""

MOST_CUTS = 100_000
"""So often is a damaged stretch cut in two before the rest of it is given up."""

_OF_BAKE = f"SELECT {COLUMNS} FROM events WHERE bake = CAST(? AS TEXT) ORDER BY number"  # noqa: S608 - no outside text
_KINDS = (str, str, int, int, int, int, str, int, str, int, str, str)
# One look into the index for each bake, not one for each event. What is no text does not come after the empty one.
_OPENINGS = """
    WITH RECURSIVE one(bake) AS (
        SELECT min(bake) FROM events WHERE bake > ''
        UNION ALL
        SELECT (SELECT min(bake) FROM events WHERE bake > one.bake) FROM one WHERE one.bake IS NOT NULL
    )
    SELECT bake, (SELECT seq FROM events WHERE bake = one.bake ORDER BY number LIMIT 1) FROM one WHERE bake IS NOT NULL
"""

BUSY = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})
"""Another program has the file to itself at the moment."""

_PASSING = frozenset(
    {
        *BUSY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_PROTOCOL, sqlite3.SQLITE_INTERRUPT, sqlite3.SQLITE_MISUSE, sqlite3.SQLITE_PERM,
    }
)  # fmt: skip
_UNREADABLE = frozenset(
    {
        sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_TOOBIG,
        sqlite3.SQLITE_FORMAT,
    }
)  # fmt: skip


def code_of(error: BaseException) -> int:
    """SQLite's primary result code ("Result and Error Codes", sqlite.org/rescode.html); 0 where it gave none."""
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


def passing(error: sqlite3.Error) -> JournalFault | None:
    """What to say when it is not the file that is damaged but the moment that is wrong; None when it is the file."""
    if code_of(error) in BUSY:
        return BusyReading("the journal cannot be read: another program keeps it busy", "try again in a moment")
    if code_of(error) in _PASSING or isinstance(error, sqlite3.ProgrammingError):
        return CannotRead(f"the journal cannot be read: {error}", "is its file there, and yours to read?")
    return None


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines of one bake: the sound ones in order, the numbers of those that are damaged, and what else is wrong."""

    rows: tuple[Row, ...]
    spoilt: frozenset[int] = frozenset()
    damage: Problem | None = None


def lines_of(connection: sqlite3.Connection, bake: str) -> Lines:
    """Every line of one bake that can be read.

    Raises CannotRead: not the lines but the moment is to blame, as when another program keeps the file busy.
    """
    damage: Problem | None = None
    found: list[tuple[Any, ...]] = []
    try:
        found = connection.execute(_OF_BAKE, (_key(bake),)).fetchall()
    except (sqlite3.Error, MemoryError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        gaps: list[int] = []
        found = _in_order(past_damage(connection, COLUMNS, "bake = CAST(? AS TEXT)", bake, gaps))
        last = _last_number(connection, bake)
        if gaps if last is None else last > len(found):
            damage = Problem(f"the file is damaged where its lines are ({error})")
    rows = [Row(*values) for values in found if _is_sound(values)]
    spoilt = [values for values in found if not _is_sound(values)]
    if spoilt and damage is None:
        damage = Problem("a line of it is damaged")
    return Lines(tuple(rows), frozenset(line[2] for line in spoilt if isinstance(line[2], int)), damage)


def _last_number(connection: sqlite3.Connection, bake: str) -> int | None:
    """How many lines it must have, by the index alone; None when that does not tell."""
    try:
        row = connection.execute(
            "SELECT max(number) FROM events WHERE bake = CAST(? AS TEXT)", (_key(bake),)
        ).fetchone()
    except (sqlite3.Error, MemoryError):
        return None
    return row[0] if isinstance(row[0], int) else None


def _in_order(found: Iterator[tuple[Any, ...]]) -> list[tuple[Any, ...]]:
    return sorted(found, key=lambda values: values[2] if isinstance(values[2], int) else 0)


def _is_sound(values: Sequence[object]) -> bool:
    return all(isinstance(value, kind) for value, kind in zip(values, _KINDS, strict=True))


def _key(bake: str) -> str | bytes:
    """The bake's name as it lies in the file: one that is damaged was read by :data:`text_of`."""
    if "\\x" not in bake:
        return bake
    return re.sub(rb"\\x([0-9a-f]{2})", lambda at: bytes([int(at[1], 16)]), bake.encode("utf-8"))


def openings(connection: sqlite3.Connection) -> list[tuple[str, int]]:
    """Every bake that has a line, in the order in which they were opened, and where its first line stands.

    Raises CannotRead: as :func:`lines_of`.
    """
    try:
        found = connection.execute(_OPENINGS).fetchall()
    except (sqlite3.Error, MemoryError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        first: dict[Any, int] = {}
        for bake, seq in past_damage(connection, "bake, seq"):
            first.setdefault(bake, seq)
        for bake, seq in _named_elsewhere(connection):
            first.setdefault(bake, seq)
        found = list(first.items())
    named = ((bake, seq) for bake, seq in found if isinstance(bake, str) and isinstance(seq, int))
    return sorted(named, key=lambda one: one[1])


def _named_elsewhere(connection: sqlite3.Connection) -> list[tuple[Any, int]]:
    """Bakes that another part of the file names, for one of which no line may be left."""
    found: list[tuple[Any, int]] = []
    for sql in (
        "SELECT bake, seq FROM events INDEXED BY openings WHERE number = 1",
        f"SELECT bake, {HIGHEST_SEQ} FROM letters",  # noqa: S608 - no outside text
    ):
        with contextlib.suppress(sqlite3.Error, MemoryError):
            found += connection.execute(sql).fetchall()
    return found


AT_ONCE = 2_000
"""So many lines are looked through in some milliseconds."""


def nameless(connection: sqlite3.Connection) -> Iterator[int]:
    """How many lines say of no bake that they are its own, a stretch of the table at a time."""
    try:
        end = highest(connection)
    except sqlite3.DatabaseError as error:
        if fault := passing(error):
            raise fault from error
        end = 0
    for low in range(1, end + 1, AT_ONCE):
        stretch = (low, low + AT_ONCE - 1)
        yield sum(1 for _ in past_damage(connection, "1", "typeof(bake) <> 'text'", stretch=stretch))


def past_damage(
    connection: sqlite3.Connection,
    columns: str,
    where: str = "1",
    bake: str | None = None,
    gaps: list[int] | None = None,
    stretch: tuple[int, int] | None = None,
) -> Iterator[tuple[Any, ...]]:
    """What can be read of the events, line by line as they lie in the table, past every page that cannot be read.

    ``where`` is a condition, with a place for ``bake`` if that is given. A stretch that fails is cut in two, until
    single lines fail; ``gaps`` gets where those would stand. Few of them were lines. Raises CannotRead: the table as a
    whole cannot be read.
    """
    gaps = [] if gaps is None else gaps
    sql = f"SELECT seq, {columns} FROM events NOT INDEXED WHERE seq BETWEEN ? AND ? AND {where} ORDER BY seq"  # noqa: S608
    more = () if bake is None else (_key(bake),)
    # Behind the last line nothing is looked for, piece by piece, on a page that is lost.
    stretches = [stretch or (1, _last_seq(connection))]
    cuts = 0
    while stretches and cuts < MOST_CUTS:
        low, high = stretches.pop()
        try:
            for seq, *values in connection.execute(sql, (low, high, *more)):
                if not isinstance(seq, int):
                    continue
                low = max(low, seq + 1)
                yield tuple(values)
        except (sqlite3.Error, MemoryError) as error:
            if isinstance(error, sqlite3.Error) and code_of(error) not in _UNREADABLE:
                raise passing(error) or CannotRead(
                    f"the journal cannot be read: {error}", "bring back a backup"
                ) from error
            cuts += 1
            if low == high:
                gaps.append(low)
            elif low < high:
                middle = (low + high) // 2
                stretches += [(middle + 1, high), (low, middle)]


def _last_seq(connection: sqlite3.Connection) -> int:
    """Where the last line stands, by an index alone, for its page may be lost; as high as can be if none tells."""
    for index, column in (("sqlite_autoindex_events_1", "id"), ("sqlite_autoindex_events_2", "bake")):
        sql = f"SELECT max(seq) FROM events INDEXED BY {index} WHERE {column} >= ''"  # noqa: S608 - no outside text
        with contextlib.suppress(sqlite3.Error, MemoryError):
            row = connection.execute(sql).fetchone()
            if isinstance(row[0], int):
                return row[0]
    return HIGHEST_SEQ


def ids(connection: sqlite3.Connection) -> list[str]:
    """Every bake that has a line, in the order in which they were opened."""
    return [bake for bake, _ in openings(connection)]


def highest(connection: sqlite3.Connection) -> int:
    """Where the newest line of all stands; 0 in an empty journal."""
    row = connection.execute("SELECT seq FROM events ORDER BY seq DESC LIMIT 1").fetchone()
    return int(row[0]) if row else 0


def newest_of(connection: sqlite3.Connection, bake: str) -> int:
    """Where the newest line of a bake stands, by the index; 0 where that does not tell."""
    try:
        row = connection.execute(
            "SELECT seq FROM events WHERE bake = CAST(? AS TEXT) ORDER BY number DESC LIMIT 1", (_key(bake),)
        ).fetchone()
    except (sqlite3.Error, MemoryError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        return 0
    return int(row[0]) if row else 0


def added(connection: sqlite3.Connection, known: Iterable[str], after: int) -> dict[str, int]:
    """The bakes that have lines after this one, and where the newest of each stands, in that order."""
    try:
        rows = connection.execute(
            "SELECT bake, max(seq) AS newest FROM events WHERE seq > ? GROUP BY bake ORDER BY newest", (after,)
        ).fetchall()
    except (sqlite3.Error, MemoryError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        rows = [(bake, newest) for bake in known if (newest := newest_of(connection, bake)) > after]
        rows.sort(key=lambda one: one[1])
    return {bake: seq for bake, seq in rows if isinstance(bake, str)}
