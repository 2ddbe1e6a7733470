"""What is asked once before a stage is ended: nothing is forbidden, but a slip of the elbow is noticed."""

from __future__ import annotations

from proofbell.bake.advice.butter import butter_melts, chill_now
from proofbell.bake.advice.core_words import late_by, longer_words
from proofbell.bake.advice.scene import Scene
from proofbell.bake.asking.judging import unjudged
from proofbell.bake.asking.oven import oven_prompts
from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.asking.stage_end import check_id
from proofbell.bake.core import core_in, core_over, core_short
from proofbell.bake.fermenting.short_rise import short_at_the_end, short_words
from proofbell.bake.heats import first_heat_c, hot_at_s, kept_hot_c, takes_s
from proofbell.bake.outlook import next_bake
from proofbell.bake.prompts import prompts
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, Skipped
from proofbell.words import temperature, told_length

EARLY_S = 60.0
"""With more than this left a timed stage is hardly meant to be over: common practice, no source."""

SOON_S = 5 * 60.0
"""A planned start that is no further off may as well be now: common practice, no source."""

NOT_HOT_S = 120.0
"""An oven that needs no more than this counts as hot: common practice, no source."""


EARLY_SHARE = 1 / 3
"""An oven is as quick as its kitchen says to within a third of that: common practice, no source."""


ON_EARLY_S = 30 * 60.0
"""An oven that is said to be on sooner than this before it is asked for is asked about: common practice, no source."""


def ask_first(
    state: BakeState, now_s: float, before: OvenBefore | None = None, *, oven_kept: bool = False, unread: bool = False
) -> tuple[str, ...]:
    """Questions to ask before the running stage is ended, in order of weight; empty when there is nothing to ask.

    ``unread``: it was said already that nobody reads the core.
    """
    index = state.current
    if index is None:
        return ()
    asked: list[str] = []
    run = state.stages[index]
    asked += time_left(state, index, now_s)
    asked += [] if unread else _core_unread(state, index, now_s)
    asked += _core_low(state, index, now_s)
    rise = short_at_the_end(state, index)
    if rise is not None:
        words = short_words(rise, now_s - (run.begun_s or 0.0))
        asked.append(f"{words[:1].upper()}{words[1:]}.")
    asked += ["It was not chilled for its butter."] if chill_now(state, index, now_s) else []
    judging = unjudged(state, index, now_s)
    asked += [judging] if judging else []
    nxt = index + 1
    if nxt < len(state.stages) and state.stage(nxt).kind == "bake":
        asked += _oven(state, nxt, now_s, before)
    if nxt == len(state.stages) and any(p.kind == "oven off" for p in prompts(state, oven_kept=oven_kept)):
        asked.append("The oven is not marked as off.")
    return tuple(asked)


def time_left(state: BakeState, index: int, now_s: float) -> tuple[str, ...]:
    """That a timed stage is far from over; nothing where it is not."""
    stage, left_s = state.stage(index), (state.stages[index].due_s or 0.0) - now_s
    if stage.kind == "hands" or left_s <= EARLY_S or core_over(state, index) is not None:
        return ()
    soft = butter_melts(Scene(state, index, now_s))
    if soft is not None and soft.goes_on_now:
        return ()  # it was told to go on now
    return (f"{stage.name} has {told_length(left_s)} left.",)


def _core_unread(state: BakeState, index: int, now_s: float) -> list[str]:
    """That nobody has read the core of a bake that goes by it; nothing where somebody has, or has said so.

    Nor where it is so late that it is to be taken out at once, for it may burn.
    """
    core, run = core_in(state, index), state.stages[index]
    if core is None or state.readings_in(index, "core temperature"):
        return []
    late = late_by(run.length_s, now_s - (run.due_s or now_s))
    if late is not None and late.then:
        return []
    checks = [n for n, check in enumerate(state.stage(index).checks) if check.read == "core temperature"]
    if any(state.done(Skipped(check_id(state, index, n))) for n in checks):
        return []
    return [f"The core was not read; {core.at_least}."]


def _core_low(state: BakeState, index: int, now_s: float) -> list[str]:
    """A core that was too low when it was read last."""
    core = core_in(state, index)
    short = core_short(state, index)
    if core is None or short is None:
        return []
    run = state.stages[index]
    end_s = max(run.length_s, now_s - (run.begun_s or 0.0))
    to_come = short.outlook is not None and short.outlook.done_s > end_s
    more = f": about {longer_words(short.outlook, end_s)}" if short.outlook is not None and to_come else ""
    return [f"The core was {temperature(short.value_c)}; {core.at_least}{more}."]


def too_soon(state: BakeState, task: OvenTask, now_s: float) -> str:
    """What to ask of an oven said to be on long before it is wanted, or hot long before it can be; else nothing."""
    return _on_too_soon(state, task, now_s) or _hot_too_soon(state, task, now_s)


def _on_too_soon(state: BakeState, task: OvenTask, now_s: float) -> str:
    index, heat_c, coming = task.stage, first_heat_c(state, task.stage), next_bake(state, now_s)
    if task.kind != "oven on" or task.from_c is not None or heat_c is None or coming is None or coming[0] != index:
        return ""
    asked_s = next((each.due_s for each in oven_prompts(state, now_s=now_s) if each.task == task), None)
    if asked_s is None or asked_s - now_s <= ON_EARLY_S:
        return ""
    gap, needs = told_length(coming[1] - now_s), told_length(takes_s(state, heat_c, None))
    return f"The bread goes in in {gap}, and the oven needs {needs}. Is it on already?"


def _hot_too_soon(state: BakeState, task: OvenTask, now_s: float) -> str:
    index, heat_c = task.stage, first_heat_c(state, task.stage)
    mark = state.mark(OvenTask("oven on", index))
    if task.kind != "oven hot" or heat_c is None or mark is None:
        return ""
    left_s = hot_at_s(state, index, now_s) - now_s
    if left_s <= max(NOT_HOT_S, EARLY_SHARE * takes_s(state, heat_c, mark.from_c)):
        return ""
    just_on = mark.from_c is None and now_s - mark.at_s < NOT_HOT_S
    return f"It needs about {told_length(left_s)} {'from cold' if just_on else 'more'}. Is it hot already?"


def long_before_its_start(state: BakeState, now_s: float) -> bool:
    """Whether the bake waits for a planned start that is still so far off that beginning it now is asked about."""
    return not state.begun and state.start_s is not None and state.start_s - now_s >= SOON_S


def _oven(state: BakeState, index: int, now_s: float, before: OvenBefore | None) -> list[str]:
    if (
        before is not None
        or kept_hot_c(state, index) is not None
        or first_heat_c(state, index) is None
        or state.done(OvenTask("oven hot", index))
    ):
        return []
    if not state.done(OvenTask("oven on", index)):
        return ["The bake begins with this, and the oven has not been marked as on."]
    left_s = hot_at_s(state, index, now_s) - now_s
    return [f"The oven needs {told_length(left_s)} more."] if left_s > NOT_HOT_S else []
