"""What a bake asks of its baker, and when: checks, a stage that is due, a tray to turn, an oven to turn on.

A prompt has a name of its own, so that it is raised once however often it is looked at, and silenced by name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake.advice.scene import Scene
from proofbell.bake.asking.looking_again import gives_way, looks_again
from proofbell.bake.asking.offered import read_for
from proofbell.bake.asking.oven import in_oven, off_meanwhile, oven_off, oven_prompts
from proofbell.bake.asking.prompt import OvenBefore, Prompt
from proofbell.bake.asking.stage_end import (
    TOGETHER_S,
    before_its_oven,
    check_id,
    doing,
    ends_s,
    hot_late_s,
    judged_again,
    machine_over,
    one_act,
    over_asks,
    stopped,
    when_hot,
)
from proofbell.bake.checks import check_at_s
from proofbell.bake.core import given_s
from proofbell.bake.fermenting.short_rise import judged_for_good
from proofbell.bake.fermenting.warming import warms_first
from proofbell.bake.heats import first_heat_c, takes_s
from proofbell.bake.outlook import begins_s, next_to_begin
from proofbell.bake.probe.live import PROBE
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, PromptId, Silenced, Skipped, Weighed
from proofbell.formula.dough_stages import weigh_before_s, works_alone
from proofbell.formula.model import ReadingKind
from proofbell.formula.readings import LIMITS

AT_IT_S = 3 * 60.0
"""So shortly before a bake's end its oven is better left shut for what was missed. Common practice, no source."""

JUST_SEEN_S = 60.0
"""So long after looking at a dough or its oven a baker is taken to be at it. Common practice, no source."""


def prompts(
    state: BakeState, before: OvenBefore | None = None, *, oven_kept: bool = False, now_s: float | None = None
) -> tuple[Prompt, ...]:
    """Everything the bake wants that has not been answered, due or to come, in order of time.

    With ``now_s`` the oven is asked for no sooner than a stage that runs over leaves time for, and a bake that is over
    asks first to be taken out, and no more for a turn or a heat that was missed. What no bell calls for stands last.
    ``before`` says that another bake has the oven first; then its heat is changed, not turned on. ``oven_kept``:
    another bake has or wants the oven after this one, so it stays on.
    """
    if state.closed is not None:
        return () if oven_kept else tuple(oven_off(state))
    found = [*_start(state, now_s), *_weigh_out(state, now_s)]
    of_oven = oven_prompts(state, before, now_s)
    found += [*_of_stages(state, now_s), *of_oven]
    if not oven_kept:
        found += oven_off(state)
    if before is None and not oven_kept and (off := off_meanwhile(state, now_s)):
        # Nobody heats an oven up only to be told then to turn it off.
        found = [*(each for each in found if each.kind != "oven hot"), *off]
    if before is None:
        found = [_when_hot(state, each, now_s) for each in found]
    elif not before.inside:
        found = [_once_changed(state, each, of_oven, before, now_s) for each in found]
    found = [_since_hot(state, each) for each in one_act(state, found, now_s)]
    due = [] if now_s is None else [each for each in found if each.due_s <= now_s]
    again = looks_again(state, found, now_s)
    found += [each for each in again if not any(gives_way(state, each, one) for one in due)]
    out = _taking_out(state, found, now_s)
    found = [p for p in found if p.kind not in ("turn", "heat") or (out is None and not _missed(state, p, now_s))]
    late = {each.id: _behind_s(state, each, due) for each in found}
    oven_first = next((each.due_s for each in due if each.kind == "oven on"), None)
    for each in due:
        if oven_first is not None and each.kind == "due" and before_its_oven(state, each.stage):
            late[each.id] = max(each.due_s, oven_first), True  # nothing is loaded before its oven is on
    return tuple(
        sorted(found, key=lambda p: (p is not out, p.until_s is not None, *late[p.id], p.kind, p.id.number or 0))
    )


def _behind_s(state: BakeState, prompt: Prompt, due: Sequence[Prompt]) -> tuple[float, bool]:
    """When a prompt is due (s); behind its stage's end, once that is due, where it is an older look at something else.

    Who judges a dough for its end does not first read what its beginning asked for.
    """
    end = next((each for each in due if each.over and each.stage == prompt.stage and each is not prompt), None)
    older = end is not None and prompt.kind == "check" and prompt.due_s < end.due_s - TOGETHER_S
    if end is None or not older or read_for(state, end) in (None, read_for(state, prompt)):
        return prompt.due_s, False
    return end.due_s, True


def _when_hot(state: BakeState, prompt: Prompt, now_s: float | None) -> Prompt:
    """The end of a proof that is ready, as judged or by its card, before its oven is on: nothing can be loaded yet."""
    if prompt.kind != "due":
        return prompt
    unjudged = prompt.reads is None and state.stage(prompt.stage).kind not in ("hands", "bake")
    off = unjudged and not warms_first(state, prompt.stage, now_s) and Scene(state, prompt.stage, 0.0).oven_off
    if off or before_its_oven(state, prompt.stage):
        return replace(prompt, words=when_hot(state, prompt.stage, now_s), reads=None)
    return prompt


def _once_changed(
    state: BakeState, prompt: Prompt, of_oven: Sequence[Prompt], before: OvenBefore, now_s: float | None
) -> Prompt:
    """The end of a proof that was judged ready: once the oven is changed from the heat of the bake before."""
    change = next((each for each in of_oven if each.kind == "oven on" and each.stage == prompt.stage + 1), None)
    heat_c = first_heat_c(state, prompt.stage + 1) if change is not None else None
    if change is None or heat_c is None or prompt.kind != "due" or not before_its_oven(state, prompt.stage):
        return prompt
    hot_s = change.due_s + takes_s(state, heat_c, before.heat_c)
    words = when_hot(state, prompt.stage, now_s)
    return replace(prompt, due_s=max(prompt.due_s, hot_s), words=words, reads=None)


def _since_hot(state: BakeState, prompt: Prompt) -> Prompt:
    """Loading is wanted from when the oven is hot: who waited for it, as was asked, is not late."""
    hot = state.mark(OvenTask("oven hot", prompt.stage + 1)) if prompt.kind == "due" else None
    return prompt if hot is None else replace(prompt, due_s=max(prompt.due_s, hot.at_s))


def _taking_out(state: BakeState, found: Sequence[Prompt], now_s: float | None) -> Prompt | None:
    """The prompt at the end of a bake that is over by ``now_s``."""
    if now_s is None or state.current is None or state.stage(state.current).kind != "bake":
        return None
    return next((each for each in found if each.over and each.due_s <= now_s), None)


def _missed(state: BakeState, prompt: Prompt, now_s: float | None) -> bool:
    """Whether a turn or a heat was missed, and the oven is better left shut for the little that is left."""
    end_s = state.stages[prompt.stage].due_s
    return now_s is not None and end_s is not None and end_s - now_s < AT_IT_S <= now_s - prompt.due_s


def rings(state: BakeState, prompt: Prompt) -> bool:
    """Whether a prompt that is due calls for its baker: nobody has silenced it. It sounds unless :func:`at_it`."""
    return prompt.until_s is None and not silenced(state, prompt)


def at_it(state: BakeState, prompt: Prompt, now_s: float) -> bool:
    """Whether the bell of a prompt that is due keeps still, for somebody is at it.

    Who has just judged a rise, read a core or looked at the oven stands there. What they made due calls all the same,
    and sounds if nothing is done for a while. Beside a probe that talks nobody need stand.
    """
    if prompt.kind != "due":
        return False
    stage = state.stage(prompt.stage)
    if given_s(state, prompt.stage) > now_s:
        return True  # It was read low, and has the minutes that were told.
    what: ReadingKind = "core temperature" if stage.kind == "bake" else "rise"
    seen = [reading.at_s for reading in state.readings_in(prompt.stage, what) if reading.source != PROBE]
    hot = state.mark(OvenTask("oven hot", prompt.stage + 1))
    seen_s = max([*seen, *([] if hot is None else [hot.at_s])], default=None)
    return seen_s is not None and 0 <= now_s - seen_s < JUST_SEEN_S


def silenced(state: BakeState, prompt: Prompt) -> bool:
    """Whether a prompt was silenced since it was due. One that has moved to a later moment rings again then."""
    mark = state.mark(Silenced(prompt.id))
    return mark is not None and mark.at_s >= prompt.due_s


def _start(state: BakeState, now_s: float | None) -> list[Prompt]:
    """The bake's start, and until then its weigh-out; later that of another preferment, once hands are free for it."""
    busy = any(state.stage(index).kind == "hands" for index in state.running)
    index = None if busy or (not state.begun and state.start_s is None) else next_to_begin(state)
    if index is None:
        return []
    at_s = begins_s(state, index)
    weigh_s = weigh_before_s(state.formula, index)
    at_it = state.begun or any(isinstance(mark.task, Weighed) for mark in state.marks)
    words, planned_s = f"weigh out, then begin: {state.stage(index).name}", state.weigh_from_s
    if weigh_s and now_s is not None and now_s < at_s and not at_it:
        # It calls in time and then waits: nobody ticks off every line, and the start calls anyway.
        weigh_at_s = at_s - weigh_s if planned_s is None else min(planned_s, at_s - weigh_s)
        return [Prompt(PromptId("start", index, at_s=round(weigh_at_s)), weigh_at_s, words, patient=True)]
    by_plan = planned_s is not None or (weigh_s and state.as_planned is not None)
    words = words if by_plan and not at_it else f"begin: {state.stage(index).name}"
    return [Prompt(PromptId("start", index, at_s=round(at_s)), at_s, words)]


def _weigh_out(state: BakeState, now_s: float | None) -> list[Prompt]:
    """The dough's own weigh-out, while its preferment ripens: in time for it, and then it waits as the first does."""
    join = state.formula.dough_begins or 0
    weigh_s = weigh_before_s(state.formula, join)
    if not join or not weigh_s or now_s is None or state.stages[join].begun_s is not None:
        return []
    before = state.formula.follows(join)
    ends = [i for i in before if i in state.running and state.stage(i).kind != "hands"]
    if not ends or any(i not in ends and state.stages[i].ended_s is None for i in before):
        return []
    bowl = (n for n, line in enumerate(state.batch.lines) if line.use == "dough" and not (line.into or line.at))
    if any(state.done(Weighed(n)) for n in bowl):
        return []  # somebody is at it, or has done it the evening before

    def end_s(index: int) -> float:
        return (state.stages[index].begun_s or 0.0) + ends_s(state, index, now_s)

    last = max(ends, key=end_s)
    at_s = max(end_s(last) - weigh_s, state.stages[last].begun_s or 0.0)
    if now_s >= end_s(last):
        return []  # its end calls by then
    asked = PromptId("start", join, at_s=round(at_s))
    return [Prompt(asked, at_s, f"weigh out, then {doing(state, join)}", patient=True)]


def _of_stages(state: BakeState, now_s: float | None) -> list[Prompt]:
    """What every stage that runs wants; of one that is not in hand, with the name of what it makes."""
    found: list[Prompt] = []
    for index in state.running:
        made = "" if index == state.current else f"{state.stage(index).made_for}: "
        asked = _of_stage(replace(state, in_hand=index), index, now_s)
        found += [replace(each, words=f"{made}{each.words}") for each in asked] if made else asked
    return found


def _of_stage(state: BakeState, index: int, now_s: float | None) -> list[Prompt]:
    stage, run = state.stage(index), state.stages[index]
    begun_s = run.begun_s or 0.0
    found: list[Prompt] = []
    for number, check in enumerate(stage.checks):
        asked = check_id(state, index, number)
        if check.read == "rise" and check.when == "end" and warms_first(state, index, now_s):
            continue  # it is judged once, as the dough has warmed for its oven
        if not judged_for_good(state, index, number) and not state.done(Skipped(asked)):
            found.append(Prompt(asked, begun_s + check_at_s(state, index, check), LIMITS[check.read].asked))
    if works_alone(stage) and not stopped(state, index, now_s):
        ends = PromptId("due", index, at_s=round(run.length_s))
        found.append(Prompt(ends, begun_s + run.length_s, machine_over(state, index)))
    if stage.kind != "hands":
        again = judged_again(state, index)
        found += [] if again is None else [again]
        ends = PromptId("due", index, at_s=round(run.length_s))
        cooled = stage.kind == "cool" and state.formula.followed_by(index) is None
        at_s = begun_s + ends_s(state, index, now_s)
        asks = over_asks(state, index, now_s=now_s)
        found.append(Prompt(ends, at_s, asks.words, patient=cooled, reads=asks.reads))
        hot_s = hot_late_s(state, index)
        if hot_s is not None:
            found[-1] = Prompt(ends, hot_s, when_hot(state, index, now_s))
    if stage.kind == "bake":
        found += in_oven(state, index, stage, begun_s, at_s - begun_s)
        found += _core_again(state, index, now_s)
    return found


def _core_again(state: BakeState, index: int, now_s: float | None) -> list[Prompt]:
    """The next look at a core that was read low for the end, where it was not made longer for that."""
    at_s = given_s(state, index)
    if now_s is None or at_s <= now_s or at_s - (state.stages[index].due_s or at_s) < TOGETHER_S:
        return []  # The bake's own end asks for it.
    asked = PromptId("check", index, at_s=round(at_s - (state.stages[index].begun_s or 0.0)))
    return [Prompt(asked, at_s, "read the core again", reads="core temperature")]
