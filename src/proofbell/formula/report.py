"""Shows faults to the one who wrote the file: where, the line itself with the place marked, what, and the way out."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from proofbell.faults import Fault, Source
from proofbell.visible import visible

MOST_SHOWN = 20
WIDTH = 70
_INDENT = " " * 8
BEGINS, ENDS = "▸", "◂"
_LEVELS = {"error": "refused", "warning": "odd"}


def report(faults: Sequence[Fault], source: Source) -> str:
    """Return the faults as text, by line, at most 20; warnings say "odd", faults say "refused".

    Nothing in it can harm a terminal, whatever the file holds.
    """
    ordered = sorted(faults, key=lambda fault: (not fault.is_error, fault.line, fault.column))[:MOST_SHOWN]
    lines = source.text.replace("\r\n", "\n").split("\n")
    blocks = [_block(fault, source.name, lines) for fault in sorted(ordered, key=lambda f: (f.line, f.column))]
    left = len(faults) - len(ordered)
    if left:
        blocks.append(f"{left} more {'is' if left == 1 else 'are'} not shown; correct these first.")
    return "\n\n".join(blocks)


def place_of(fault: Fault, name: str) -> str:
    """Say where a fault is: ``file:line:column``."""
    shown = visible(name, most=300)
    return f"{shown}:{fault.line}:{fault.column}" if fault.line else shown


def _block(fault: Fault, name: str, lines: Sequence[str]) -> str:
    head = f"{place_of(fault, name)}  {_LEVELS[fault.level]}"
    block = [f"{head}: {fault.field}" if fault.field else head]
    if 0 < fault.line <= len(lines) and lines[fault.line - 1].strip():
        block.append(f"  {fault.line:>4}  {marked(lines[fault.line - 1], fault.column, fault.length)}")
    for said in (fault.message, fault.remedy):
        block += textwrap.wrap(said, 80, initial_indent=_INDENT, subsequent_indent=_INDENT, break_on_hyphens=False)
    return "\n".join(block)


def marked(line: str, column: int, length: int) -> str:
    """Return ``line`` with ▸ and ◂ around the place, cut to what is near it when it is long.

    Marks stand inside the line rather than under it, so that wide and joined letters cannot move them apart.
    """
    begin = min(max(0, column - 1), len(line))
    end = min(len(line), begin + max(1, length))
    before, middle, after = line[:begin].lstrip(), line[begin:end], line[end:].rstrip()
    middle = visible(middle, most=WIDTH // 2)
    room = WIDTH - len(middle)
    before_room = max(room // 2, room - len(after))
    if len(before) > before_room:
        before = "…" + before[len(before) - before_room + 1 :]
    before = visible(before, most=WIDTH)
    after = visible(after, most=max(1, WIDTH - len(before) - len(middle)))
    return f"{before}{BEGINS}{middle}{ENDS}{after}"
