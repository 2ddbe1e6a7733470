"""Looking a bake through for the table's situations: now, at a reading, and all along its log. Nothing is stored."""

from __future__ import annotations

from collections.abc import Iterator

from proofbell.bake import events as kinds
from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.situation import Advice
from proofbell.bake.advice.situations import SITUATIONS
from proofbell.bake.advice.times import FORGOTTEN_COLD_S, FORGOTTEN_S, grace
from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.fold import apply
from proofbell.bake.heats import first_heat_c
from proofbell.bake.outlook import next_to_begin
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.frozen import dataclass


def advise(
    state: BakeState, now_s: float, before: OvenBefore | None = None, *, oven_kept: bool = False
) -> tuple[Advice, ...]:
    """What is to be said at ``now_s`` of the bake's own time, the most urgent first.

    ``before``: another bake has the oven hot before this one. ``oven_kept``: another has or wants it afterwards.
    """
    index = state.current
    closed = state.closed is not None
    if index is None:
        index = next_to_begin(state)
    if index is None:
        index = len(state.stages) - 1
    scene = Scene(state, index, now_s, before, oven_kept)
    found = (row.advice(scene) for row in SITUATIONS if row.after_the_end or not closed)
    return tuple(advice for advice in found if advice is not None)


def advice_of_reading(
    before: BakeState, after: BakeState, now_s: float, oven: OvenBefore | None = None, *, oven_kept: bool = False
) -> tuple[Advice, ...]:
    """What a reading makes worth saying, beside what its own verdict tells; ``oven``: another bake has it first."""
    known = {(each.situation, each.seen) for each in advise(before, now_s, oven, oven_kept=oven_kept)}
    found = (
        each for each in advise(after, now_s, oven, oven_kept=oven_kept) if (each.situation, each.seen) not in known
    )
    return tuple(each for each in found if "by the verdict" not in each.row.told)


def said_of_reading(
    before: BakeState, after: BakeState, now_s: float, oven: OvenBefore | None = None, *, oven_kept: bool = False
) -> Advice | None:
    """The most urgent of what a reading makes worth saying, or what stands already and is more urgent than that.

    So who reads is told the same as who looks at the bench after that; ``oven``, ``oven_kept``: as that has them.
    """
    new = advice_of_reading(before, after, now_s, oven, oven_kept=oven_kept)
    said = advise(after, now_s, oven, oven_kept=oven_kept)
    ahead = (each for each in said if each in new or not (each.row.told or each.row.beside))
    return next(ahead, None) if new else None


@dataclass(frozen=True, slots=True)
class Advised:
    """Something that was to be said in a stage, from ``at_s`` of the bake's own time on, after event ``number``."""

    stage: int
    at_s: float
    number: int
    advice: Advice


def advised(state: BakeState) -> tuple[Advised, ...]:
    """Everything that was said along a bake's log, each once from where it began, and again where a reading moved it.

    As it was known then: what was corrected later stands as it was. What its oven did before it was its own, no log of
    one bake tells: only for an oven that was turned on for it is it said that it was late.
    """
    heated = _heated(state)
    found: list[Advised] = []
    stands: dict[tuple[int, str], str] = {}
    for now, at_s, read in _moments(state):
        index = now.current
        if index is None or now.closed is not None:
            continue
        said = advise(now, at_s, None if index + 1 in heated else _hot_for(now, index + 1, at_s))
        for each in said:
            before = stands.get((index, each.situation))
            told = each.once is not None and any(a.advice.row is each.row and a.advice.once == each.once for a in found)
            if not told and (before is None or (read and before != each.seen)):
                found.append(Advised(index, at_s, now.last.number, each))
        stands = {(index, each.situation): each.seen for each in said}
    return tuple(found)


def _heated(state: BakeState) -> frozenset[int]:
    """The bake stages that the oven was turned on for, from cold."""
    bodies = (event.body for event in state.events)
    tasks = (body.task for body in bodies if isinstance(body, kinds.TaskDone))
    return frozenset(
        task.stage for task in tasks if isinstance(task, OvenTask) and task.kind == "oven on" and task.from_c is None
    )


def _hot_for(state: BakeState, index: int, at_s: float) -> OvenBefore | None:
    heat_c = first_heat_c(state, index) if index < len(state.stages) else None
    return None if heat_c is None else OvenBefore(heat_c, at_s)


def _moments(state: BakeState) -> Iterator[tuple[BakeState, float, bool]]:
    """The bake after each decision, at what time alone brings until the next event, and as a stage ends."""
    now: BakeState | None = None
    decisions = [*(event.decision for event in state.events[1:]), None]
    for event, at_us, then in zip(state.events, state.times_us, decisions, strict=True):
        at_s = at_us / 1_000_000
        if now is not None:
            since_s = now.times_us[-1] / 1_000_000
            yield from ((now, each_s, False) for each_s in _by_time(now) if since_s < each_s < at_s)
            if isinstance(event.body, kinds.StageEnded):
                yield now, at_s, False
        now = apply(now, event)
        if then != event.decision:
            yield now, at_s, isinstance(event.body, kinds.ReadingTaken | kinds.Corrected | kinds.TimeAdjusted)


def _by_time(state: BakeState) -> list[float]:
    """When a stage that runs comes into a situation by time alone (the bake's own time, s)."""
    index = state.current
    if index is None or state.closed is not None:
        return []
    scene = Scene(state, index, 0.0)
    begun_s, length_s = scene.run.begun_s or 0.0, scene.run.length_s
    into = [length_s, length_s + FORGOTTEN_S, length_s + FORGOTTEN_COLD_S]
    if scene.limit_s is not None:
        into.append(scene.limit_s + grace(scene))
    return sorted(begun_s + each for each in into)
