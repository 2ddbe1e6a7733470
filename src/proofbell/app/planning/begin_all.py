"""All that is planned put on the bench: each bake waits there for its start, with what the plan stretches agreed to."""

from __future__ import annotations

from collections.abc import Mapping

from proofbell.app.planning.day_plan import PlanDay, Planned, agreed
from proofbell.app.session.live import Live
from proofbell.bake.intents import PlanStart, Refused
from proofbell.bench.plan.as_planned import hours_of
from proofbell.bench.plan.timetable import BakeTimes
from proofbell.errors import Failure
from proofbell.frozen import dataclass
from proofbell.journal.bake_id import new_bake_id

APART_US = 60_000_000
"""A weigh-out that ends so long before its bake begins is called for at its own time. Our own choice."""


@dataclass(frozen=True, slots=True)
class Begun:
    """What came of it.

    Attributes:
        left: the day without the bakes that are on the bench now.
        first: the id of the one that begins first; None if there is none.
        refused: why the next could not be put there; None if all are.
    """

    left: PlanDay
    first: str | None
    refused: Failure | Refused | None = None


async def begin_all(live: Live, day: PlanDay, times: Mapping[str, BakeTimes]) -> Begun:
    """Open every bake of a day, or give it its start where it is on the bench; it ends at the first that is refused.

    Args:
        live: the bakes on the bench.
        day: what is planned.
        times: when each bake begins, by letter; one without times begins now.
    """
    first: str | None = None
    first_in_s = 0.0
    for bake in day.bakes:
        planned, now = times.get(bake.letter), live.clock.stamp()
        in_s = 0.0 if planned is None else max(0.0, (planned.begins_us - now.wall_us) / 1e6)
        wanted_us = day.wanted_us(bake)
        ready_in_s = None if wanted_us is None else (wanted_us - now.wall_us) / 1e6
        name = bake.bake or new_bake_id(bake.formula.name, now)
        plan = None if planned is None else hours_of(planned)
        hours = PlanStart(in_s, "the plan", ready_in_s, _weigh_in_s(planned, now.wall_us), plan)
        try:
            refused = await _put(live, bake, name, hours)
        except Failure as failure:
            return Begun(day, first, failure)
        if refused is not None:
            return Begun(day, first, refused)
        for agreement in () if planned is None else agreed(bake, planned):
            await live.say(name, agreement)
        if first is None or in_s < first_in_s:
            first, first_in_s = name, in_s
        day = day.without(bake.letter)
    return Begun(day, first)


def _weigh_in_s(planned: BakeTimes | None, now_us: int) -> float | None:
    """In how long (s) hands are to weigh out, where the plan has that before its start; None: right before it."""
    first = None if planned is None else min(planned.weighs, default=None)
    if planned is None or first is None or first[1] > planned.begins_us - APART_US:
        return None
    return max(0.0, (first[0] - now_us) / 1e6)


async def _put(live: Live, bake: Planned, name: str, hours: PlanStart) -> Refused | None:
    """One bake, to begin as the plan has it; the refusal, or None."""
    if bake.bake:
        return await live.say(name, hours)
    opened = await live.open(
        name,
        bake.formula,
        bake.batch,
        start_in_s=hours.in_s,
        ready_in_s=hours.ready_in_s,
        weigh_in_s=hours.weigh_in_s,
        plan=hours.plan,
        kitchen=bake.kitchen,
    )
    return opened if isinstance(opened, Refused) else None
