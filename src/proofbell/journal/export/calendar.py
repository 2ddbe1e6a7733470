"""A plan as an iCalendar file (RFC 5545), so that a calendar can remind of it.

Titles come from outside: what the format gives a meaning is escaped, every kind of line break becomes the
two characters it is written with, and lines are folded at 75 octets without splitting a letter.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from proofbell.frozen import dataclass
from proofbell.visible import visible

SUFFIX = "@proofbell"
"""How every UID of ours ends."""

_FOLD = 75
_MOST = 2000


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry: begin and end (UTC, µs), what, and words. ``key`` stays the same when the plan is written again.

    ``remind``: the calendar raises an alarm as it begins. ``sequence`` is its revision number, ``modified_us`` when it
    was revised last (UTC, µs; None: now). ``cancelled``: it was in the plan before, and is no more.
    """

    key: str
    begins_us: int
    ends_us: int
    title: str
    words: str = ""
    remind: bool = False
    sequence: int = 0
    modified_us: int | None = None
    cancelled: bool = False

    @property
    def lasts_until_us(self) -> int:
        """Its end as it is written: a length of nothing is not allowed (RFC 5545, 3.6.1)."""
        return max(self.ends_us, self.begins_us + 1_000_000)


def calendar(entries: Iterable[Entry], *, made_us: int) -> str:
    """The file's text, with the line ends that the standard asks for. ``made_us`` is now (UTC, µs)."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Proofbell//Plan//EN",
        "CALSCALE:GREGORIAN",
        "NAME:Proofbell plan",
    ]
    for entry in entries:
        lines += _event(entry, made_us)
    lines.append("END:VCALENDAR")
    return "".join(folded(line) + "\r\n" for line in lines)


def _event(entry: Entry, made_us: int) -> list[str]:
    # Without a METHOD the stamp is when the entry was revised last, as LAST-MODIFIED is (RFC 5545, 3.8.7.2).
    revised = _utc(made_us if entry.modified_us is None else entry.modified_us)
    lines = [
        "BEGIN:VEVENT",
        f"UID:{escaped(entry.key)}{SUFFIX}",
        f"DTSTAMP:{revised}",
        f"LAST-MODIFIED:{revised}",
        f"SEQUENCE:{entry.sequence}",
        f"STATUS:{'CANCELLED' if entry.cancelled else 'CONFIRMED'}",
        f"DTSTART:{_utc(entry.begins_us)}",
        f"DTEND:{_utc(entry.lasts_until_us)}",
        f"SUMMARY:{escaped(entry.title)}",
    ]
    if entry.words:
        lines.append(f"DESCRIPTION:{escaped(entry.words)}")
    if entry.remind:
        lines += ["BEGIN:VALARM", "ACTION:DISPLAY", f"DESCRIPTION:{escaped(entry.title)}", "TRIGGER:PT0S", "END:VALARM"]
    return [*lines, "END:VEVENT"]


def _utc(wall_us: int) -> str:
    moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=wall_us)
    return f"{moment:%Y%m%dT%H%M%SZ}"


def escaped(text: str) -> str:
    """A TEXT value (RFC 5545, 3.3.11): backslash, semicolon, comma and line breaks written out."""
    plain = "\n".join(visible(line, most=_MOST) for line in text.splitlines())
    return plain.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def unescaped(text: str) -> str:
    """What was `escaped`, but for what was made harmless."""
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], text)


def folded(line: str) -> str:
    """A content line in pieces of at most 75 octets (RFC 5545, 3.1), never inside a letter."""
    pieces: list[str] = []
    piece, octets, most = "", 0, _FOLD
    for character in line:
        size = len(character.encode("utf-8"))
        if octets + size > most:
            pieces.append(piece)
            # The space that marks a continuation counts too.
            piece, octets, most = "", 0, _FOLD - 1
        piece += character
        octets += size
    return "\r\n ".join([*pieces, piece])
