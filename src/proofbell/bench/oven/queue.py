"""In which order the doughs go into the one oven, and from when until when each has it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from proofbell.bake.asking.oven import SAME_HEAT_S
from proofbell.bake.heats import first_heat_c, heat_now_c, hot_at_s, kept_hot_c, last_heat_c, takes_s
from proofbell.bake.outlook import Span, next_bake, outlook
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.admission import Inside, no_room
from proofbell.bench.oven.heat import told_for_c
from proofbell.bench.oven.least_off import least_off_s
from proofbell.bench.wall import wall_us
from proofbell.dough.oven import heat_up_s
from proofbell.frozen import dataclass

SECOND_US = 1_000_000

KEEPS_US = 10 * 60 * SECOND_US
"""A dough that the oven was set for keeps its turn against one that is ready so little sooner: common practice, no
source."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A bake in the oven, before, now or to come (UTC, µs), all its loads in one.

    ``in_c``: the heat it is loaded at, or has now; ``out_c``: what it leaves behind (conventional °C). ``before``: what
    the oven is kept hot from; None where it is heated afresh. ``off``: it was turned off after it.
    """

    bake: str
    letter: str
    stage: int
    begin_us: int
    end_us: int
    in_c: float | None
    out_c: float | None
    places: int
    when: Literal["past", "now", "coming"]
    before: Turn | None = None
    off: bool = False

    @property
    def inside(self) -> Inside:
        """It as something that takes a place."""
        return Inside(self.bake, self.letter, self.in_c, self.places, self.end_us)


def oven_queue(states: Sequence[BakeState], now: Stamp, places: int = 1) -> tuple[Turn, ...]:
    """What was in the oven, what is in it, and what goes in next, in that order.

    The first to be ready goes in first, whatever heat it wants: it was told so, and stands ready the longest. A place
    is nobody's before those in it and all that go before are out; then the oven's change of heat is counted, too.
    """
    been: list[Turn] = []
    coming: list[tuple[int, str, BakeState, tuple[Span, ...]]] = []
    for state in states:
        for spans in _in_one_go(state, now):
            if spans[0].when == "coming":
                coming.append((_ready_us(state, spans[0], now), state.letter, state, spans))
            else:
                been.append(_been(state, spans, now))
    been += [turn for state in states if (turn := _set_for(state, now)) is not None]
    found = sorted(been, key=lambda turn: (turn.when == "now", turn.end_us, turn.letter))
    for _, _, state, spans in sorted(coming, key=lambda each: (each[0], each[1], each[3][0].stage)):
        found.append(_placed(state, spans, found, now, places))
    return tuple(found)


def before_it(queue: Sequence[Turn], bake: str) -> tuple[Inside, ...]:
    """What has the oven, or is promised it, before a bake that is to be loaded."""
    own = next((n for n, turn in enumerate(queue) if turn.bake == bake and turn.when == "coming"), None)
    ahead = () if own is None else queue[:own]
    return tuple(turn.inside for turn in ahead if turn.bake != bake and turn.when == "coming")


def next_in(queue: Sequence[Turn], states: Sequence[BakeState]) -> tuple[str, ...]:
    """The letters of the doughs for which loading comes next, in the order of their turns."""
    after = {(state.id, state.current + 1) for state in states if state.current is not None}
    return tuple(turn.letter for turn in queue if turn.when == "coming" and (turn.bake, turn.stage) in after)


def _in_one_go(state: BakeState, now: Stamp) -> Iterator[tuple[Span, ...]]:
    """The bakes of a dough, its loads together; of one that is over only what was in the oven."""
    spans = outlook(state, state.now_s(now), lit=True) if state.begun else ()
    group: list[Span] = []
    for span in spans:
        if span.kind != "bake" or (state.closed is not None and state.stages[span.stage].begun_s is None):
            continue
        load = state.stage(span.stage).load
        if group and (load is None or load[0] == 1):
            yield tuple(group)
            group = []
        if group and span.when != group[-1].when and group[-1].when == "past":
            yield tuple(group)
            group = []
        group.append(span)
    if group:
        yield tuple(group)


def _ready_us(state: BakeState, span: Span, now: Stamp) -> int:
    """Since when a dough waits for the oven, or when it will be ready for it (UTC, µs)."""
    begin_us, coming = wall_us(state, span.begin_s, now), next_bake(state)
    if state.current is None or span.stage != state.current + 1 or coming is None:
        return begin_us
    if state.stage(state.current).kind != "hands":
        begin_us = min(begin_us, wall_us(state, coming[1], now))
    return begin_us - KEEPS_US if state.done(OvenTask("oven on", span.stage)) else begin_us


def _been(state: BakeState, spans: tuple[Span, ...], now: Stamp) -> Turn:
    first, last = spans[0], spans[-1]
    return Turn(
        state.id,
        state.letter,
        first.stage,
        wall_us(state, first.begin_s, now),
        wall_us(state, last.end_s, now),
        heat_now_c(state, first.stage, state.now_s(now)),
        last_heat_c(state, last.stage),
        oven_places(state.formula, state.batch),
        "now" if first.when == "now" else "past",
        off=state.done(OvenTask("oven off", last.stage)),
    )


def _set_for(state: BakeState, now: Stamp) -> Turn | None:
    """An oven that was set for a bake to come, for the others: at that heat since then, and until now at the least."""
    told = told_for_c(state)
    on = None if told is None else state.mark(OvenTask("oven on", told[0]))
    if told is None or on is None:
        return None
    index, heat_c = told
    at_us = wall_us(state, on.at_s, now)
    return Turn(state.id, state.letter, index, at_us, max(at_us, now.wall_us), heat_c, heat_c, 0, "past")


def _placed(state: BakeState, spans: tuple[Span, ...], taken: Sequence[Turn], now: Stamp, places: int) -> Turn:
    """A bake to come, as soon as what goes before it leaves it a place, at its own heat."""
    first, last = spans[0], spans[-1]
    begin_us, length_us = wall_us(state, first.begin_s, now), round((last.end_s - first.begin_s) * SECOND_US)
    begin_us = max([begin_us, *(turn.end_us for turn in taken if turn.bake == state.id)])
    there = [turn.inside for turn in taken if turn.when != "past" and turn.bake != state.id]
    begin_us = max(begin_us, _free_us(state, first.stage, begin_us, there, places))
    before = _kept_from(state, first.stage, begin_us, taken)
    begin_us = max(begin_us, _at_its_heat_us(state, first.stage, before, begin_us, now))
    heats = first_heat_c(state, first.stage), last_heat_c(state, last.stage)
    needs = oven_places(state.formula, state.batch)
    end_us = begin_us + length_us
    return Turn(state.id, state.letter, first.stage, begin_us, end_us, *heats, needs, "coming", before)


def _free_us(state: BakeState, index: int, at_us: int, there: Sequence[Inside], places: int) -> int:
    """When there is a place from ``at_us`` on (UTC, µs)."""
    left = sorted((one for one in there if one.out_us >= at_us), key=lambda one: (one.out_us, one.letter))
    while left and no_room(state, index, left, places) is not None:
        at_us = left.pop(0).out_us
    return at_us


def _kept_from(state: BakeState, index: int, begin_us: int, taken: Sequence[Turn]) -> Turn | None:
    """The turn that the oven is kept hot from for a bake: the last that is out before it, if the gap is not too long.

    A gap longer than heating up afresh is not bridged: the oven is off in between, if that is worth it and it cools.
    """
    heat_c, oven = first_heat_c(state, index), state.kitchen.oven
    others = [turn for turn in taken if turn.bake != state.id and turn.out_c is not None and not turn.off]
    last = max(others, key=lambda turn: (turn.end_us, turn.begin_us, turn.letter), default=None)
    if heat_c is None or last is None or last.out_c is None:
        return None
    fresh_s = heat_up_s(state.kitchen.room_c, heat_c, heat_up_s=oven.heat_up_s)
    off_s = least_off_s(oven, last.out_c, heat_c)
    return last if begin_us - last.end_us < (fresh_s + off_s) * SECOND_US else None


def _at_its_heat_us(state: BakeState, index: int, before: Turn | None, begin_us: int, now: Stamp) -> int:
    """When the oven has the heat of a bake (UTC, µs), as far as it was told."""
    heat_c, now_s = first_heat_c(state, index), state.now_s(now)
    if heat_c is None or kept_hot_c(state, index) is not None or state.done(OvenTask("oven hot", index)):
        return begin_us
    if before is None or before.out_c is None:
        return wall_us(state, hot_at_s(state, index, now_s), now)
    needs_s = takes_s(state, heat_c, before.out_c)
    if needs_s < SAME_HEAT_S:
        return begin_us
    if state.done(OvenTask("oven on", index)):
        return wall_us(state, hot_at_s(state, index, now_s), now)
    return max(now.wall_us, before.end_us) + round(needs_s * SECOND_US)
