"""Power cuts at any moment of a baker's day, on a disk that forgets what was not synced.

    python -m tests.faults.power_cuts 5000

cuts the power so many times and says what was lost. A day is recorded once, operation by operation, and then ends at
many places; one of the disks that are found after a cut is the beginning of the next day, so recovery is cut too.
"""

from __future__ import annotations

import contextlib
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest import mock

from proofbell.journal.storage import opening
from proofbell.journal.storage.store import Journal
from tests.faults.baker import decision, live_states
from tests.faults.disk import Disk, Files, Operation
from tests.faults.looking import FAULTS, Said, look, said, stored
from tests.faults.recording import recording
from tests.support.making import stamp

DECISIONS = 12
"""Said on one day."""

CUTS = 10
"""Places where one day ends."""

DAYS = 4
"""Days on one disk, each beginning as the cut left it."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A decision is handed to the journal."""

    said: Said


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """The journal has said that it is stored."""


Line = Operation | Asked | Acknowledged


@dataclass
class Tally:
    """What a campaign has seen."""

    cuts: int = 0
    acknowledged: int = 0
    kept_unasked: int = 0
    faults: Counter[str] = field(default_factory=Counter)

    def __str__(self) -> str:
        said = f"{self.cuts} cuts, {self.acknowledged} acknowledged decisions, {self.kept_unasked} kept beyond those"
        return "\n".join([f"{said}; cuts that went wrong: {self.faults.total()}", *map(str, self.faults.most_common())])


def recorded(path: Path, files: Files, rng: random.Random, after_s: float) -> list[Line]:
    """A day of the real journal on a disk with these files, as operations and decisions."""
    lines: list[Line] = []
    with (
        recording(files, lines.append) as connect,
        mock.patch.object(opening, "connect", connect),
        Journal.open(path) as journal,
    ):
        for number in range(DECISIONS):
            events, last = decision(rng, live_states(journal), stamp(after_s + 60.0 * number))
            lines.append(Asked(said(events)))
            journal.append(events, last)
            lines.append(Acknowledged())
    return lines


def cut(lines: Sequence[Line], files: Files, rng: random.Random) -> tuple[dict[str, bytes], int, list[Said]]:
    """What is found on the disk after a cut somewhere in the day; how many decisions were acknowledged; all asked."""
    disk, acknowledged = Disk.holding(files), 0
    asked: list[Said] = []
    for line in lines[: rng.randint(0, len(lines))]:
        match line:
            case Asked(words):
                asked.append(words)
            case Acknowledged():
                acknowledged += 1
            case _:
                disk.take(line)
    return disk.after_cut(rng), acknowledged, asked


def lay_out(folder: Path, files: Files) -> None:
    """Put the journal's files into a folder, and no others; the reserve may stay."""
    for file in folder.iterdir():
        if not file.name.endswith(".reserve"):
            file.unlink()
    for name, content in files.items():
        folder.joinpath(Path(name).name).write_bytes(content)


def campaign(folder: Path, cuts: int, seed: int, progress: Callable[[Tally], None] = lambda _: None) -> Tally:
    """Cut the power so many times. What went wrong is counted in the tally, by what it was."""
    tally = Tally()
    rng = random.Random(seed)
    path = folder / "journal.sqlite"
    while tally.cuts < cuts:
        files: Files = {}
        before: Said = ()
        for day in range(DAYS):
            after_s = day * 3600.0
            lines = recorded(path, files, rng, after_s)
            for _ in range(CUTS):
                found, acknowledged, asked = cut(lines, files, rng)
                lay_out(folder, found)
                tally.cuts += 1
                tally.acknowledged += acknowledged
                wrong = ""
                try:
                    tally.kept_unasked += look(path, before, asked, acknowledged, stamp(after_s + 1800.0))
                except FAULTS as error:
                    wrong = str(error)
                    tally.faults[wrong] += 1
            progress(tally)
            if wrong:
                break
            # The next day begins with what the last cut left, not yet recovered.
            lay_out(folder, found)
            with Journal.open(path) as journal:
                before = said(stored(journal))
            files = found
    return tally


@contextlib.contextmanager
def settings(**weaker: tuple[str, Any]) -> Iterator[None]:
    """The journal with weaker settings than its own: ``synchronous=("NORMAL", 1)``."""
    changed = [(name, *weaker.get(name, (value, wanted))) for name, value, wanted in opening.SETTINGS]
    with mock.patch.object(opening, "SETTINGS", tuple(changed)):
        yield


def main(cuts: int, seed: int) -> int:
    """Say how it goes and how it went."""
    with tempfile.TemporaryDirectory() as folder:
        tally = campaign(Path(folder), cuts, seed, lambda so_far: print(f"\r{so_far.cuts}", end="", flush=True))
    print(f"\rseed {seed}: {tally}")
    return 1 if tally.faults else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else random.randrange(10**6)))
