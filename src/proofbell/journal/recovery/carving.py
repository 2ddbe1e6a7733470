"""Finds events in the bytes of a damaged journal, one by one, without the file's own order of pages.

SQLite finds a row from page to page; one bad page hides all that is reached through it. Here every page is searched for
what the beginning of a stored event looks like, so that each event stands for itself. Whether it is true is not asked
here: its digest says that (see ``salvage``). Layout of pages, cells and records: "Database File Format",
sqlite.org/fileformat2.html, sections 1.3 to 1.6 and 2.1.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from proofbell.bake.record import Row
from proofbell.frozen import dataclass

USUAL_PAGE = 4096
"""The page size (bytes) of new files since SQLite 3.12; used where the file's own header does not say."""

MOST_BYTES = 32 * 1024 * 1024
"""A longer event is taken for damage."""

_INTEGER = rb"[\x01-\x06\x08\x09]"
_TEXT = rb"(?:[\x0d-\x7f]|[\x80-\xff][\x00-\x7f]|[\x80-\xff]{2}[\x00-\x7f]|[\x80-\xff]{3}[\x00-\x7f])"
_KINDS = "TTIIIITITITT"
"""The columns of a Row after the sequence number, which a record leaves empty: T text, I integer."""

# A look-ahead, so that one false beginning does not hide a true one behind it.
_BEGINNING = re.compile(
    rb"(?=([\x0e-\x40]\x00" + b"".join(_TEXT if kind == "T" else _INTEGER for kind in _KINDS) + rb"))"
)
_INTEGER_BYTES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8, 8: 0, 9: 0}


@dataclass(frozen=True, slots=True)
class Carved:
    """A stored event as it lies in the file. ``seq`` is its place in the journal, where that can be read."""

    seq: int | None
    values: tuple[bytes | int, ...]


def row_of(values: tuple[bytes | int, ...]) -> Row | None:
    """Columns as they lie in the file, as a Row; None when one of the texts is not UTF-8."""
    try:
        plain: list[Any] = [value.decode("utf-8") if isinstance(value, bytes) else value for value in values]
    except UnicodeDecodeError:
        return None
    # Which columns are texts the pattern has made sure of.
    return Row(*plain)


def carve(image: bytes) -> list[Carved]:
    """Every stored event that can be told in the bytes of the file; the same one is not given twice."""
    found: dict[tuple[bytes | int, ...], Carved] = {}
    for page_bytes, usable in _layouts(image):
        for one in _Pages(image, page_bytes, usable).events():
            known = found.get(one.values)
            if known is None or known.seq is None:
                found[one.values] = one
    return list(found.values())


def _layouts(image: bytes) -> Iterator[tuple[int, int]]:
    """The page sizes to try, and how much of each page is used: the header's, and the usual one."""
    page_bytes = int.from_bytes(image[16:18], "big")
    page_bytes = 65536 if page_bytes == 1 else page_bytes
    reserved = image[20] if len(image) > 20 else 0
    named = page_bytes in {2**power for power in range(9, 17)} and page_bytes - reserved >= 480
    if named:
        yield page_bytes, page_bytes - reserved
    if not named or (page_bytes, reserved) != (USUAL_PAGE, 0):
        yield USUAL_PAGE, USUAL_PAGE


class _Pages:
    def __init__(self, image: bytes, page_bytes: int, usable: int) -> None:
        self._image = image
        self._page_bytes = page_bytes
        self._usable = usable

    def events(self) -> Iterator[Carved]:
        for begin in range(0, len(self._image), self._page_bytes):
            page = self._image[begin : begin + self._usable]
            for match in _BEGINNING.finditer(page):
                one = self._event(page, match.start(), match[1])
                if one is not None:
                    yield one

    def _event(self, page: bytes, at: int, beginning: bytes) -> Carved | None:
        sizes = _sizes(beginning)
        if beginning[0] != len(beginning) or not sizes:
            return None
        payload_bytes = len(beginning) + sum(size for size, _ in sizes)
        if payload_bytes > min(MOST_BYTES, len(self._image)):
            return None
        payload = self._payload(page, at, payload_bytes)
        if payload is None:
            return None
        values: list[bytes | int] = []
        place = len(beginning)
        for size, kind in sizes:
            piece = payload[place : place + size]
            place += size
            values.append(piece if kind > 9 else kind - 8 if kind >= 8 else int.from_bytes(piece, "big", signed=True))
        return Carved(_seq_before(page, at, payload_bytes), tuple(values))

    def _payload(self, page: bytes, at: int, size: int) -> bytes | None:
        """The record's bytes, those on other pages too; None when they are cut off."""
        most = self._usable - 35
        here = size
        if size > most:
            least = (self._usable - 12) * 32 // 255 - 23
            here = least + (size - least) % (self._usable - 4)
            here = here if here <= most else least
        piece = page[at : at + here]
        if len(piece) < here:
            return None
        if here == size:
            return piece
        pieces, left = [piece], size - here
        following = int.from_bytes(page[at + here : at + here + 4], "big")
        # Each page more brings bytes, so even a ring of pages comes to an end.
        while left > 0:
            begin = (following - 1) * self._page_bytes
            other = self._image[begin : begin + self._usable] if following > 0 else b""
            piece = other[4 : 4 + left]
            if not piece or (len(piece) < left and len(other) < self._usable):
                return None
            pieces.append(piece)
            left -= len(piece)
            following = int.from_bytes(other[:4], "big")
        return b"".join(pieces)


def _sizes(beginning: bytes) -> list[tuple[int, int]]:
    """(bytes, serial type) of each column; nothing when a column is not of its type."""
    sizes, place = [], 2
    for column in _KINDS:
        kind, place = _varint(beginning, place)
        if (column == "T") != (kind >= 13) or kind < 1:
            return []
        sizes.append(((kind - 13) // 2 if column == "T" else _INTEGER_BYTES[kind], kind))
    return sizes


def _varint(data: bytes, place: int) -> tuple[int, int]:
    """A variable-length integer and the place behind it."""
    value = 0
    for count in range(9):
        if place + count >= len(data):
            return -1, len(data)
        byte = data[place + count]
        if count == 8:
            return (value << 8) | byte, place + 9
        value = (value << 7) | (byte & 0x7F)
        if byte < 0x80:
            return value, place + count + 1
    return -1, len(data)


def _seq_before(page: bytes, at: int, payload_bytes: int) -> int | None:
    """The sequence number that stands before a record, told by the record's length in front of it."""
    for begin in range(at - 2, max(-1, at - 13), -1):
        length, place = _varint(page, begin)
        if length == payload_bytes and place < at:
            seq, behind = _varint(page, place)
            if behind == at and seq > 0:
                return seq
    return None
