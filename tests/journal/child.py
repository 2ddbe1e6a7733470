"""A program of its own that writes to a journal and says each number once it is stored.

python child.py JOURNAL BAKE COUNT WHO
"""

from __future__ import annotations

import sys
from pathlib import Path

from proofbell.bake import events as kinds
from proofbell.bake.record import make_event
from proofbell.bake.stamp import Stamp
from proofbell.journal.faults import StaleDecision
from proofbell.journal.store import Journal


def write(path: Path, bake: str, count: int, who: str) -> None:
    """Append ``count`` notes, looking again whenever another program was quicker."""
    with Journal.open(path) as journal:
        written = 0
        while written < count:
            last = journal.events_of(bake)[-1]
            number = last.number + 1
            now = Stamp(number, number, "boot-1")
            note = make_event(bake, number, number, now, kinds.NoteAdded(f"{who} {written}"), last.digest)
            try:
                journal.append([note], last.number)
            except StaleDecision:
                continue
            written += 1
            print(number, flush=True)


if __name__ == "__main__":
    write(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), sys.argv[4])
