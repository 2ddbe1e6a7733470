"""Two programs that decide about the same bakes at the same time, as two windows or a window and a probe do.

    python -m tests.faults.two_programs 1000

has each store half of so many decisions, and says how often one was too late and had to look again.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from proofbell.bake.fold import fold
from proofbell.journal.storage.store import Journal
from tests.faults.baker import live_states
from tests.faults.looking import Said, said, stored
from tests.faults.program import Program, Told


def both(path: Path, decisions: int, seed: str, *, only_open: bool = False) -> tuple[Told, ...]:
    """Let two programs bake on one journal until each has stored half of the decisions."""
    half = decisions // 2
    with (
        Program(path, f"{seed} left", half, only_open=only_open) as left,
        Program(path, f"{seed} right", half, only_open=only_open) as right,
    ):
        for program in (left, right):
            program.ready()
        for program in (left, right):
            program.go()
        # Both are listened to at once: one that is not heard stands still when its pipe is full.
        with ThreadPoolExecutor(2) as listeners:
            return tuple(listeners.map(Program.ended, (left, right)))


def check(path: Path, told: Sequence[Told]) -> None:
    """Everything that was acknowledged is there once, whole, in each program's order, and nothing else is.

    Raises:
        AssertionError, JournalFault, ImpossibleError: it is not so.
    """
    with Journal.open(path) as journal:
        found = said(stored(journal))
        for bake in journal.bake_ids():
            fold(journal.events_of(bake))
        letters = [state.letter for state in live_states(journal)]
    assert len({*letters}) == len(letters), f"a letter is given twice: {letters}"
    asked = [words for one in told for words in one.asked]
    assert len(asked) == sum(one.stored for one in told)
    assert sorted(found) == sorted(sum(asked, ())), "something is lost, double, or was never asked for"
    place = {event: number for number, event in enumerate(found)}
    for one in told:
        in_order: Said = sum(one.asked, ())
        assert sorted(in_order, key=place.__getitem__) == list(in_order), "not in the order of saying"
    for words in asked:
        assert [place[event] - place[words[0]] for event in words] == list(range(len(words))), "a decision is torn"


def main(decisions: int, seed: str) -> int:
    """Say how it went."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.sqlite"
        told = both(path, decisions, seed)
        check(path, told)
    late = sum(one.stale for one in told)
    print(f"seed {seed}: {sum(one.stored for one in told)} decisions of two programs, {late} came too late; none lost")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "1"))
