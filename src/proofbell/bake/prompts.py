"""What a bake asks of its baker, and when: checks, a stage that is due, a tray to turn, an oven to turn on.

A prompt has a name of its own, so that it is raised once however often it is looked at, and silenced by name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proofbell.bake.advice.core_words import bake_over_words
from proofbell.bake.checks import answered, check_at_s
from proofbell.bake.core import core_over, core_short, read_for_the_end
from proofbell.bake.dough_stages import division
from proofbell.bake.heats import first_heat_c, hot_at_s, let_go, on_the_dial, takes_s
from proofbell.bake.outlook import next_bake
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import (
    OvenTask,
    PromptId,
    PromptKind,
    Silenced,
    Skipped,
    heat_task,
    oven_hot_task,
    oven_off_task,
    oven_on_task,
    prompt_of,
    turn_task,
)
from proofbell.formula.model import Check, Stage
from proofbell.words import grams, length

SAME_HEAT_S = 60.0
"""A change of heat that takes less than this is none."""


@dataclass(frozen=True, slots=True)
class Prompt:
    """Something wanted at ``due_s`` (the bake's own time); ``task`` answers it, where a task does."""

    id: PromptId
    due_s: float
    words: str
    task: OvenTask | None = None

    @property
    def kind(self) -> PromptKind:
        """What kind of thing is wanted."""
        return self.id.kind

    @property
    def stage(self) -> int:
        """The stage that it is about."""
        return self.id.stage

    @property
    def check(self) -> int | None:
        """The index of the check in its stage, where it asks for one."""
        return self.id.number if self.id.kind == "check" else None


@dataclass(frozen=True, slots=True)
class OvenBefore:
    """The oven is at ``heat_c`` (conventional °C) for another bake, which is out at ``until_s`` of this bake's time."""

    heat_c: float
    until_s: float
    bake: str = ""


def prompts(
    state: BakeState, before: OvenBefore | None = None, *, oven_kept: bool = False, now_s: float | None = None
) -> tuple[Prompt, ...]:
    """Everything the bake wants that has not been answered, due or to come, in order of time.

    With ``now_s`` the oven is asked for no sooner than a stage that runs over leaves time for, and a bake that is over
    asks first to be taken out, and no more for a turn or a heat that was missed.
    ``before`` says that another bake has the oven first; then its heat is changed, not turned on. ``oven_kept``:
    another bake has or wants the oven after this one, so it stays on.
    """
    if state.closed is not None:
        return () if oven_kept else tuple(_oven_off(state))
    found = [*_start(state), *_of_stage(state, now_s), *oven_prompts(state, before, now_s)]
    if not oven_kept:
        found += _oven_off(state)
    out = _taking_out(state, found, now_s)
    if out is not None:
        found = [prompt for prompt in found if prompt.kind not in ("turn", "heat")]
    return tuple(sorted(found, key=lambda p: (p is not out, p.due_s, p.kind, p.id.number or 0)))


def _taking_out(state: BakeState, found: Sequence[Prompt], now_s: float | None) -> Prompt | None:
    """The prompt at the end of a bake that is over by ``now_s``."""
    if now_s is None or state.current is None or state.stage(state.current).kind != "bake":
        return None
    return next((each for each in found if each.kind == "due" and each.due_s <= now_s), None)


def due(state: BakeState, now_s: float, before: OvenBefore | None = None) -> tuple[Prompt, ...]:
    """The prompts whose time has come."""
    return tuple(prompt for prompt in prompts(state, before, now_s=now_s) if prompt.due_s <= now_s)


def ringing(state: BakeState, now_s: float, before: OvenBefore | None = None) -> tuple[Prompt, ...]:
    """The due prompts that nobody has silenced."""
    return tuple(prompt for prompt in due(state, now_s, before) if not silenced(state, prompt))


def silenced(state: BakeState, prompt: Prompt) -> bool:
    """Whether a prompt was silenced since it was due. One that has moved to a later moment rings again then."""
    mark = state.mark(Silenced(prompt.id))
    return mark is not None and mark.at_s >= prompt.due_s


def _start(state: BakeState) -> list[Prompt]:
    if state.begun or state.start_s is None:
        return []
    first = state.stage(0).name
    return [Prompt(PromptId("start", at_s=round(state.start_s)), state.start_s, f"begin: {first}")]


def _of_stage(state: BakeState, now_s: float | None) -> list[Prompt]:
    index = state.current
    if index is None:
        return []
    stage, run = state.stage(index), state.stages[index]
    begun_s = run.begun_s or 0.0
    found: list[Prompt] = []
    for number, check in enumerate(stage.checks):
        asked = _check_id(state, index, number)
        if not answered(state, index, number) and not state.done(Skipped(asked)):
            found.append(Prompt(asked, begun_s + check_at_s(state, index, check), _check(check)))
    if stage.kind != "hands":
        ends = PromptId("due", index, at_s=round(run.length_s))
        found.append(Prompt(ends, begun_s + _ends_s(state, index, now_s), over_words(state, index, now_s=now_s)))
        hot_s = _hot_late_s(state, index)
        if hot_s is not None:
            found[-1] = Prompt(ends, hot_s, "load when hot")
    if stage.kind == "bake":
        found += _in_oven(state, index, stage, begun_s)
    return found


def _ends_s(state: BakeState, index: int, now_s: float | None) -> float:
    """How far into a stage its end is asked for (s): sooner by a core over its band, once more by one that was low."""
    run = state.stages[index]
    over, short = core_over(state, index), core_short(state, index)
    if over is not None:
        return min(run.length_s, over.at_s)
    if short is not None and short.outlook is not None and now_s is not None and read_for_the_end(state, index, short):
        again_s = max(run.length_s, short.outlook.done_s)
        return again_s if now_s - (run.begun_s or 0.0) >= again_s else run.length_s
    return run.length_s


def _hot_late_s(state: BakeState, index: int) -> float | None:
    """When the oven is hot for a dough that is ready before it is (s); None when it is in time, or nobody has said.

    A rise that is still to be judged is asked about all the same.
    """
    stage, run, nxt = state.stage(index), state.stages[index], index + 1
    if nxt >= len(state.stages) or state.stage(nxt).kind != "bake" or not state.done(oven_on_task(nxt)):
        return None
    judged = stage.rise is None or _asks_rise(stage) or bool(state.readings_in(index, "rise"))
    hot_s = hot_at_s(state, nxt, 0.0)
    return hot_s if judged and run.due_s is not None and hot_s > run.due_s else None


def _asks_rise(stage: Stage) -> bool:
    return any(check.read == "rise" for check in stage.checks)


def _check_id(state: BakeState, index: int, number: int) -> PromptId:
    """A check at the end is another one for each end, so that it is asked again when the stage was made longer."""
    at_end = state.stage(index).checks[number].when == "end"
    return PromptId("check", index, number, round(state.stages[index].length_s) if at_end else None)


def _in_oven(state: BakeState, index: int, stage: Stage, begun_s: float) -> list[Prompt]:
    found: list[Prompt] = []
    turn = turn_task(index)
    if stage.turn_s is not None and not state.done(turn):
        found.append(_for(turn, begun_s + stage.turn_s, "turn the tray"))
    into_s = 0.0
    for number, phase in enumerate(stage.phases):
        task = heat_task(index, number)
        if number and not state.done(task):
            words = f"oven to {dial(state, phase.oven_c)}" + (", with steam" if phase.steam else "")
            found.append(_for(task, begun_s + into_s, words))
        into_s += phase.time_s
    return found


def _for(task: OvenTask, due_s: float, words: str) -> Prompt:
    """A prompt that a task answers."""
    return Prompt(prompt_of(task), due_s, words, task)


def dial(state: BakeState, heat_c: float) -> str:
    """What to set on this kitchen's oven for a conventional temperature (°C)."""
    return on_the_dial(state.kitchen.oven, heat_c)


def oven_prompts(state: BakeState, before: OvenBefore | None = None, now_s: float | None = None) -> list[Prompt]:
    """Oven on, in time to be hot as the proof ends, moving with the proof, also when it runs over; then: is it hot?

    After another bake the heat goes up or down instead, once that bake is out; at the same heat nothing is asked.
    """
    coming = next_bake(state)
    if coming is None:
        return []
    index, begins_s = coming
    heat_c = first_heat_c(state, index)
    if heat_c is None:
        return []
    on, hot = oven_on_task(index), oven_hot_task(index)
    if state.done(hot):
        return []
    mark = state.mark(on)
    if mark is not None:
        hot_s = mark.at_s + takes_s(state, heat_c, mark.from_c)
        return [_for(hot, hot_s, f"is the oven hot? {dial(state, heat_c)}")]
    needs_s = takes_s(state, heat_c, None if before is None else before.heat_c)
    if before is None:
        on_s = _moved_on(state, max(begins_s - needs_s, state.stages[0].begun_s or 0.0), needs_s, now_s)
        return [_for(on, on_s, f"oven on, {dial(state, heat_c)}")]
    if needs_s < SAME_HEAT_S:
        return []
    at_s = _moved_on(state, max(begins_s - needs_s, before.until_s), needs_s, now_s)
    way = "up" if heat_c > before.heat_c else "down"
    return [_for(oven_on_task(index, before.heat_c), at_s, f"oven {way} to {dial(state, heat_c)}")]


def _moved_on(state: BakeState, on_s: float, needs_s: float, now_s: float | None) -> float:
    """When to turn the oven on while a stage runs over: later, as long as there is time for it after that stage.

    Where there is not, it stays where it was, so that what was silenced keeps silent.
    """
    coming = None if now_s is None else next_bake(state, now_s)
    if coming is None or now_s is None:
        return on_s
    moved_s = coming[1] - needs_s
    return max(on_s, moved_s) if moved_s > now_s else on_s


def _oven_off(state: BakeState) -> list[Prompt]:
    """After the last bake stage, or when a bake is given up, an oven is still hot; somebody has to turn it off."""
    left = let_go(state)
    if left is None or left.heat_c is None or state.done(oven_off_task(left.stage)):
        return []
    last = max(i for i, stage in enumerate(state.formula.stages) if stage.kind == "bake")
    if state.closed is None and left.stage != last:
        return []
    return [_for(oven_off_task(left.stage), left.at_s, "oven off")]


def _check(check: Check) -> str:
    names = {
        "dough temperature": "read the dough's temperature",
        "room temperature": "read the room's temperature",
        "core temperature": "read the core temperature",
        "rise": "judge the rise",
        "weight": "weigh it",
    }
    return names[check.read]


def over_words(state: BakeState, index: int, waits_for: str = "", *, now_s: float | None = None) -> str:
    """What to do when a stage is due: the core and the rise say whether it is over, not the clock alone.

    ``waits_for``: the letter of the bake that has to be out of the oven first. ``now_s``: a bake that is over its time
    says so in words that grow.
    """
    stage = state.stage(index)
    if stage.kind == "bake":
        return bake_over_words(state, index, now_s)
    then = after(state, index, waits_for)
    if stage.rise is not None and not _asks_rise(stage) and not state.readings_in(index, "rise"):
        return f"judge the rise, then {then}"
    return then


def after(state: BakeState, index: int, waits_for: str = "") -> str:
    """What to do when a stage is over, in words; ``waits_for`` as in :func:`over_words`."""
    if index + 1 >= len(state.stages):
        return "ready"
    nxt = state.stage(index + 1)
    if nxt.kind == "bake":
        return f"load once {waits_for} is out" if waits_for else "load the oven"
    if state.stage(index).kind == "bake":
        return "take it out" + (", then cool" if nxt.kind == "cool" else "")
    return doing(state, index + 1)


def doing(state: BakeState, index: int) -> str:
    """A stage as something to do: its name, with pieces and weights where they are known."""
    stage, batch = state.stage(index), state.batch
    words = stage.name[:1].lower() + stage.name[1:]
    if index == division(state.formula) and batch.pieces and batch.piece_g:
        return f"{words}: {batch.pieces} × {grams(batch.piece_g)}"
    if stage.kind in ("proof", "rest", "chill", "cool"):
        return f"{words}, {length(state.stages[index].length_s)}"
    return words
