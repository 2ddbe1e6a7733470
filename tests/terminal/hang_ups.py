"""Closes the window on the program at any moment of its start, so many times: ``python -m tests.terminal.hang_ups 50``.

Half of the tries are made with every core busy, a third by a signal to a program whose output nobody reads. Tells how
many were gone in three seconds, and whether the right to ring was free then.
"""

from __future__ import annotations

import contextlib
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from proofbell.journal.files.lock import Lead
from tests.support.terminal import CONTROLS, START, Terminal

LIMIT_S = 3.0
BUSY = "while True: pass"


def main(tries: int, seed: int) -> int:
    """Try, and tell; 0 when all went well."""
    chance = random.Random(seed)
    took_s: list[float] = []
    held = 0
    for number in range(tries):
        busy = _busy() if number % 2 else []
        try:
            with tempfile.TemporaryDirectory() as folder:
                took, free = _one(Path(folder), chance, by_signal=number % 3 == 2)
        finally:
            for one in busy:
                one.kill()
                one.wait()
        took_s.append(took)
        held += not free
    late = sum(took > LIMIT_S for took in took_s)
    print(
        f"{tries} hang-ups (seed {seed}): {tries - late} gone within {LIMIT_S:g} s, "
        f"{late} later or never, {held} held on."
    )
    print(f"The longest {max(took_s):.2f} s, the median {sorted(took_s)[tries // 2]:.2f} s.")
    return 1 if late or held else 0


def _busy() -> list[subprocess.Popen[bytes]]:
    return [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(2 * (os.cpu_count() or 1))]


def _one(folder: Path, chance: random.Random, *, by_signal: bool) -> tuple[float, bool]:
    """How long it took to be gone (s), ten at most, and whether somebody else could ring then."""
    with Terminal(folder, start=CONTROLS + START) as terminal:
        terminal.until(lambda _: b"\x1b[?1049h" in terminal.raw or terminal.process.poll() is not None)
        until = time.monotonic() + chance.uniform(0.0, 4.0)
        reads = chance.random() < 0.5
        while time.monotonic() < until:
            terminal.read(0.05) if reads else time.sleep(0.05)
        if by_signal:
            terminal.until("No dough yet")
            terminal.fill()
            terminal.signal(chance.choice([signal.SIGTERM, signal.SIGHUP]))
        else:
            terminal.hang_up()
        began = time.monotonic()
        with contextlib.suppress(subprocess.TimeoutExpired):
            terminal.process.wait(10)
        took = time.monotonic() - began
        lead = Lead(folder / "journal.sqlite")
        lead.take()
        free = lead.held
        lead.let_go()
    return took, free


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 50, int(sys.argv[2]) if len(sys.argv) > 2 else 1))
