"""Whether what was said of a bake is still meant when somebody else has said something to it meanwhile.

A key that was pressed while a probe handed in a reading is as right as it was before. One that would end a stage that
the other window has just ended would end the next one, which nobody meant.
"""

from __future__ import annotations

from proofbell.bake import intents
from proofbell.bake.decisions.said import last_said
from proofbell.bake.intents import Intent
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.in_bowl import in_bowl_g


def still_meant(before: BakeState | None, after: BakeState | None, intent: Intent) -> bool:
    """Whether ``intent``, said of the bake as it was ``before``, may be decided on as it is ``after``."""
    if before is None or after is None:
        return False
    if (before.closed, before.begun, before.current) != (after.closed, after.begun, after.current):
        return _of_no_stage(intent)
    match intent:
        case intents.Undo():
            return _numbers(before) == _numbers(after)
        case intents.Accept(stage=stage) if 0 <= stage < len(before.stages):
            return before.stages[stage].length_s == after.stages[stage].length_s
        case intents.Resize():
            return (before.batch, in_bowl_g(before)) == (after.batch, in_bowl_g(after))
        case intents.Task(task=task):
            return before.done(task) == after.done(task)
    return True


def _of_no_stage(intent: Intent) -> bool:
    """What is about the bake as a whole, whichever stage runs."""
    return isinstance(
        intent,
        intents.AddNote
        | intents.GiveScore
        | intents.MarkTypical
        | intents.TakeRow
        | intents.TakeOven
        | intents.Look
        | intents.Back
        | intents.LogTimer,
    )


def _numbers(state: BakeState) -> tuple[int, ...]:
    return tuple(event.number for event in last_said(state))
