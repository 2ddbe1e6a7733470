"""Since when an oven is wanted: nobody is late for a moment that was moved into the past."""

from __future__ import annotations

from proofbell.bake.state import BakeState


def wanted_since_s(state: BakeState, at_s: float, otherwise_s: float) -> float:
    """When the oven was wanted first (the bake's own time, s), where it is wanted ``at_s`` as things stand now.

    What brought it forward may have been said after that moment: a stage that was over early, one that was made
    shorter, or a reading, without which it would be wanted at ``otherwise_s``. Then it is due since that was said.
    """
    moves = [*_brought_forward(state), (_newest_reading_s(state), max(0.0, otherwise_s - at_s))]
    moves = sorted((said_s, by_s) for said_s, by_s in moves if by_s > 0)
    moment_s = since_s = at_s + sum(by_s for _, by_s in moves)
    for said_s, by_s in moves:
        moment_s -= by_s
        since_s = max(moment_s, min(said_s, since_s))
    return since_s


def _brought_forward(state: BakeState) -> list[tuple[float, float]]:
    """When the end of the stage in hand was brought forward, and by how much (s)."""
    index = state.current
    if index is None:
        return []
    run, found = state.stages[index], []
    before = state.stages[index - 1] if index else None
    if before is not None and before.ended_s is not None and before.due_s is not None:
        found.append((before.ended_s, before.due_s - before.ended_s))
    return [*found, *((each.at_s, each.body.from_s - each.body.to_s) for each in run.adjustments)]


def _newest_reading_s(state: BakeState) -> float:
    return state.readings[-1].at_s if state.readings else 0.0
