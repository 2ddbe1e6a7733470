"""A calendar file written again: what is changed in it since, what is as it was, and what has vanished (RFC 5545).

A calendar replaces an entry by one of the same UID (3.8.4.7) whose SEQUENCE is greater (3.8.7.4). Nothing is stored
of a plan, so the number is made from the clock: whichever file was written later wins. Where the file before is there
to be replaced, an entry that is as it was keeps number and dates, and one that is gone stays as cancelled (STATUS,
3.8.1.11).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import UTC, datetime

from proofbell.frozen import dataclass
from proofbell.journal.export.calendar import SUFFIX, Entry, unescaped

FIRST_US = 1_577_836_800_000_000
"""1 January 2020, UTC: seconds from then on fit into an integer of the format (3.3.8) until 2088."""

MOST_SEQUENCE = 2**31 - 1
"""The greatest integer of the format (3.3.8)."""


@dataclass(frozen=True, slots=True)
class Known:
    """An entry of the file before."""

    entry: Entry
    sequence: int
    modified_us: int


def sequence_of(made_us: int) -> int:
    """The revision number of what is written at a moment (UTC, µs)."""
    return max(0, (made_us - FIRST_US) // 1_000_000)


def known(text: str) -> dict[str, Known]:
    """Our own entries in a calendar file's text, by key; whatever cannot be read is left out."""
    plain = re.sub(r"\r?\n[ \t]", "", text)
    found: dict[str, Known] = {}
    for block in re.findall(r"^BEGIN:VEVENT\r?$(.*?)^END:VEVENT\r?$", plain, re.MULTILINE | re.DOTALL):
        own = re.sub(r"^BEGIN:VALARM.*?^END:VALARM", "", block, flags=re.MULTILINE | re.DOTALL)
        fields = dict(re.findall(r"^([A-Z-]+):(.*?)\r?$", own, re.MULTILINE))
        try:
            one = _known(fields)
        except (KeyError, ValueError):
            continue
        if fields["UID"].endswith(SUFFIX):
            found[one.entry.key] = one
    return found


def _known(fields: Mapping[str, str]) -> Known:
    entry = Entry(
        unescaped(fields["UID"]).removesuffix(SUFFIX),
        _us(fields["DTSTART"]),
        _us(fields["DTEND"]),
        unescaped(fields["SUMMARY"]),
        unescaped(fields.get("DESCRIPTION", "")),
        cancelled=fields.get("STATUS") == "CANCELLED",
    )
    sequence = int(fields["SEQUENCE"])
    if not 0 <= sequence < MOST_SEQUENCE:
        raise ValueError(sequence)
    return Known(entry, sequence, _us(fields["LAST-MODIFIED"]))


def _us(text: str) -> int:
    return round(datetime.strptime(text, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC).timestamp()) * 1_000_000


def revised(
    entries: Iterable[Entry], before: Mapping[str, Known], days: Iterable[str], made_us: int
) -> tuple[Entry, ...]:
    """Every entry with its revision, and as cancelled each that is gone and still to come.

    Args:
        entries: the plan's.
        before: those of the file that is replaced.
        days: how the keys of this plan's days begin; entries of other days' plans are none of its business.
        made_us: now, UTC µs.
    """
    now = sequence_of(made_us)
    found: list[Entry] = []
    for entry in entries:
        one = before.get(entry.key)
        if one is not None and _same(one.entry, entry):
            found.append(replace(entry, sequence=one.sequence, modified_us=one.modified_us))
        else:
            found.append(replace(entry, sequence=max(now, one.sequence + 1 if one else 0), modified_us=made_us))
    there, begins = {entry.key for entry in found}, tuple(days)
    for key, one in before.items():
        if key in there or one.entry.ends_us <= made_us or not key.startswith(begins):
            continue
        if one.entry.cancelled:
            found.append(replace(one.entry, sequence=one.sequence, modified_us=one.modified_us))
        else:
            gone = replace(one.entry, cancelled=True)
            found.append(replace(gone, sequence=max(now, one.sequence + 1), modified_us=made_us))
    return tuple(found)


def _same(one: Entry, other: Entry) -> bool:
    mine, others = ((e.begins_us, e.lasts_until_us, e.title, e.words, e.cancelled) for e in (one, other))
    return mine == others
