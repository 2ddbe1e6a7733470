"""What is asked at a stage's end: the core and the rise say whether it is over, not the clock alone."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.advice.butter import CHILL_FIRST, butter_melts, chilled, goes_on_now_s, read_cooled_s
from proofbell.bake.advice.core_words import bake_over_words, core_then_out
from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.temperature import read_too_cold
from proofbell.bake.asking.oven import dial
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.checks import answered
from proofbell.bake.coming import coming_s
from proofbell.bake.core import again_s, core_over, core_readings, core_short, meant_end_s, read_for_the_end
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.kneading import before_it_ferments
from proofbell.bake.fermenting.place import retard_c
from proofbell.bake.fermenting.short_rise import (
    judged_for_good,
    judged_short,
    short_at_the_end,
    short_rise,
    short_words,
)
from proofbell.bake.fermenting.warming import before_the_bake, warming, warms_first
from proofbell.bake.heats import first_heat_c, hot_at_s
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, PromptId, Skipped
from proofbell.formula.dough_stages import division
from proofbell.formula.model import Check, ReadingKind, Stage
from proofbell.frozen import dataclass
from proofbell.words import grams, length, temperature

TOGETHER_S = 1.0
"""What is wanted within a second is wanted together."""


@dataclass(frozen=True, slots=True)
class EndAsks:
    """What the end of a stage asks for, in words, and the reading among it, where the clock alone does not say."""

    words: str
    reads: ReadingKind | None = None


def over_asks(state: BakeState, index: int, once: str = "", *, now_s: float | None = None) -> EndAsks:
    """What to do when a stage is due: the core and the rise say whether it is over, not the clock alone.

    ``once``: what loading waits for, ``once A is out``, ``when hot``. ``now_s``: a bake that is over its time says so
    in words that grow.
    """
    stage = state.stage(index)
    if stage.kind == "bake":
        return EndAsks(bake_over_words(state, index, now_s))
    then = after(state, index, once, now_s)
    into_s = None if now_s is None else now_s - (state.stages[index].begun_s or 0.0)
    short = short_at_the_end(state, index)
    if short is not None and (into_s is None or into_s < short.again_s):
        return EndAsks(short_words(short, into_s), "rise")
    if short is not None:
        return EndAsks(f"judge the rise again, then {then}", "rise")
    scene = Scene(state, index, state.stages[index].due_s or 0.0)
    chill, soft = chilled(scene), butter_melts(scene)
    if chill is not None and (chill.read_c is None or chill.soft):
        return EndAsks(f"read the dough again, then {then}", "dough temperature")
    if soft is not None and soft.goes_on_now:
        return EndAsks(then)
    if soft is not None and soft.to_be_chilled:
        then = f"{CHILL_FIRST}, then {then}"
    judged = to_be_judged(state, index) or was_cold(state, index, now_s)
    if judged and not (chill is not None and chill.chills) and not warms_first(state, index, now_s):
        return EndAsks(f"judge the rise, then {then}", "rise")
    return EndAsks(then, "dough temperature" if _read_as_warm(state, index, now_s) else None)


def machine_over(state: BakeState, index: int) -> str:
    """What a hands stage asks for at its end, in which a machine worked on alone: nobody stands there then."""
    name = state.stage(index).name
    what = "mixer" if state.formula.dough.mixing == "machine" and before_it_ferments(state, index) else "machine"
    return f"stop the {what}: {name[:1].lower()}{name[1:]} is over"


def stopped(state: BakeState, index: int, now_s: float | None) -> bool:
    """Whether a machine was stopped to cool its dough: it is read again, and nobody knows when the machine is over."""
    begun_s = state.stages[index].begun_s or 0.0
    cools = read_cooled_s(state, index, begun_s if now_s is None else now_s) is not None
    return cools or len(state.readings_in(index, "dough temperature")) > 1


def was_cold(state: BakeState, index: int, now_s: float | None) -> bool:
    """Whether a proof was read colder than meant: the clock alone does not say that it is over."""
    if now_s is None or state.stage(index).kind != "proof" or state.readings_in(index, "rise"):
        return False
    return read_too_cold(Scene(state, index, now_s)) is not None


def to_be_judged(state: BakeState, index: int) -> bool:
    """Whether nobody has judged a stage's rise for its end, though its card wants that."""
    if _asks_rise(state.stage(index)):
        checks = state.stage(index).checks
        at_end = [n for n, check in enumerate(checks) if check.read == "rise" and check.when == "end"]
        judged = (judged_for_good(state, index, n) or state.done(Skipped(check_id(state, index, n))) for n in at_end)
        return not all(judged)
    if state.stage(index).rise is None:
        return short_rise(state, index) is not None
    return not state.readings_in(index, "rise") or short_rise(state, index) is not None


def after(state: BakeState, index: int, once: str = "", now_s: float | None = None) -> str:
    """What to do when a stage is over, in words; ``once`` and ``now_s`` as in :func:`over_asks`."""
    nxt = state.formula.followed_by(index)
    if nxt is None:
        return "ready"
    due_s = state.stages[index].due_s or 0.0
    others = [i for i in state.formula.follows(nxt) if i != index and state.stages[i].ended_s is None]
    later = (i for i in others if (other_s := state.stages[i].due_s) is None or other_s > due_s)
    waited = next((state.stage(i).made_for for i in later), None)
    if waited is not None:
        return f"keep it until the {waited} is ready"
    return _once_warm(state, index, beginning(state, nxt, once), now_s, waits=bool(once))


def _once_warm(state: BakeState, index: int, words: str, now_s: float | None, *, waits: bool = False) -> str:
    """What follows a stage, once a dough out of the cold is warm enough; one that ``waits`` stays in the cold."""
    first = warming(state, index, now_s)
    if first is not None and _read_as_warm(state, index, now_s):
        return f"read the dough: from {temperature(first.ready_c, 0)} inside on, {words}"
    if first is not None:
        return f"{first.words}, then {words}"
    if waits and _straight_from_the_cold(state, index):
        return f"leave it in the cold, {words}"
    if _straight_from_the_cold(state, index) or _put_there_by_hand(state, index):
        return f"take it out of the cold, {words}"
    return words


def _read_as_warm(state: BakeState, index: int, now_s: float | None) -> bool:
    """Whether a dough out of the cold may be warm enough for its oven by now, which a reading tells."""
    first = warming(state, index, now_s)
    over = now_s is not None and now_s >= (state.stages[index].due_s or math.inf)
    return first is not None and over and not first.to_take_out and first.low_s <= 0


def _put_there_by_hand(state: BakeState, index: int) -> bool:
    """Whether a dough that hands work next stands in the cold by its baker's word alone."""
    run, nxt = state.stages[index], state.formula.followed_by(index)
    by_hand = bool(run.stood) and not run.agreed_place and in_the_cold(state, index)
    return by_hand and nxt is not None and state.stage(nxt).kind == "hands" and state.stage(index).kind != "chill"


def _straight_from_the_cold(state: BakeState, index: int) -> bool:
    """Whether a proof that stands in the cold goes into the oven next, by its card's leave or warm enough as it is."""
    proof = state.stage(index).kind == "proof"
    moved = state.stage(index).chill_instead is not None or bool(state.stages[index].stood)
    return proof and moved and before_the_bake(state, index) and in_the_cold(state, index)


def when_hot(state: BakeState, index: int, now_s: float | None) -> str:
    """What to do with a dough that is ready before its oven: what goes there from the cold stays in it until then."""
    if _straight_from_the_cold(state, index) and warming(state, index, now_s) is None:
        return "leave it in the cold, load when hot"
    return _once_warm(state, index, "load when hot", now_s)


def _as_it_is_hot(state: BakeState, index: int, now_s: float | None, hot_s: float) -> str:
    """The same for the moment at which the oven is to be hot: what is done then, and what is looked at first."""
    if not _straight_from_the_cold(state, index) or warming(state, index, now_s) is not None:
        return when_hot(state, index, now_s)
    hot = now_s is not None and now_s >= hot_s
    return "is the oven hot? then out of the cold, load" if hot else "when hot: out of the cold, load"


def beginning(state: BakeState, index: int, once: str = "") -> str:
    """What to do as a stage begins, in words; ``once`` as in :func:`over_asks`."""
    stage = state.stage(index)
    if stage.kind == "bake":
        what = "load" if stage.load is None else f"put load {stage.load[0]} of {stage.load[1]} in"
        return f"{what} {once}" if once else "load the oven" if stage.load is None else what
    if index and state.stage(index - 1).kind == "bake":
        return "take it out" + (", then cool" if stage.kind == "cool" else "")
    return doing(state, index)


def doing(state: BakeState, index: int) -> str:
    """A stage as something to do: its name, with pieces and weights where they are known."""
    stage, batch = state.stage(index), state.batch
    words = stage.name[:1].lower() + stage.name[1:]
    if index == division(state.formula) and batch.pieces and batch.piece_g:
        return f"{words}: {batch.pieces} × {grams(batch.piece_g)}"
    cold_c = retard_c(state, index)
    words += "" if cold_c is None else f" in the cold, {temperature(cold_c, 0)}"
    if stage.kind in ("proof", "rest", "chill", "cool"):
        return f"{words}, {length(coming_s(state, index))}"
    return words


def before_its_oven(state: BakeState, index: int) -> bool:
    """Whether a dough was judged ready, or too far, and nobody has said that the oven it goes into is on."""
    return _judged_ready(state, index) and Scene(state, index, 0.0).oven_off


def waits_for_its_oven(state: BakeState, index: int, now_s: float) -> bool:
    """Whether a dough was judged ready, or too far, before the oven that it goes into is hot."""
    return _judged_ready(state, index) and Scene(state, index, now_s).wait_for_oven_s() > 0


def _judged_ready(state: BakeState, index: int) -> bool:
    return bool(state.readings_in(index, "rise")) and not judged_short(state, index)


def one_act(state: BakeState, found: list[Prompt], now_s: float | None = None) -> list[Prompt]:
    """The same with each pair that is one act as one prompt.

    Judge the rise, then load; load when the oven is hot; read the core, then take it out.
    """
    over = next((each for each in found if each.kind == "due"), None)
    if over is None:
        return found
    if state.stage(over.stage).kind == "bake":
        return _out_by_its_core(state, over, found, now_s)
    with_it = next(
        (each for each in found if abs(each.due_s - over.due_s) < TOGETHER_S and _ends(state, each, over.stage)), None
    )
    if with_it is None or (with_it.kind == "oven hot" and warms_first(state, over.stage, now_s)):
        return found
    hot = f"{_as_it_is_hot(state, over.stage, now_s, with_it.due_s)}, {_dial_of(state, with_it.stage)}"
    words = over.words if with_it.kind == "check" else hot
    one = replace(with_it, words=words, ends=True)
    return [one if each is with_it else each for each in found if each is not over]


def _out_by_its_core(state: BakeState, over: Prompt, found: list[Prompt], now_s: float | None) -> list[Prompt]:
    """A core that the card has read at a bake's end, and taking it out. A late bake is only to be taken out."""
    checks = state.stage(over.stage).checks
    asks = next((p for p in found if p.stage == over.stage and p.check is not None and _at_end(checks[p.check])), None)
    if asks is None:
        return found
    words = core_then_out(state, over.stage, now_s)
    one = over if words is None else replace(asks, words=words, due_s=min(asks.due_s, over.due_s), ends=True)
    return [one if each is over else each for each in found if each is not asks]


def _at_end(check: Check) -> bool:
    return check.read == "core temperature" and check.when == "end"


def _ends(state: BakeState, prompt: Prompt, index: int) -> bool:
    """Whether a stage is over by what a prompt asks for: the judging of its rise, the oven that it waits for."""
    if prompt.kind == "oven hot":
        return prompt.stage == index + 1
    if prompt.stage != index or prompt.check is None:
        return False
    return state.stage(index).checks[prompt.check].read == "rise"


def _dial_of(state: BakeState, index: int) -> str:
    heat_c = first_heat_c(state, index)
    return "" if heat_c is None else dial(state, heat_c)


def ends_s(state: BakeState, index: int, now_s: float | None) -> float:
    """How far into a stage its end is asked for (s).

    Sooner by a core over its band, or by butter that melts where the cold comes next; once more by one that was low, or
    by a rise that is to be judged again; once it is warm enough for the oven, where it was in the cold.
    """
    run = state.stages[index]
    rise = short_at_the_end(state, index)
    if rise is not None and now_s is not None and now_s - (run.begun_s or 0.0) >= rise.again_s:
        return rise.again_s
    over, short = core_over(state, index), core_short(state, index)
    if over is not None:
        return min(run.length_s, over.at_s)
    if short is not None and now_s is not None and read_for_the_end(state, index, short):
        read_s = max(run.length_s, again_s(short))
        return read_s if now_s - (run.begun_s or 0.0) >= read_s else run.length_s
    if state.stage(index).kind == "bake" and (good := core_readings(state, index)):
        # Who gave it the minutes that a low core asked for is not late by them.
        return max(run.length_s, min(meant_end_s(state, index), good[-1].at_s))
    soft_s = goes_on_now_s(state, index, now_s)
    if soft_s is not None:
        return min(run.length_s, soft_s)
    warm = warming(state, index)
    if warm is not None and not warm.to_take_out:
        return max(run.length_s, warm.ready_s)
    return run.length_s


def judged_again(state: BakeState, index: int) -> Prompt | None:
    """The check of a rise that was short at its stage's end, for when it is to be judged again; None without one."""
    short, checks = short_at_the_end(state, index), state.stage(index).checks
    number = next((n for n, check in enumerate(checks) if check.read == "rise" and check.when == "end"), None)
    if short is None or number is None or not answered(state, index, number):
        return None
    asked = PromptId("check", index, number, round(short.again_s))
    at_s = (state.stages[index].begun_s or 0.0) + short.again_s
    words = f"judge the rise again, then {after(state, index)}"
    return None if state.done(Skipped(asked)) else Prompt(asked, at_s, words)


def hot_late_s(state: BakeState, index: int) -> float | None:
    """When the oven is hot for a dough that is ready before it is (s); None when it is in time, or nobody has said.

    A rise that is still to be judged is asked about all the same.
    """
    stage, run, nxt = state.stage(index), state.stages[index], index + 1
    if nxt >= len(state.stages) or state.stage(nxt).kind != "bake" or not state.done(OvenTask("oven on", nxt)):
        return None
    judged = stage.rise is None or _asks_rise(stage) or bool(state.readings_in(index, "rise"))
    if short_at_the_end(state, index) is not None or warms_first(state, index, None):
        return None
    hot_s = hot_at_s(state, nxt, 0.0)
    return hot_s if judged and run.due_s is not None and hot_s > run.due_s else None


def _asks_rise(stage: Stage) -> bool:
    return any(check.read == "rise" for check in stage.checks)


def check_id(state: BakeState, index: int, number: int) -> PromptId:
    """A check at the end is another one for each end, so that it is asked again when the stage was made longer."""
    at_end = state.stage(index).checks[number].when == "end"
    return PromptId("check", index, number, round(state.stages[index].length_s) if at_end else None)
