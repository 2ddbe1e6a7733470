"""Kills at any moment: of a program that bakes on its own, and of the whole app under a baker's fingers.

    python -m tests.faults.kills 500

kills so often, every fifth time the app, and says what was lost. One journal lives through all of them.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from proofbell.clock import WallClock
from proofbell.journal.storage.store import Journal
from tests.faults.looking import Said, look, said, stored
from tests.faults.program import Program

STARTING_S = 1.5
"""A kill within this may come before the journal is open."""

SAYING_S = 0.05
"""A kill within this comes while one thing or the next is decided and stored."""


@dataclass
class Tally:
    """What a campaign has seen."""

    kills: int = 0
    acknowledged: int = 0
    kept_unasked: int = 0

    def __str__(self) -> str:
        return (
            f"{self.kills} kills, {self.acknowledged} acknowledged, {self.kept_unasked} times the one that was not "
            "yet acknowledged was kept; nothing lost"
        )


def everything(path: Path) -> Said:
    """All that is in the journal; nothing when there is none yet."""
    if not path.exists():
        return ()
    with Journal.open(path) as journal:
        return said(stored(journal))


def kill_program(path: Path, rng: random.Random, tally: Tally) -> None:
    """Let a program bake, kill it at some moment, and look.

    Raises:
        FAULTS: something is wrong; see ``look``.
    """
    before = everything(path)
    with Program(path, str(rng.random())) as program:
        if rng.random() < 0.2:
            program.within(rng.uniform(0.0, STARTING_S))
        else:
            program.until_stored(rng.randint(1, 10))
            program.within(rng.uniform(0.0, SAYING_S))
        told = program.killed()
    tally.kept_unasked += look(path, before, told.asked, told.stored, WallClock().stamp())
    tally.acknowledged += told.stored
    tally.kills += 1


def campaign(folder: Path, kills: int, seed: int, progress: Callable[[Tally], None] = lambda _: None) -> Tally:
    """Kill so often.

    Raises:
        FAULTS: something is wrong; the journal is left as it is.
    """
    # Imported here: pseudo-terminals are a thing of Unix.
    from tests.faults.kills_at_keys import kill_app

    rng, tally = random.Random(seed), Tally()
    for number in range(1, kills + 1):
        if number % 5:
            kill_program(folder / "journal.sqlite", rng, tally)
        else:
            kill_app(folder, rng, tally)
        progress(tally)
    return tally


def main(kills: int, seed: int) -> int:
    """Say how it goes and how it went."""
    with tempfile.TemporaryDirectory() as folder:
        tally = campaign(Path(folder), kills, seed, lambda so_far: print(f"\r{so_far.kills}", end="", flush=True))
    print(f"\rseed {seed}: {tally}")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else random.randrange(10**6)))
