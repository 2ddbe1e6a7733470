"""How late a bell is: timers of the baker's own on a running bench of three doughs, with one processor kept busy."""

from __future__ import annotations

import asyncio
import random
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake.asking.timer import MOST, Timer
from proofbell.bench.board import Coming
from proofbell.clock import WallClock
from proofbell.kitchen.model import Kitchen
from tests.benchmarks.speed.figures import Figure, Samples

BUSY = "-c", "while True: pass"
SOONEST_S, LATEST_S = 1.0, 4.0
"""A timer runs for a second at least."""


def bells(path: Path, rounds: int) -> list[Figure]:
    """So many rounds of as many timers as there can be, due at random moments."""
    figure = Figure("a bell after its time", "the event loop's own call", by_processor=False)
    with subprocess.Popen([sys.executable, *BUSY]) as busy:
        try:
            asyncio.run(_ring(path, rounds, figure))
        finally:
            busy.kill()
    return [figure]


async def _ring(path: Path, rounds: int, figure: Figure) -> None:
    keeper, clock, rng = JournalKeeper(path), WallClock(), random.Random(1)
    live = Live(clock, keeper, Kitchen(name="Guesthouse"))
    app = ProofbellApp(live)
    heard: dict[str, float] = {}
    due = app.sounding.times.due

    def listen(rings: Sequence[Coming], real_us: int) -> tuple[Coming, ...]:
        sounding = due(rings, real_us)
        now_us = clock.stamp().wall_us
        for one in sounding:
            heard.setdefault(one.bake, (now_us - one.at_us) / 1_000_000)
        return sounding

    app.sounding.times.due = listen  # type: ignore[method-assign]
    try:
        async with app.run_test(size=(120, 36)):
            for _ in range(rounds):
                lengths_s = [rng.uniform(SOONEST_S, LATEST_S) for _ in range(MOST)]
                timers = [await live.timers.set("bell", each, "") for each in lengths_s]
                for length_s in lengths_s:
                    _call(length_s, figure.bare)
                await asyncio.sleep(LATEST_S + 1.5)
                for timer in timers:
                    if isinstance(timer, Timer):
                        figure.ours.add(heard[timer.id])
                        await live.timers.end(timer)
    finally:
        keeper.close()


def _call(after_s: float, samples: Samples) -> None:
    loop = asyncio.get_running_loop()
    due_s = loop.time() + after_s
    loop.call_at(due_s, lambda: samples.add(loop.time() - due_s))
