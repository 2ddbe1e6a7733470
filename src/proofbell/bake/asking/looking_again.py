"""A dough that advice wants looked at again asks for it at that moment, once."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.advice.doubtful import sooner_s
from proofbell.bake.advice.proof import came_far
from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.temperature import read_again_s
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.fermenting.rule_readings import edge_now
from proofbell.bake.fermenting.warming import before_the_bake
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import PromptId, Skipped
from proofbell.formula.model import ReadingKind

APART_S = 180.0
"""What is wanted within three minutes of something else is looked at with it: common practice, no source."""

WORDS: dict[ReadingKind, str] = {
    "dough temperature": "read the dough's temperature again",
    "rise": "judge the rise early",
}


def look_again(state: BakeState, others: Sequence[Prompt]) -> Prompt | None:
    """The next look that advice asks for in the stage in hand; None where something else calls to the dough then."""
    index = state.current
    begun_s = None if index is None else state.stages[index].begun_s
    if index is None or begun_s is None or state.stage(index).kind not in ("proof", "rest"):
        return None
    for at_s, reads in sorted([*_read_again(state, index), *_judge_early(state, index)]):
        asked = PromptId("check", index, at_s=round(at_s - begun_s))
        alone = all(abs(each.due_s - at_s) >= APART_S for each in others)
        if alone and not state.done(Skipped(asked)) and at_s < (state.stages[index].due_s or 0.0) - APART_S:
            return Prompt(asked, at_s, WORDS[reads], reads=reads)
    return None


def oven_wanted_s(state: BakeState) -> float | None:
    """When the proof before the oven may be over early, as it is judged then (the bake's own time, s); None: it is not.

    A dough that is ready waits badly, an oven well.
    """
    index = state.current
    if index is None or state.stage(index).kind != "proof" or not before_the_bake(state, index):
        return None
    return min((at_s for at_s, _ in _judge_early(state, index)), default=None)


def _read_again(state: BakeState, index: int) -> list[tuple[float, ReadingKind]]:
    """When a dough that was too warm or too cold is read again (the bake's own time, s); no more once it was judged."""
    again_s = read_again_s(Scene(state, index, state.stages[index].begun_s or 0.0))
    since = [r.at_s for r in state.readings_in(index, "dough temperature")][-1:]
    judged = any(r.at_s > max(since, default=0.0) for r in state.readings_in(index, "rise"))
    return [] if again_s is None or judged else [(again_s, "dough temperature")]


def _judge_early(state: BakeState, index: int) -> list[tuple[float, ReadingKind]]:
    """When the shorter of two times is over, or the least of a dough that came far, until its rise was judged."""
    begun_s = state.stages[index].begun_s or 0.0
    if state.readings_in(index, "rise"):
        return []
    edge, far = edge_now(state, index), came_far(Scene(state, index, begun_s))
    early = [None if edge is None else sooner_s(edge), None if far is None else far.from_s]
    return [(begun_s + each, "rise") for each in early if each is not None]
