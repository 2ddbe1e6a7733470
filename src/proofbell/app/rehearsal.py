"""A rehearsal on the screens: the same app on a faster clock, its bakes begun already, with nothing kept."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live, Nobody
from proofbell.app.terminal.hang_up import run_to_the_end
from proofbell.bake import intents
from proofbell.bake.decisions.as_opened import in_its_places
from proofbell.bake.events import LETTERS
from proofbell.bake.intents import Refused
from proofbell.bake.weigh.batch import Batch
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.clock import Clock, FastClock, Pace, WallClock
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen
from proofbell.places import house_formulas
from proofbell.planner.repair.minimal_change import with_lengths_kept, without_waits
from proofbell.planner.search import plan

LOOK_STEPS = 12
"""Steps of the planner before the screens open: well under a second, even for twelve bakes."""


def run_rehearsal(sized: Sequence[tuple[Formula, Batch]], kitchen: Kitchen, speed: float) -> int:
    """Open the screens on a rehearsal of these batches and return the exit status."""
    real = WallClock()
    fast = FastClock(real.stamp(), speed, real)
    live = asyncio.run(rehearsed(sized, kitchen, fast, fast))
    return run_to_the_end(ProofbellApp(live, real=real, files=list(house_formulas().values())))


async def rehearsed(
    sized: Sequence[tuple[Formula, Batch]], kitchen: Kitchen, clock: Clock, pace: Pace | None = None
) -> Live:
    """A bench with these bakes: the first of the plan begun, the others waiting for their start.

    Raises:
        Failure: there are more than the bench holds.
    """
    live = Live(clock, Nobody(), kitchen, rehearsal=True, pace=pace)
    if len(sized) > len(LETTERS):
        raise Failure(f"The bench holds {len(LETTERS)} bakes.", "Name fewer formulas.")
    for number, ((formula, batch), start_s) in enumerate(zip(sized, starts_s(sized, kitchen), strict=True), 1):
        bake = f"rehearsal-{number}"
        opened = await live.open(bake, formula, batch, start_in_s=start_s or None)
        refused = opened if isinstance(opened, Refused) else None
        if refused is None and not start_s:
            refused = await live.say(bake, intents.Begin())
        if refused is not None:
            raise Failure(refused.message, refused.remedy)
    return live


def starts_s(sized: Sequence[tuple[Formula, Batch]], kitchen: Kitchen) -> list[int]:
    """When each bake starts by the plan, in seconds after the first of them; nobody is asked to change a length.

    No dough waits either, if the day can be laid so: then the bench shows from the first moment what the plan has.
    """
    wishes = [
        Wish(letter, in_its_places(formula, batch, kitchen))
        for letter, (formula, batch) in zip(LETTERS, sized, strict=False)
    ]
    day = problem_of(wishes, kitchen, 0)
    found = plan(without_waits(day), LOOK_STEPS)
    if found.cost.violation_s:
        found = plan(with_lengths_kept(day), LOOK_STEPS)
    begins = [times.begins_s[0] for times in found.times]
    return [begin - min(begins) for begin in begins]
