"""A rehearsal on the screens: the same app on a faster clock, its bakes begun already, with nothing kept."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

from proofbell.app.app import ProofbellApp
from proofbell.app.live import Live, Nobody
from proofbell.bake import intents
from proofbell.bake.batch import Batch
from proofbell.bake.intents import Refused
from proofbell.clock import Clock, FastClock, WallClock
from proofbell.formula.fault import Refusal
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen

STAGGER_S = 1200.0
"""Each further bake waits this much longer for its start, so that one pair of hands can follow."""


def run_rehearsal(sized: Sequence[tuple[Formula, Batch]], kitchen: Kitchen, speed: float) -> int:
    """Open the screens on a rehearsal of these batches and return the exit status."""
    real = WallClock()
    live = asyncio.run(rehearsed(sized, kitchen, FastClock(real.stamp(), speed, real)))
    app = ProofbellApp(live, real=real)
    return app.run() or app.return_code or 0


async def rehearsed(sized: Sequence[tuple[Formula, Batch]], kitchen: Kitchen, clock: Clock) -> Live:
    """A bench with these bakes: the first begun, the others waiting for their start.

    Raises:
        Refusal: there are more than the bench holds.
    """
    live = Live(clock, Nobody(), kitchen, rehearsal=True)
    for number, (formula, batch) in enumerate(sized):
        bake = f"rehearsal-{number + 1}"
        opened = await live.open(bake, formula, batch, start_in_s=number * STAGGER_S if number else None)
        refused = opened if isinstance(opened, Refused) else None
        if refused is None and not number:
            refused = await live.say(bake, intents.Begin())
        if refused is not None:
            raise Refusal(refused.message, refused.remedy)
    return live
