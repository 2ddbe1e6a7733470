"""A program of its own that bakes at random, and says what it asks of the journal and what it is told.

    python -m tests.faults.program JOURNAL SEED [COUNT [open]]

It prints ``asked`` with the events of a decision before handing it in, then ``stored``, or ``stale`` when another
program was quicker or had taken the letter. With a count it waits for a line before it begins, and ends after so many
stored decisions. With ``open`` it does nothing but put doughs on the bench, all in the same second.
"""

from __future__ import annotations

import itertools
import random
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Self

from proofbell.clock import WallClock
from proofbell.journal.faults import LetterTaken, StaleDecision
from proofbell.journal.storage.store import Journal
from tests.faults.baker import decision, live_states, opening
from tests.faults.looking import Said, said
from tests.support.making import stamp

ROOT = Path(__file__).parents[2]


def bake(path: Path, seed: str, count: int | None, *, only_open: bool) -> None:
    """Look, decide and store; after a stale decision look again and decide anew, as the commands do."""
    rng, clock, done = random.Random(seed), WallClock(), itertools.count(1)
    with Journal.open(path) as journal:
        if count is not None:
            print("ready", flush=True)
            sys.stdin.readline()
        while True:
            states = live_states(journal)
            events, last = opening(rng, states, stamp(0.0)) if only_open else decision(rng, states, clock.stamp())
            print("asked", *said(events), flush=True)
            try:
                journal.append(events, last)
            except (StaleDecision, LetterTaken):
                print("stale", flush=True)
                continue
            print("stored", flush=True)
            if next(done) == count:
                return


@dataclass
class Told:
    """What a program has asked for in vain or not: the last of ``asked`` may have no answer yet."""

    asked: list[Said] = field(default_factory=list)
    stored: int = 0
    stale: int = 0

    def take(self, line: str) -> None:
        """One line more of what it says."""
        word, *ids = line.split()
        if word == "asked":
            self.asked.append(tuple(ids))
        elif word == "stored":
            self.stored += 1
        else:
            self.asked.pop()
            self.stale += 1


class Program:
    """The program above, running; use it as a context manager."""

    def __init__(self, path: Path, seed: str, count: int | None = None, *, only_open: bool = False) -> None:
        words = [str(path), seed, *([] if count is None else [str(count)]), *(["open"] if only_open else [])]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.program", *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )
        self.told = Told()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.wait()
        self._said.close()
        if self.process.stdin is not None:
            self.process.stdin.close()

    def ready(self) -> None:
        """Wait until it stands before its journal."""
        assert self._said.readline() == "ready\n"

    def go(self) -> None:
        """Have it begin."""
        assert self.process.stdin is not None
        self.process.stdin.write("\n")
        self.process.stdin.flush()

    @property
    def _said(self) -> IO[str]:
        assert self.process.stdout is not None
        return self.process.stdout

    def until_stored(self, count: int) -> None:
        """Listen until so many decisions are stored."""
        while self.told.stored < count:
            self._take([self._said.readline()])

    def within(self, seconds: float) -> None:
        """Let it run for a moment."""
        try:
            self.process.wait(seconds)
        except subprocess.TimeoutExpired:
            return
        raise AssertionError(f"it ended by itself with {self.process.returncode}")

    def killed(self) -> Told:
        """Kill it where it is; all it said."""
        self.process.kill()
        self._take(self._said)
        self.process.wait()
        return self.told

    def ended(self) -> Told:
        """Listen to its end; all it said."""
        self._take(self._said)
        assert self.process.wait() == 0
        return self.told

    def _take(self, lines: Iterable[str]) -> None:
        for line in lines:
            assert line, f"it ended by itself with {self.process.wait()}"
            self.told.take(line)


if __name__ == "__main__":
    bake(
        Path(sys.argv[1]),
        sys.argv[2],
        int(sys.argv[3]) if len(sys.argv) > 3 else None,
        only_open="open" in sys.argv[4:],
    )
