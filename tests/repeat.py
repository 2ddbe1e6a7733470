"""The whole suite again and again, each time in another order, four times in ten with every core busy.

    python -m tests.repeat 10 [PYTHON ...]

takes the pythons in turn, or the one it runs on; says the seed of each order: with it, a failure can be had again.
"""

from __future__ import annotations

import contextlib
import os
import random
import subprocess
import sys
from collections.abc import Iterator

BUSY = "while True: pass"


@contextlib.contextmanager
def busy_cores(count: int) -> Iterator[None]:
    """So many programs that do nothing as fast as they can."""
    programs = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(count)]
    try:
        yield
    finally:
        for program in programs:
            program.kill()
            program.wait()


def main(times: int, pythons: list[str]) -> int:
    """How many of the runs failed; each says its seed."""
    failed = 0
    for number in range(times):
        seed, cores = random.randrange(2**32), os.cpu_count() or 1
        spinning = cores if number % 10 < 4 else 0
        python = pythons[number % len(pythons)]
        words = f"--randomly-seed={seed}, {spinning} of {cores} cores busy, {python}"
        print(f"{number + 1} of {times}: {words}", flush=True)
        with busy_cores(spinning):
            run = subprocess.run([python, "-m", "pytest", "-q", "-n", "auto", f"--randomly-seed={seed}"], check=False)
        failed += run.returncode != 0
    print(f"{times - failed} of {times} passed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), sys.argv[2:] or [sys.executable]))
