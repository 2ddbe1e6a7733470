"""Puts the events that were found in a damaged journal together again: each bake as far as its chain of digests holds.

An event counts when its digest follows from the one before it; 128 bits cannot agree by chance, so nothing is invented.
Where one bit of an event was turned over, that bit can be told by the same digest, and is turned back.
"""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from proofbell.bake.record import Row, chained_digest
from proofbell.frozen import dataclass
from proofbell.journal.recovery.carving import Carved, row_of

MOST_MENDED_BYTES = 24 * 1024
"""Longer events are not searched for a turned bit: it would take minutes."""

MOST_COMPARED = 1_000_000
"""With more to compare, an event whose bake's name was hit is not looked for."""

FAR = 1000
"""An event that says it is so many numbers behind the last sound one has a damaged number."""


@dataclass(frozen=True, slots=True)
class Log:
    """What is left of one bake.

    ``rows`` follow from each other by their digests, from the first event on. ``loose`` can be read and say that they
    belong to this bake, but what stands between is lost. ``mended`` are the numbers of events in which a turned bit was
    turned back.
    """

    bake: str
    rows: tuple[Row, ...]
    loose: tuple[Row, ...] = ()
    seq: int = 0
    mended: tuple[int, ...] = ()
    garbled: tuple[int, ...] = ()
    """Numbers of events that are there, but cannot be read."""

    @property
    def whole(self) -> bool:
        """Whether nothing is known to be missing."""
        return bool(self.rows) and not self.loose and not self.garbled

    @property
    def lost(self) -> tuple[int, ...]:
        """The numbers of the events that cannot be read, up to the last of which anything is known."""
        there = {row.number for row in self.loose}
        begin = len(self.rows) + 1
        end = max((*there, *self.garbled), default=0)
        return tuple(number for number in range(begin, end + 1) if number not in there)


@dataclass(frozen=True, slots=True)
class Salvaged:
    """Every bake of which something is left, in the order of opening; ``unplaced`` events belong to none of them."""

    logs: tuple[Log, ...]
    unplaced: tuple[Row, ...] = ()
    unreadable: int = 0
    """Events that were found, but of which not even the texts can be read."""


def put_together(found: Iterable[Carved]) -> Salvaged:
    pieces = list(found)
    by_bake: dict[str, dict[int, list[tuple[Row, Carved]]]] = defaultdict(lambda: defaultdict(list))
    garbled: list[Carved] = []
    for piece in pieces:
        row = row_of(piece.values)
        if row is None:
            garbled.append(piece)
        else:
            by_bake[row.bake][row.number].append((row, piece))
    logs: dict[str, _Joined] = {bake: _joined(bake, numbered) for bake, numbered in by_bake.items()}
    _mend(logs, by_bake, garbled)
    return _sorted_out(logs, by_bake, garbled)


@dataclasses.dataclass(slots=True)
class _Joined:
    """A chain of events while it is joined on to."""

    bake: str
    rows: list[Row]
    pieces: list[Carved]
    mended: list[int]

    @property
    def digest(self) -> str:
        return self.rows[-1].digest if self.rows else ""


_Numbered = Mapping[int, Sequence[tuple[Row, Carved]]]


def _joined(bake: str, numbered: _Numbered) -> _Joined:
    chain = _Joined(bake, [], [], [])
    _lengthen(chain, numbered)
    return chain


def _lengthen(chain: _Joined, numbered: _Numbered) -> None:
    """Extend the chain as far as the digests hold; where two events fit, by the one that leads farther."""
    best: list[tuple[Row, Carved]] = []
    ways: list[list[tuple[Row, Carved]]] = [[]]
    while ways:
        way = ways.pop()
        digest = way[-1][0].digest if way else chain.digest
        number = len(chain.rows) + len(way) + 1
        while True:
            fitting = [one for one in numbered.get(number, ()) if chained_digest(digest, one[0]) == one[0].digest]
            if not fitting:
                break
            ways += [[*way, other] for other in fitting[1:]]
            way.append(fitting[0])
            digest, number = fitting[0][0].digest, number + 1
        if len(way) > len(best):
            best = way
    chain.rows += [row for row, _ in best]
    chain.pieces += [piece for _, piece in best]


def _mend(logs: dict[str, _Joined], by_bake: Mapping[str, _Numbered], garbled: Sequence[Carved]) -> None:
    """Look for the one turned bit in the events that fit nowhere, and lengthen the chains that they complete."""
    fits_nowhere = [*garbled]
    for bake, numbered in by_bake.items():
        used = {id(piece) for piece in logs[bake].pieces}
        fits_nowhere += [one[1] for ones in numbered.values() for one in ones if id(one[1]) not in used]
    left = {id(piece): piece for piece in fits_nowhere if _bytes_of(piece) <= MOST_MENDED_BYTES}
    everywhere = len(left) * len(logs) <= MOST_COMPARED
    tried: set[tuple[int, str, int]] = set()
    progress = True
    while progress:
        progress = False
        for key, piece in list(left.items()):
            for chain in _candidates(piece, logs, everywhere=everywhere):
                attempt = (key, chain.bake, len(chain.rows))
                row = None if attempt in tried else mended(piece, chain.bake, len(chain.rows) + 1, chain.digest)
                tried.add(attempt)
                if row is not None:
                    chain.rows.append(row)
                    chain.pieces.append(piece)
                    chain.mended.append(row.number)
                    _lengthen(chain, by_bake.get(chain.bake, {}))
                    del left[key]
                    progress = True
                    break


def _candidates(piece: Carved, logs: Mapping[str, _Joined], *, everywhere: bool) -> list[_Joined]:
    """The chains whose next event this may be: all but one bit of bake and number agree."""
    bake, number = _place_of(piece)
    own = logs.get(bake.decode("utf-8", "replace"))
    among = logs.values() if everywhere else [own] if own is not None else []
    return [
        chain
        for chain in among
        if _bits_apart(chain.bake.encode("utf-8"), bake) + (number ^ (len(chain.rows) + 1)).bit_count() <= 1
    ]


def _place_of(piece: Carved) -> tuple[bytes, int]:
    """Which bake it says it is of, and its number there."""
    bake, number = piece.values[1], piece.values[2]
    assert isinstance(bake, bytes)  # noqa: S101 - the pattern has made sure
    assert isinstance(number, int)  # noqa: S101
    return bake, number


def mended(piece: Carved, bake: str, number: int, before: str) -> Row | None:
    """The event as it was before one of its bits turned over, if that makes it event ``number`` of ``bake``.

    ``before`` is the digest of the event before it.
    """
    values = piece.values
    exact = values[1] == bake.encode("utf-8") and values[2] == number
    for column in range(len(values)) if exact else (1, 2):
        for changed in _turned(values[column]):
            row = row_of((*values[:column], changed, *values[column + 1 :]))
            if row is None or row.bake != bake or row.number != number:
                continue
            if column == len(values) - 1:
                # Only the digest itself was hit: what it should be can be told at once.
                digest = chained_digest(before, row)
                return replace(row, digest=digest) if _bits_apart(digest.encode(), _digest_of(piece)) == 1 else None
            if chained_digest(before, row) == row.digest:
                return row
    return None


def _digest_of(piece: Carved) -> bytes:
    digest = piece.values[-1]
    return digest if isinstance(digest, bytes) else b""


def _turned(value: bytes | int) -> Iterable[bytes | int]:
    """The value with each of its bits turned over, one at a time."""
    if isinstance(value, int):
        yield from (value ^ (1 << bit) for bit in range(63))
        yield value ^ -(1 << 63)
        return
    for place, byte in enumerate(value):
        for bit in range(8):
            yield value[:place] + bytes((byte ^ (1 << bit),)) + value[place + 1 :]


def _bits_apart(one: bytes, other: bytes) -> int:
    """In how many bits two texts of one length differ; many when they are not of one length."""
    if len(one) != len(other):
        return 1000
    return (int.from_bytes(one, "big") ^ int.from_bytes(other, "big")).bit_count()


def _bytes_of(piece: Carved) -> int:
    return sum(len(value) for value in piece.values if isinstance(value, bytes))


def _sorted_out(logs: Mapping[str, _Joined], by_bake: Mapping[str, _Numbered], garbled: Sequence[Carved]) -> Salvaged:
    used = {id(piece) for chain in logs.values() for piece in chain.pieces}
    hidden: dict[str, list[int]] = defaultdict(list)
    unreadable = 0
    for piece in garbled:
        if id(piece) in used:
            continue
        bake, number = _place_of(piece)
        name = bake.decode("utf-8", "replace")
        if name in logs and len(logs[name].rows) < number <= len(logs[name].rows) + FAR:
            hidden[name].append(number)
        else:
            unreadable += 1
    kept: list[Log] = []
    unplaced: list[Row] = []
    for own, chain in logs.items():
        # A second, damaged copy of an event that is there says nothing new.
        loose = [
            row
            for number, ones in sorted(by_bake[own].items())
            for row, piece in ones
            if id(piece) not in used and number > len(chain.rows)
        ]
        near = tuple(row for row in loose if row.number <= len(chain.rows) + FAR)
        if chain.rows or len(near) > 1:
            seq = next((piece.seq for piece in chain.pieces if piece.seq is not None), 0)
            kept.append(Log(own, tuple(chain.rows), near, seq, tuple(chain.mended), tuple(sorted(hidden[own]))))
            unplaced += [row for row in loose if row not in near]
        else:
            unplaced += loose
    return Salvaged(tuple(sorted(kept, key=lambda log: (log.seq, log.bake))), tuple(unplaced), unreadable)
