"""A dough that advice wants looked at again asks for it at that moment, once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proofbell.bake.advice.butter import butter_melts, chilled, read_cooled_s
from proofbell.bake.advice.came_far import came_far
from proofbell.bake.advice.came_fast import came_fast
from proofbell.bake.advice.cold import cold_looks
from proofbell.bake.advice.doubtful import sooner_s
from proofbell.bake.advice.rises_fast import rises_fast
from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.temperature import APART_S, judged_from_s, read_again_s, read_too_warm
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.rule_readings import edge_read
from proofbell.bake.fermenting.warming import before_the_bake
from proofbell.bake.outlook import outlook
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import PromptId, Skipped
from proofbell.formula.model import ReadingKind

WIDE_SHARE = 0.75
"""A proof that may be over sooner than after so much of its length is judged early: common practice, no source."""

WORDS: dict[ReadingKind, str] = {
    "dough temperature": "read the dough's temperature again",
    "rise": "judge the rise early",
}


def looks_again(state: BakeState, others: Sequence[Prompt], now_s: float | None = None) -> tuple[Prompt, ...]:
    """The looks that advice asks for, in the stage in hand or in the proof to come, in order of time.

    None where something else calls to the dough for the same then, nor so near the end of the stage. An early judging
    that was advised is asked for whatever the oven wants at that moment.
    """
    index = state.current
    if (
        index is None
        or state.stages[index].begun_s is None
        or state.stage(index).kind not in ("proof", "rest", "hands", "chill")
    ):
        return ()
    soft = butter_melts(Scene(state, index, state.stages[index].begun_s or 0.0 if now_s is None else now_s))
    if soft is not None and soft.goes_on_now:
        return ()
    found: list[Prompt] = []
    looks = [*_read_again(state, index), *_read_chilled(state, index), *_read_cooled(state, index, now_s)]
    looks += _judge_early(state, index, now_s)
    looks = looks if state.stage(index).kind != "chill" else _in_the_cold(state, index)
    for each in sorted(looks):
        asked = _asked(each)
        called = (*others, *found)
        if each.reads == "rise" and any(p.reads == "rise" and p.stage == each.stage for p in found):
            continue  # once it is judged, nobody judges it early again
        calls = [p.due_s for p in called if (_judges(state, p) if each.reads == "rise" else _at_the_dough(p))]
        if all(abs(due_s - each.at_s) >= APART_S for due_s in calls) and not state.done(Skipped(asked)):
            ends = state.stage(each.stage).kind != "hands"
            soon = not ends or each.into_s < state.stages[each.stage].length_s - APART_S
            found += [Prompt(asked, each.at_s, WORDS[each.reads], reads=each.reads)] if soon else []
    return tuple(found)


def gives_way(state: BakeState, look: Prompt, to: Prompt) -> bool:
    """Whether a look that nobody took is no more to be asked for once ``to`` is due after it."""
    return look.due_s <= to.due_s and (_judges(state, to) if look.reads == "rise" else _at_the_dough(to))


def _at_the_dough(prompt: Prompt) -> bool:
    """Whether who answers a prompt stands before the dough, and not before its oven."""
    return prompt.kind in ("check", "due")


def _judges(state: BakeState, prompt: Prompt) -> bool:
    """Whether a prompt has somebody judge the rise, or end the stage."""
    check = prompt.check
    asked = None if check is None else state.stage(prompt.stage).checks[check].read
    return prompt.over or "rise" in (asked, prompt.reads)


def oven_wanted_s(state: BakeState, now_s: float | None = None) -> float | None:
    """When the proof before the oven may be over early, as it is judged then (the bake's own time, s); None: it is not.

    A dough that is ready waits badly, an oven well.
    """
    index = state.current
    if index is None:
        return None
    looks = (each for each in _judge_early(state, index, now_s) if not each.doubt)
    early = [each for each in looks if before_the_bake(state, each.stage)]
    return min((each.at_s for each in early if each.seen or now_s is None or now_s < each.at_s), default=None)


def judged_early_s(state: BakeState, now_s: float | None = None) -> float | None:
    """When the stage in hand asks to be judged early (the bake's own time, s); None: it does not, or that was skipped.

    Also where something else is due since, and the look is no more asked for.
    """
    index = state.current
    if index is None or state.stages[index].begun_s is None:
        return None
    before_s = state.stages[index].length_s - APART_S
    looks = (each for each in _judge_early(state, index, now_s) if each.stage == index and each.into_s < before_s)
    asked = (each.at_s for each in looks if not state.done(Skipped(_asked(each))))
    return min(asked, default=None)


@dataclass(frozen=True, slots=True, order=True)
class _Look:
    """A look that is wanted ``at_s`` of the bake's own time, ``into_s`` into a stage.

    ``seen``: its rise was seen to be that fast, so that the oven is wanted then even if nobody looks. ``doubt``: only
    the range of its length reaches so far, for which no oven is heated.
    """

    at_s: float
    stage: int
    into_s: float
    reads: ReadingKind
    seen: bool = False
    doubt: bool = False


def _asked(look: _Look) -> PromptId:
    return PromptId("check", look.stage, at_s=round(look.into_s))


def _read_again(state: BakeState, index: int) -> list[_Look]:
    """When a dough that was too warm or too cold is read again."""
    if state.stage(index).kind == "hands":
        return []
    begun_s = state.stages[index].begun_s or 0.0
    again_s = read_again_s(Scene(state, index, begun_s))
    return [] if again_s is None else [_Look(again_s, index, again_s - begun_s, "dough temperature")]


def _read_chilled(state: BakeState, index: int) -> list[_Look]:
    """Where a dough was put into the cold for its butter: once, and again while it is soft."""
    found = chilled(Scene(state, index, state.stages[index].begun_s or 0.0))
    if found is None or (found.read_c is not None and not found.soft):
        return []
    into_s = found.read_by_s - (state.stages[index].begun_s or 0.0)
    return [_Look(found.read_by_s, index, into_s, "dough temperature")]


def _in_the_cold(state: BakeState, index: int) -> list[_Look]:
    """Where a dough came warm into its hours in the cold."""
    begun_s = state.stages[index].begun_s or 0.0
    return [_Look(begun_s + into_s, index, into_s, reads) for into_s, reads in cold_looks(state, index)]


def _read_cooled(state: BakeState, index: int, now_s: float | None) -> list[_Look]:
    """Where its bowl is to be put into the cold for its butter while it is made."""
    begun_s = state.stages[index].begun_s or 0.0
    again_s = read_cooled_s(state, index, begun_s if now_s is None else now_s)
    return [] if again_s is None else [_Look(again_s, index, again_s - begun_s, "dough temperature")]


def _judge_early(state: BakeState, index: int, now_s: float | None) -> list[_Look]:
    """When a dough may be ready early: until its rise was judged, or again where that was seen to be fast.

    As the shorter of two times is over, or the least that a dough needs which was read too warm, or came far or fast.
    """
    begun_s = state.stages[index].begun_s or 0.0
    scene = Scene(state, index, begun_s)
    if state.readings_in(index, "rise"):
        fast = rises_fast(scene)
        return [] if fast is None else [_Look(begun_s + fast.again_s, index, fast.again_s, "rise", seen=True)]
    edge, far, fast_before = edge_read(state, index), came_far(scene), came_fast(scene)
    found = [] if edge is None else [_Look(begun_s + sooner_s(edge), index, sooner_s(edge), "rise")]
    warm = state.stage(index).kind == "proof" and read_too_warm(scene if now_s is None else replace(scene, now_s=now_s))
    from_s = judged_from_s(scene) if warm else None
    found += [] if from_s is None else [_Look(begun_s + from_s, index, from_s, "rise")]
    for came in (far, fast_before):
        proof_s = None if came is None else _begins_s(state, came.at, now_s)
        if came is not None and came.from_s is not None and proof_s is not None:
            found.append(_Look(proof_s + came.from_s, came.at, came.from_s, "rise", seen=came is fast_before))
    wide_s = _least_of_a_wide_range_s(state, index)
    if wide_s is None or any(each.stage == index and each.into_s <= wide_s for each in found):
        return found
    return [*found, _Look(begun_s + wide_s, index, wide_s, "rise", doubt=True)]


def _least_of_a_wide_range_s(state: BakeState, index: int) -> float | None:
    """The low end of the range of a final proof's length (s into it), not in its first half; None of a narrow one."""
    run = state.stages[index]
    last = run.adjustments[-1].body if run.adjustments else None
    if last is None or last.rate_low_s is None or last.rate_s is None or state.stage(index).kind != "proof":
        return None
    if not before_the_bake(state, index) or in_the_cold(state, index) or last.rate_low_s >= WIDE_SHARE * run.length_s:
        return None
    return max(last.rate_low_s, run.length_s / 2) // 60 * 60


def _begins_s(state: BakeState, index: int, now_s: float | None) -> float | None:
    """When a stage began or is to begin (the bake's own time, s); None of a bake that is over."""
    if state.stages[index].begun_s is not None:
        return state.stages[index].begun_s
    spans = outlook(state, 0.0 if now_s is None else now_s, lit=True)
    return next((span.begin_s for span in spans if span.stage == index), None)
