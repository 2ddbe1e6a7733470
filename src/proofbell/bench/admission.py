"""What is in the oven already when another dough is to be loaded: that one waits, and is told for whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake.asking.offered import read_for
from proofbell.bake.asking.oven import SAME_HEAT_S, dial
from proofbell.bake.asking.prompt import OvenBefore, Prompt
from proofbell.bake.asking.stage_end import over_asks
from proofbell.bake.coming import coming_s
from proofbell.bake.heats import first_heat_c, heat_now_c, hot_at_s, kept_hot_c, takes_s
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, PromptId, Silenced, prompt_of
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.wall import hour
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Inside:
    """A bake that is in the oven, the heat that it has now (conventional °C), and the places it takes.

    ``out_us`` is when it should be out (UTC µs), with all its loads; the moment now, where it runs over.
    """

    bake: str
    letter: str
    heat_c: float | None
    places: int
    out_us: int


@dataclass(frozen=True, slots=True)
class NoPlace:
    """Why a bake cannot be loaded: beside whom, and both heats (conventional °C) where they differ."""

    inside: tuple[Inside, ...]
    wants_c: float | None
    has_c: float | None = None


def inside(states: Sequence[BakeState], now: Stamp) -> tuple[Inside, ...]:
    """All bakes that are in the oven now."""
    found: list[Inside] = []
    for state in states:
        if state.closed is not None or state.current is None or state.stage(state.current).kind != "bake":
            continue
        now_s, run = state.now_s(now), state.stages[state.current]
        left_s = max(0.0, (run.due_s or 0.0) - now_s) + _loads_s(state, state.current, now_s)
        heat_c = heat_now_c(state, state.current, now_s)
        out_us = now.wall_us + round(left_s * 1_000_000)
        found.append(Inside(state.id, state.letter, heat_c, oven_places(state.formula, state.batch), out_us))
    return tuple(found)


def _loads_s(state: BakeState, index: int, now_s: float) -> float:
    """How long the loads take (s) that go in at once after the one in the oven."""
    found = 0.0
    for number in range(index + 1, len(state.stages)):
        load = state.stage(number).load
        if load is None or load[0] == 1:
            break
        found += coming_s(state, number, now_s)
    return found


def in_its_turn(state: BakeState, prompt: Prompt, at_us: int, others: Sequence[Inside], places: int) -> Prompt:
    """A prompt to load the oven, in other words while the oven has no place for it: ``load once A is out``.

    It is another prompt meanwhile, so that one who has silenced it is called again when the place is free. Nobody asks
    whether the oven is hot for what cannot go into it.

    Args:
        state: the bake that it belongs to.
        prompt: any prompt.
        at_us: when it is due, or now where it is past that, UTC µs.
        others: what is in the oven, or goes in before this.
        places: how many the oven has.
    """
    if not prompt.over and prompt.kind != "oven hot":
        return prompt
    there = sorted((one for one in others if one.out_us >= at_us), key=lambda one: (one.out_us, one.letter))
    waits_for = ""
    while there and no_place(state, there, places) is not None:
        waits_for = there.pop(0).letter
    if not waits_for or state.current is None:
        return prompt
    if not prompt.over:
        return replace(prompt, id=replace(prompt.id, waits=True))
    return _waits(state, prompt, f"once {waits_for} is out")


def at_its_heat(state: BakeState, prompt: Prompt, before: OvenBefore | None, now_s: float) -> Prompt:
    """A prompt to load an oven that has another heat yet from the bake before: ``load when hot``, and due then.

    What is to be read first is due at its own time. Who has silenced the bell for the heat has heard it.
    """
    if before is None or before.inside or not prompt.over or prompt.kind == "oven hot" or prompt.id.waits:
        return prompt
    hot_s = _changed_s(state, before, now_s)
    if hot_s is None or hot_s <= max(now_s, prompt.due_s):
        return prompt
    heat_c = first_heat_c(state, (state.current or 0) + 1)
    down = heat_c is not None and heat_c < before.heat_c
    told = _waits(state, prompt, f"when at {dial(state, heat_c)}" if down and heat_c is not None else "when hot")
    return told if told.reads is not None else replace(told, due_s=max(told.due_s, hot_s))


def since_free(state: BakeState, prompt: Prompt, before: OvenBefore | None, now_s: float) -> Prompt:
    """A prompt to load is due since the oven was free for it: who waited for a place, as was asked, is not late."""
    nxt = None if state.current is None else state.current + 1
    if before is None or nxt is None or nxt >= len(state.stages) or state.stage(nxt).kind != "bake":
        return prompt
    if not prompt.over or prompt.id.waits or before.until_s > now_s or read_for(state, prompt) is not None:
        return prompt
    return replace(prompt, due_s=max(prompt.due_s, before.until_s))


def _waits(state: BakeState, prompt: Prompt, once: str) -> Prompt:
    """A prompt to load as one that waits: it ends no stage, and asks nothing of an oven."""
    index = prompt.stage if state.current is None else state.current
    asks = over_asks(state, index, once)
    if prompt.kind == "oven hot":
        own = PromptId("due", index, at_s=round(state.stages[index].length_s), waits=True)
        return replace(prompt, id=own, words=asks.words, reads=asks.reads, task=None, ends=False)
    return replace(prompt, id=replace(prompt.id, waits=True), words=asks.words, reads=asks.reads)


def _changed_s(state: BakeState, before: OvenBefore, now_s: float) -> float | None:
    """When the oven has this bake's heat (the bake's own time, s), as far as it was told; None: it has it already."""
    nxt = None if state.current is None else state.current + 1
    if nxt is None or nxt >= len(state.stages) or state.stage(nxt).kind != "bake":
        return None
    heat_c, on = first_heat_c(state, nxt), OvenTask("oven on", nxt)
    if heat_c is None or kept_hot_c(state, nxt) is not None or state.done(OvenTask("oven hot", nxt)):
        return None
    needs_s = takes_s(state, heat_c, before.heat_c)
    if needs_s < SAME_HEAT_S:
        return None
    if state.done(on):
        return hot_at_s(state, nxt, now_s)
    heard = state.mark(Silenced(prompt_of(on)))
    since_s = max(now_s, before.until_s) if heard is None else heard.at_s
    return since_s + needs_s


def no_place(state: BakeState, others: Sequence[Inside], places: int) -> NoPlace | None:
    """What stands in the way of loading a bake beside those that are in an oven of so many places; None: nothing."""
    nxt = None if state.current is None else state.current + 1
    if nxt is None or nxt >= len(state.stages) or state.stage(nxt).kind != "bake":
        return None
    return no_room(state, nxt, others, places)


def no_room(state: BakeState, index: int, others: Sequence[Inside], places: int) -> NoPlace | None:
    """The same for any bake stage of a bake, whatever it does now."""
    there = tuple(one for one in others if one.bake != state.id)
    heat_c = first_heat_c(state, index)
    other_c = next((one.heat_c for one in there if None not in (one.heat_c, heat_c) and one.heat_c != heat_c), None)
    if other_c is not None:
        return NoPlace(there, heat_c, other_c)
    if there and sum(one.places for one in there) + oven_places(state.formula, state.batch) > places:
        return NoPlace(there, heat_c)
    return None


def heat_under_words(state: BakeState, task: OvenTask, others: Sequence[Inside], now: Stamp) -> str:
    """What to ask where the heat for a bake to come would be another under the bread that is in the oven; else nothing.

    ``A is in the oven at 170 °C until 09:22. Up to 220 °C already?``
    """
    there = [one for one in others if one.bake != state.id and one.heat_c is not None]
    heat_c = first_heat_c(state, task.stage)
    under = next((one for one in there if heat_c is not None and one.heat_c != heat_c), None)
    if task.kind != "oven on" or heat_c is None or under is None or under.heat_c is None:
        return ""
    until = f" until {hour(under.out_us, now)}" if under.out_us > now.wall_us else ""
    way = "Up" if heat_c > under.heat_c else "Down"
    return (
        f"{under.letter} is in the oven at {dial(state, under.heat_c)}{until}. {way} to {dial(state, heat_c)} already?"
    )


def no_place_words(state: BakeState, found: NoPlace, places: int) -> str:
    """Why a bake cannot be loaded now, in a sentence."""
    letters = [one.letter for one in found.inside]
    who = f"{' and '.join(letters)} {'is' if len(letters) == 1 else 'are'} in the oven"
    if found.has_c is not None and found.wants_c is not None:
        return f"{who} at {dial(state, found.has_c)}; this wants {dial(state, found.wants_c)}."
    return f"{who}, which has {places} place{'s' if places > 1 else ''}."
