"""What a program was told is stored outlives the program; two programs never write over each other."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path
from typing import IO

from proofbell.bake.fold import fold
from proofbell.journal.store import Journal
from tests.journal.making import first_events

CHILD = Path(__file__).with_name("child.py")


def start(path: Path, count: int, who: str) -> tuple[subprocess.Popen[str], IO[str]]:
    child = subprocess.Popen(
        [sys.executable, str(CHILD), str(path), "one", str(count), who], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    return child, child.stdout


def test_killed_at_any_moment_nothing_that_was_acknowledged_is_lost(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    with Journal.open(path) as journal:
        journal.append(first_events("one", notes=1), 0)
    last = 2
    for round_number in range(6):
        child, said = start(path, 10_000, f"round {round_number}")
        for _ in range(random.randint(1, 12)):
            last = int(said.readline())
        child.kill()
        rest = said.read().split()
        last = int(rest[-1]) if rest else last
        child.wait()
        said.close()
        with Journal.open(path) as journal:
            events = journal.events_of("one")
        # At most the event that was being stored when the program died may be there unacknowledged.
        assert len(events) in {last, last + 1}
        last = len(events)
        assert len(fold(events).notes) == last - 1


def test_two_programs_writing_about_one_bake_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    with Journal.open(path) as journal:
        journal.append(first_events("one", notes=1), 0)
    children = [start(path, 25, who) for who in ("left", "right")]
    numbers = [[int(line) for line in said] for _, said in children]
    assert [child.wait() for child, _ in children] == [0, 0]
    for _, said in children:
        said.close()
    assert sorted(numbers[0] + numbers[1]) == list(range(3, 53))
    with Journal.open(path) as journal:
        notes = [note.text for note in fold(journal.events_of("one")).notes[1:]]
    assert sorted(notes) == sorted(f"{who} {n}" for who in ("left", "right") for n in range(25))
