"""Whole processes: from the call to their end, with the processor time that the system counted for them (wait4)."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from time import perf_counter

from tests.benchmarks.speed.figures import Figure, Samples
from tests.support.terminal import START


def ours(*arguments: str) -> tuple[str, ...]:
    return "-c", START, *arguments


def taken(arguments: Sequence[str], environment: Mapping[str, str], samples: Samples) -> None:
    """One run more. Raises RuntimeError: it ended otherwise than well."""
    begun = perf_counter()
    process = subprocess.Popen(
        [sys.executable, *arguments], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    )
    _, status, used = os.wait4(process.pid, 0)
    samples.add(perf_counter() - begun, used.ru_utime + used.ru_stime)
    process.returncode = os.waitstatus_to_exitcode(status)
    with process:
        if process.returncode and process.stderr is not None:
            raise RuntimeError(f"{arguments[2:]}: {process.stderr.read().decode()[-400:]}")


def by_turns(
    rows: Sequence[tuple[Figure, Sequence[str], Sequence[str]]], environment: Mapping[str, str], runs: int
) -> None:
    """Each command and its yardstick, one after the other, so many times; and once before, which does not count."""
    for run in range(runs + 1):
        for figure, command, bare in rows:
            taken(command, environment, figure.ours if run else Samples())
            taken(bare, environment, figure.bare if run else Samples())
