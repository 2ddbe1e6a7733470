"""What the words "done" and "longer" mean for a bake at a moment: the same from the bench's keys and from outside."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.core import longer_s
from proofbell.bake.decisions.ask_first import long_before_its_start, time_left
from proofbell.bake.fermenting.place import ROOM
from proofbell.bake.fermenting.short_rise import rise_longer_s
from proofbell.bake.fermenting.warming import warms_first
from proofbell.bake.intents import Intent
from proofbell.bake.outlook import planned
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bake.weigh.in_loads import in_loads
from proofbell.bench.board import Board
from proofbell.bench.wall import wall_us
from proofbell.frozen import dataclass

BY_HAND_S = 300.0
"""Longer and shorter by hand go by five minutes."""

IN_A_MOMENT_S = 60.0
"""What the list has at this minute is done as it is about to call: common practice, no source."""

TWICE_US = 2_000_000
"""A switch that bounces presses again within this. A program takes a part of a second to start: longer than a key."""


@dataclass(frozen=True, slots=True)
class Meant:
    """What is to be said of the bake, and what is asked before.

    ``start_us``: the planned start (UTC, µs) of a bake that would begin long before it, which is asked, too.
    ``prompt``: what a small task answers.
    """

    intent: Intent
    questions: tuple[str, ...] = ()
    start_us: int | None = None
    prompt: Prompt | None = None


def done_means(state: BakeState, board: Board) -> Meant:
    """What is asked first is answered: begin, a small thing at the oven; else the running stage is over.

    Who is asked to load when the oven is hot has loaded: that it is hot is said with it. Far from its end a small
    thing that is due in a moment is meant, and not that end. A dough that is to warm before it is baked is out of the
    cold with it, and goes on proofing in the room.
    """
    view = board.of(state.id)
    first = None if view is None or not view.wants else view.wants[0]
    if state.closed is not None and first is not None and isinstance(first.task, OvenTask):
        return Meant(intents.Task(first.task), prompt=first)
    if state.current is None or (first is not None and first.kind == "start" and first.stage in state.may_begin):
        return Meant(intents.Begin(), start_us=_long_before_us(state, board))
    if first is not None and isinstance(first.task, OvenTask) and not first.ends:
        return Meant(intents.Task(first.task), prompt=first)
    now_s = state.now_s(board.now)
    early = time_left(state, state.current, now_s)
    soon = next((each for each in ([] if view is None else view.coming) if each.due_s - now_s < IN_A_MOMENT_S), None)
    if early and soon is not None and isinstance(soon.task, OvenTask) and not board.asks_of_oven(state, soon.task):
        return Meant(intents.Task(soon.task), prompt=soon)
    if warms_first(state, state.current, now_s):
        return Meant(intents.Move(ROOM), early)
    return Meant(intents.Done(), board.asks_first(state))


def longer_by_s(state: BakeState, now_s: float) -> float:
    """How much longer (s): as much as a core that was read too low or a short rise asks for; else five minutes."""
    return longer_s(state, now_s) or rise_longer_s(state, now_s) or BY_HAND_S


def left_if_over_s(state: BakeState, by_s: float, now_s: float) -> float | None:
    """What the running stage has left (s) where ``by_s`` (below 0: shorter) ends it; None where it goes on."""
    due_s = None if state.current is None else state.stages[state.current].due_s
    return None if due_s is None or not 0 < due_s - now_s <= -by_s else due_s - now_s


def _long_before_us(state: BakeState, board: Board) -> int | None:
    if state.start_s is None or not long_before_its_start(state, state.now_s(board.now)):
        return None
    return wall_us(state, state.start_s, board.now)


def night_hands_us(state: BakeState, now: Stamp, quiet: Sequence[tuple[int, int]]) -> int | None:
    """When a bake begun now, before its planned start, first wants hands in one of the ``quiet`` spans (UTC, µs)."""
    if state.start_s is None:
        return None
    sooner_s = state.start_s - state.now_s(now)
    moments = (
        wall_us(state, span.begin_s - sooner_s, now) for span in planned(state) if span.kind in ("hands", "bake")
    )
    return next((at_us for at_us in moments if any(begin_us <= at_us < end_us for begin_us, end_us in quiet)), None)


def is_same_opening(state: BakeState, opening: intents.Open, pressed: Stamp) -> bool:
    """Whether a bake was opened by the same word a moment ago; see `is_same_press`."""
    if _too_late(state.opened, pressed):
        return False
    return (state.formula, state.batch) == in_loads(opening.formula, opening.batch, opening.kitchen.oven.trays)


def is_same_press(state: BakeState, intent: Intent, pressed: Stamp) -> bool:
    """Whether a word from outside is an earlier one come twice, from a switch that bounces.

    A bake begun as it was opened was begun by ``start``: a "done" after that is another word.
    ``pressed`` is when the program that hands it in began. Who means two stages waits two seconds between them.
    """
    for event in reversed(state.events):
        if _too_late(event.stamp, pressed):
            return False
        if event.number not in state.undone and _is_such_a_word(event.body, intent):
            by_start = isinstance(event.body, kinds.StageBegun) and not _too_late(state.opened, event.stamp)
            return not (by_start and isinstance(intent, intents.Done))
    return False


def _too_late(said: Stamp, pressed: Stamp) -> bool:
    return said.boot_id != pressed.boot_id or pressed.boot_us - said.boot_us >= TWICE_US


def _is_such_a_word(body: kinds.Body, intent: Intent) -> bool:
    if isinstance(intent, intents.Longer):
        if not isinstance(body, kinds.TimeAdjusted) or body.by != "hand":
            return False
        return abs(body.to_s - body.from_s - intent.by_s) < 1
    if isinstance(body, kinds.TaskDone):
        return body.done and isinstance(body.task, OvenTask)
    return isinstance(body, kinds.StageBegun | kinds.StageEnded | kinds.DoughMoved)
