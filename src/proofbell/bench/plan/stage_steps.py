"""One stage of a formula as steps of a plan: lengths, hands, oven, and the loads of a batch wider than the oven."""

from __future__ import annotations

from dataclasses import replace

from proofbell.formula.model import Formula, Stage, StageKind
from proofbell.planner.problem import Flexibility, Heat, Step, Task

LOAD_S = 60
"""Hands to load a bake, and as much to unload it, when the formula does not say."""

PAUSE_S = 5 * 60
"""A dough may wait this long after a hands stage before the next begins: common practice, no source."""

KEEP_S = 24 * 3600
"""What has cooled may wait a day."""


FLEXIBILITY: dict[StageKind, Flexibility] = {
    "hands": Flexibility.RIGID,
    "bake": Flexibility.FIXED,
    "proof": Flexibility.ELASTIC,
    "rest": Flexibility.ELASTIC,
    "chill": Flexibility.ELASTIC,
    "cool": Flexibility.FREE,
}
"""A bake ends by its core temperature, so no plan asks for another length; what has cooled may stand."""

READ_S = 60
"""Hands for a reading: common practice, no source."""

TAKE_OUT = "take out"
"""The kind of a task: a dough comes out of the cold to warm."""

TURN_S = 60
"""Hands to turn a tray: common practice, no source."""

WEIGHED_S = 12 * 3600
"""What is weighed out may wait so long: common practice, no source."""

WEIGH = "weigh"
"""The kind of a weigh-out: of the steps that are no stage."""


def step_of(formula: Formula, index: int, nominal_s: float | None = None, live: Stage | None = None) -> Step:
    """One stage with its bounds.

    ``nominal_s`` is the length that holds now, when readings have changed it, ``live`` the stage with what its dough
    forgives as it is.
    """
    stage = formula.stages[index] if live is None else live
    nominal = round(stage.time_s if nominal_s is None else nominal_s)
    # A bake ends by its core temperature; no plan makes it shorter or longer.
    low, high = (nominal, nominal) if stage.kind == "bake" or stage.stretch is None else stage.stretch
    least, most = min(round(low), nominal), max(round(high), nominal)
    hands_s, hands_end_s = hands_needed(stage, least)
    return Step(
        name=stage.name,
        kind=stage.kind,
        least_s=least,
        nominal_s=nominal,
        most_s=most,
        hands_s=hands_s,
        hands_end_s=hands_end_s,
        critical=stage.kind in ("proof", "bake"),
        flexibility=FLEXIBILITY[stage.kind],
        heats=_heats(formula, stage, nominal),
        trays=formula.oven.trays if stage.kind == "bake" else 1,
        wait_s=_wait_s(formula, index),
        instead=_instead(stage),
        after=formula.follows(index),
        of=index,
    )


def with_tasks(step: Step, stage: Stage) -> Step:
    """A step with what else hands do in it: readings, a tray to turn. What may not fit in is left out."""
    if step.hands_s is None:
        return step
    least_s = step.least_s if step.instead is None else min(step.least_s, step.instead.least_s)
    asked: dict[int, list[str]] = {}
    for check in stage.checks:
        at_s = 0 if check.when == "start" else -READ_S if check.at_s is None else round(check.at_s)
        asked.setdefault(at_s, []).append(check.read)
    if stage.rise is not None and "rise" not in asked.get(-READ_S, []):
        asked.setdefault(-READ_S, []).append("rise")
    found = [Task("read", at_s, READ_S, tuple(what)) for at_s, what in asked.items()]
    if stage.turn_s is not None:
        found.append(Task("turn", round(stage.turn_s), TURN_S))
    tasks = tuple(task for task in sorted(found, key=lambda task: task.at_s) if _fits(step, task, least_s))
    return replace(step, tasks=tasks, instead=None if step.instead is None else replace(step.instead, tasks=tasks))


def _fits(step: Step, task: Task, least_s: int) -> bool:
    """Whether a task lies between what hands do at a step's start and end: it is a part of those otherwise."""
    at_s = task.at_s if task.at_s >= 0 else least_s + task.at_s
    return (step.hands_s or 0) <= at_s <= least_s - step.hands_end_s - task.hands_s


def weigh_step(name: str, seconds: int) -> Step:
    """A weigh-out, in hand for as long as it lasts; it may be done before the dough may begin."""
    return Step(
        name, WEIGH, seconds, seconds, seconds, hands_s=None, flexibility=Flexibility.RIGID, wait_s=WEIGHED_S, after=(),
        ahead=True,
    )  # fmt: skip


def loads(step: Step, places: int) -> tuple[Step, ...]:
    """A bake in as many loads as an oven of so many places needs; what waits goes on proofing meanwhile."""
    count = -(-step.trays // places)
    return tuple(
        replace(
            step,
            trays=min(places, step.trays - number * places),
            wait_s=KEEP_S if number + 1 < count else step.wait_s,
        )
        for number in range(count)
    )


def hands_needed(stage: Stage, within_s: int) -> tuple[int | None, int]:
    """Seconds of hands at a stage's start (None: all through it) and at its end; they fit into ``within_s``."""
    if stage.kind == "hands" and stage.hands_s is None:
        return None, 0
    if stage.kind == "bake":
        load_s = LOAD_S if stage.hands_s is None else round(stage.hands_s)
        load_s = min(load_s, within_s)
        return load_s, min(LOAD_S, within_s - load_s)
    return min(round(stage.hands_s or 0), within_s), 0


def _heats(formula: Formula, stage: Stage, nominal: int) -> tuple[Heat, ...]:
    if stage.kind != "bake":
        return ()
    if stage.phases:
        return tuple(Heat(round(phase.time_s), phase.oven_c, phase.steam) for phase in stage.phases)
    heat_c = formula.oven.temperature_c
    return () if heat_c is None else (Heat(nominal, heat_c),)


def _wait_s(formula: Formula, index: int) -> int:
    """A dough that hands have left proves, rests or cools from then on; before hands or the oven it may wait."""
    if formula.stages[index].kind == "cool":
        return KEEP_S
    follower = formula.followed_by(index)
    kind = None if follower is None else formula.stages[follower].kind
    return PAUSE_S if formula.stages[index].kind == "hands" and kind in ("hands", "bake") else 0


def _instead(stage: Stage) -> Step | None:
    chill = stage.chill_instead
    if chill is None:
        return None
    least, most = round(chill.least_s), round(chill.most_s)
    elastic = FLEXIBILITY["chill"]
    name = f"{stage.name}, in the cold"
    return Step(name, "chill", least, least, most, critical=True, flexibility=elastic, flat=True)
