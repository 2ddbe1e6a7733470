"""How long a key waits, and how late the picture is, while the planner looks for better plans: a table.

Run from the project's folder as ``python -m tests.benchmarks.keys_while_planning``; it takes about two minutes.
The real program runs in a pseudo-terminal, with twelve doughs on the bench and the machine's own clock, by turns
with a search that goes on and on and without one. A key that takes another dough in hand is pressed at odd
moments; it counts as answered with the first bytes that the program then writes. All that it writes is kept with
its time and put on a screen afterwards: each second there must be a new picture, with the next second on its clock.
"""

from __future__ import annotations

import argparse
import asyncio
import fcntl
import math
import os
import pty
import random
import re
import select
import statistics
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import pyte

from proofbell.app.planning import planner_thread
from proofbell.app.session.live import Live, Nobody
from proofbell.bake import intents
from proofbell.bake.tasks import Skipped
from proofbell.clock import FastClock, WallClock
from tests.support.kitchen_scene import GUESTHOUSE, app_on, crowd, say

DOUGHS = 12
KEY = b"j"
QUIET_S = 0.04
LONGEST_S = 5.0
FOR_EVER_S = 3600.0
SETTLED = 3
"""The first pictures come while the program still opens."""

COLUMNS, LINES = 120, 36
CLOCK = re.compile(r"\s*\d\d:\d\d:\d\d")
WAYS = ("without a search", "with a search")


@dataclass
class Felt:
    """What was measured in one way: milliseconds, and how many pictures there should have been that were not."""

    keys_ms: list[float] = field(default_factory=list)
    late_ms: list[float] = field(default_factory=list)
    left_out: int = 0


def percentile(values: Sequence[float], share: float) -> float:
    """The value that so large a share of all values does not exceed (nearest rank)."""
    return sorted(values)[max(0, math.ceil(share * len(values)) - 1)]


async def full_bench(live: Live, clock: FastClock) -> None:
    """Twelve doughs, and no check that would open a dialog over the bench."""
    await crowd(live, clock, DOUGHS)
    for state in live.states:
        view = live.board().of(state.id)
        for prompt in view.wants if view else ():
            if prompt.kind == "check":
                await say(live, state.id, intents.Task(Skipped(prompt.id)))


def run_program(searching: bool) -> None:  # noqa: FBT001 - handed over on the command line
    """In the pseudo-terminal: the program, until it is left."""
    planner_thread.BETTER_FOR_S = FOR_EVER_S
    planner_thread.STALE_FOR_S = FOR_EVER_S
    clock = FastClock(WallClock().stamp(), 1.0, WallClock())
    live = Live(clock, Nobody(), GUESTHOUSE)
    asyncio.run(full_bench(live, clock))
    app = app_on(live)
    if not searching:
        app.replanning.look = lambda *_: ()  # type: ignore[method-assign]
    app.run()


class Program:
    """The program in a pseudo-terminal of 120 by 36 cells, and all that it wrote with the time of each piece."""

    def __init__(self, searching: bool) -> None:  # noqa: FBT001
        self.written: list[tuple[float, bytes]] = []
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", LINES, COLUMNS, 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, "-m", __spec__.name, "--program", str(int(searching))],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env={**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"},
            start_new_session=True,
        )
        os.close(slave)

    def wait_for_output(self, seconds: float) -> bool:
        """Whether anything came within so many seconds."""
        ready, _, _ = select.select([self.master], [], [], seconds)
        if ready:
            self.written.append((time.monotonic(), os.read(self.master, 1 << 16)))
        return bool(ready)

    def watch(self, seconds: float) -> None:
        """Read whatever comes for so long."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self.wait_for_output(left)

    def quieten(self, seconds: float) -> None:
        """Read until nothing has come for so long."""
        end = time.monotonic() + LONGEST_S
        while self.wait_for_output(seconds) and time.monotonic() < end:
            pass

    def key_ms(self) -> float:
        """Press the key; how long until the screen answers."""
        pressed = time.perf_counter()
        os.write(self.master, KEY)
        if not self.wait_for_output(LONGEST_S):
            raise TimeoutError("a key was not answered")
        return 1000 * (time.perf_counter() - pressed)

    def leave(self) -> None:
        """Leave the program."""
        os.write(self.master, b"\x11")
        end = time.monotonic() + LONGEST_S
        while self.process.poll() is None and time.monotonic() < end:
            try:
                self.wait_for_output(0.1)
            except OSError:
                break
        self.process.wait(LONGEST_S)
        os.close(self.master)

    def late_ms(self) -> list[float]:
        """How much later than a second after the one before each picture with another time on its clock came, ms."""
        screen = pyte.Screen(COLUMNS, LINES)
        stream, shown, came = pyte.ByteStream(screen), "", []
        for at, piece in self.written:
            stream.feed(piece)
            clock = CLOCK.match(screen.display[0])
            if clock is not None and clock[0] != shown:
                shown = clock[0]
                came.append(at)
        return [1000 * max(0.0, later - earlier - 1.0) for earlier, later in pairwise(came[SETTLED:])]


def measure(searching: bool, keys: int, felt: Felt, rng: random.Random) -> None:  # noqa: FBT001
    """One run of the program."""
    program = Program(searching)
    try:
        program.wait_for_output(60.0)
        program.quieten(0.5)
        for _ in range(keys):
            program.watch(rng.uniform(0.05, 0.25))
            program.quieten(QUIET_S)
            felt.keys_ms.append(program.key_ms())
        program.quieten(QUIET_S)
        program.leave()
    finally:
        if program.process.poll() is None:
            program.process.kill()
    late_ms = program.late_ms()
    felt.late_ms += late_ms
    felt.left_out += sum(round(late / 1000) for late in late_ms)


def table(found: dict[str, Felt]) -> str:
    """The figures in ms, and how many times as much with a search as without."""
    columns = ("", "keys", "key: median", "95th", "worst", "pictures", "left out", "late by: median", "95th", "worst")
    lines = ["| " + " | ".join(columns) + " |", "|" + " --- |" * len(columns)]
    rows = []
    for way, felt in found.items():
        row = [
            *(statistics.median(felt.keys_ms), percentile(felt.keys_ms, 0.95), max(felt.keys_ms)),
            *(statistics.median(felt.late_ms), percentile(felt.late_ms, 0.95), max(felt.late_ms)),
        ]
        rows.append(row)
        cells = [f"{value:.1f} ms" for value in row]
        counts = [str(len(felt.late_ms)), str(felt.left_out)]
        lines.append("| " + " | ".join([way, str(len(felt.keys_ms)), *cells[:3], *counts, *cells[3:]]) + " |")
    times = [f"× {after / before:.2f}" if before >= 0.05 else "" for before, after in zip(*rows, strict=True)]
    lines.append("| " + " | ".join(["the search makes it", "", *times[:3], "", "", *times[3:]]) + " |")
    return "\n".join(lines)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--keys", type=int, default=60, help="keys in each run")
    parser.add_argument("--runs", type=int, default=3, help="runs of each way, by turns")
    parser.add_argument("--program", type=int, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.program is not None:
        run_program(bool(options.program))
        return
    rng = random.Random(5)
    found = {way: Felt() for way in WAYS}
    for run in range(options.runs):
        for searching, way in enumerate(WAYS):
            measure(bool(searching), options.keys, found[way], rng)
            print(f"\rrun {run + 1} of {options.runs}, {way}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    print(table(found))


if __name__ == "__main__":
    main()
