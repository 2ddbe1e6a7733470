"""The plan beside the bench: made again after whatever was said, told in one line, and asked about, never imposed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from proofbell.app.planning.by_plan import by_plan
from proofbell.app.planning.planner_thread import Planning
from proofbell.app.session.local_time import ahead_us, hour_minute
from proofbell.bake import intents
from proofbell.bake.decisions.said import left_as_s
from proofbell.bake.intents import Intent
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.board import Board
from proofbell.bench.plan.as_planned import plans_beside
from proofbell.bench.plan.planning_problem import StageOf, capacity_of, problem_of
from proofbell.bench.plan.proposals import WORTH_ASKING_S, Moved, Proposal, as_of, moved, proposals, still_open
from proofbell.bench.plan.timetable import BakeTimes, Timetable, bake_times, timetable
from proofbell.bench.wall import wall_us
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.nights import nights
from proofbell.planner.plan import Plan
from proofbell.planner.repair.minimal_change import uncoordinated_times

SETTLED_US = 1_500_000
"""A plan that nothing better has followed for so long is told, or at once when the planner rests."""

UNDER_THE_FINGER_US = 2_000_000
"""Whoever answers so shortly after a question took another's place means the other: common practice, no source."""

ASK_AGAIN_US = 10_000_000
"""By one plan it is looked so often what to ask: it takes tens of milliseconds with twelve doughs."""

OVERRUN_S = 600
"""Every so many seconds that a stage runs over, the rest is planned again."""

AGAIN_US = 30 * 60 * 1_000_000
"""So often the rest is planned again while nobody says anything."""


@dataclass(frozen=True, slots=True)
class Told:
    """A line about one dough, or, without a letter, about the planner itself."""

    letter: str
    words: str


Call = Callable[[Callable[[], None]], object]


class Replanning:
    """Follows the bench. ``kitchen`` gives its facts as they are now; ``call`` runs something in the screen's thread.

    ``at_rest``: all that was asked of the planner is answered. ``intends``: where the plan has a bake at another hour
    than the bench has it, a line for each; it asks when the stage comes up. ``planned``: each bake (id) as the plan has
    it; while the next is made, as the last one had it.
    """

    def __init__(self, kitchen: Callable[[], Kitchen], call: Call) -> None:
        self._kitchen = kitchen
        self._call = call
        self._planning = Planning(self._better, self._no_better, self._broke_down)
        self._key: object = None
        self._origins: dict[int, int] = {}
        self._wished_us: dict[str, int | None] = {}
        self._found: Plan | None = None
        self._told: Timetable | None = None
        self._shown: Timetable | None = None
        self._holds: Timetable | None = None
        self._fresh: tuple[Timetable, int] | None = None
        self._real_us = 0
        self._fault = ""
        self._stood: tuple[Proposal, int] | None = None
        self._changed_us: int | None = None
        self._asked_by: Timetable | None = None
        self._asked_us = 0
        self._laid: tuple[object, object, Board] | None = None
        self.proposals: tuple[Proposal, ...] = ()
        self.intends: tuple[Told, ...] = ()
        self.planned: Mapping[str, BakeTimes] = {}
        self.at_rest = True

    def look(self, states: Sequence[BakeState], board: Board, real_us: int) -> tuple[Told, ...]:
        """Look at the bench at a moment; returns what moved since it was last told, a line for each bake."""
        self._real_us = real_us
        live = [state for state in states if state.closed is None]
        key = (
            capacity_of(self._kitchen()),
            self._kitchen().quiet,
            board.now.wall_us // AGAIN_US,
            tuple((state.id, state.last.number) for state in live),
            tuple(ring.bake for ring in board.rings if ring.prompt.over),
            max((board.now.wall_us - r.at_us for r in board.rings if r.prompt.over), default=0)
            // (OVERRUN_S * 1_000_000),
            tuple(int((view.seconds - view.length_s) // OVERRUN_S) for view in board.views if view.mode == "up"),
        )
        told: tuple[Told, ...] = ()
        if key != self._key:
            # A plan that was made for what was said before answers no question any more.
            self._key, self._holds, self._fresh, self.intends = key, None, None, ()
            if _meet(live, self._kitchen()):
                told = self._ask(live, board.now, _origin_us(live, board))
            else:
                self._told, self._fresh, self._found, self.proposals, self.intends = None, None, None, (), ()
                self.planned = {}
        self._settle(live, board.now)
        self.proposals = self._wanted(live, board.now)
        self._note_what_stands(real_us)
        return self._fault_told() or told

    def laid(self, board: Board, states: Sequence[BakeState]) -> Board:
        """A moment with what is to come where the plan has it; worked out once, as several parts show it."""
        key = id(board), id(self.planned), tuple(map(id, states))
        if self._laid is None or self._laid[0] != key:
            # What the key names is kept with it, so that no other comes to have its place.
            self._laid = key, (board, self.planned, tuple(states)), by_plan(board, states, self.planned)
        return self._laid[2]

    def _note_what_stands(self, real_us: int) -> None:
        """Remember the question that is shown, and since when it stands in the place of another."""
        one = self.proposals[0] if self.proposals else None
        if one is None:
            return
        before, before_us = self._stood or (one, real_us)
        if (one.bake, one.done) != (before.bake, before.done) and real_us - before_us <= UNDER_THE_FINGER_US:
            self._changed_us = real_us
        self._stood = one, real_us

    def changed_just_now(self, real_us: int) -> bool:
        """Whether the question took another's place so shortly before that an answer is meant for the other one."""
        self._note_what_stands(real_us)
        return self._changed_us is not None and real_us - self._changed_us < UNDER_THE_FINGER_US

    def _wanted(self, live: Sequence[BakeState], now: Stamp) -> tuple[Proposal, ...]:
        """What to ask now; until the new plan is there, what was asked and still can be answered."""
        fresh = self._asked_by is self._holds and 0 <= now.wall_us - self._asked_us < ASK_AGAIN_US
        if self._holds is None or fresh:
            open_ = (one for one in self.proposals if still_open(one, live, now.wall_us))
            return tuple(as_of(one, live, now.wall_us) for one in open_)
        self._asked_by, self._asked_us = self._holds, now.wall_us
        settled, before = self._settled_by(live), self.proposals
        return proposals(live, self._holds, now.wall_us, settled, lambda us: hour_minute(us, now), before)

    def _ask(self, live: Sequence[BakeState], now: Stamp, origin_us: int) -> tuple[Told, ...]:
        """Ask for a plan from an origin on; what has moved on the bench since it was told is returned at once."""
        quiet = nights(self._kitchen(), origin_us, by_us=ahead_us(now))
        problem = problem_of((), self._kitchen(), origin_us, live, self._settled_by(live), quiet)
        number = self._planning.ask(plans_beside(problem, live, origin_us))
        self._origins, self.at_rest = {number: origin_us}, False
        self._wished_us = {
            state.letter: None if state.ready_by_s is None else state.wall_us(state.ready_by_s) for state in live
        }
        self._shown = Timetable(bake_times(problem, uncoordinated_times(problem), origin_us), ())
        # Whoever puts a bake on the bench, or moves its start, knows of it: only what has begun can surprise.
        begun = {state.letter for state in live if state.begun}
        found = [one for one in moved(self._told or self._shown, self._shown) if one.letter in begun]
        told = self._worth_telling(found, now)
        known = {} if told or self._told is None else {bake.letter: bake for bake in self._told.bakes}
        bakes = (known.get(bake.letter, bake) if bake.letter in begun else bake for bake in self._shown.bakes)
        self._told = Timetable(tuple(bakes), ())
        return told

    def _settled_by(self, live: Sequence[BakeState]) -> frozenset[StageOf]:
        """What a no has settled, until a reading or the baker's hand changes the stage."""
        return frozenset(
            (state.id, index)
            for state in live
            for index, run in enumerate(state.stages)
            if run.declined_s is not None and run.declined_s == left_as_s(state, index)
        )

    def _better(self, number: int, plan: Plan) -> None:
        """Called in the planner's thread."""
        self._call(lambda: self._took(number, plan))

    def _no_better(self, number: int) -> None:
        """Called in the planner's thread."""
        self._call(lambda: self._rest(number))

    def _rest(self, number: int) -> None:
        self.at_rest = number in self._origins

    def _broke_down(self, number: int, fault: Exception) -> None:
        """Called in the planner's thread."""
        words = f"The plan has stopped after an internal error ({type(fault).__name__}). Your doughs keep running."

        def told() -> None:
            self._fault, self.planned = words, {}
            self._rest(number)

        self._call(told)

    def _fault_told(self) -> tuple[Told, ...]:
        """What broke down, said once."""
        words, self._fault = self._fault, ""
        return (Told("", words),) if words else ()

    def _took(self, number: int, plan: Plan) -> None:
        origin_us = self._origins.get(number)
        # The plan that changes little is chosen again for each better one; it has been there since the first.
        if origin_us is not None and plan is not self._found:
            self._found = plan
            table = timetable(plan, origin_us)
            bakes = tuple(replace(bake, wanted_us=self._wished_us.get(bake.letter)) for bake in table.bakes)
            self._fresh = (replace(table, bakes=bakes), self._real_us)

    def _settle(self, live: Sequence[BakeState], now: Stamp) -> None:
        """Take a plan that nothing better has followed for a while as the one that holds."""
        if self._fresh is None or not (self.at_rest or self._real_us - self._fresh[1] >= SETTLED_US):
            return
        table = self._holds = self._fresh[0]
        self._fresh = None
        times = {bake.letter: bake for bake in table.bakes}
        self.planned = {state.id: times[state.letter] for state in live if state.letter in times}
        found = () if self._shown is None else moved(self._shown, table)
        self.intends = tuple(replace(one, words=f"The plan: {one.words}") for one in self._worth_telling(found, now))

    def _worth_telling(self, found: Sequence[Moved], now: Stamp) -> tuple[Told, ...]:
        """In words and whole minutes. What is not worth a question is not worth a word, until it has grown."""
        told = [one for one in found if abs(one.by_s) >= WORTH_ASKING_S and one.at_us > now.wall_us]
        whole = [replace(one, by_s=round(one.by_s / 60) * 60) for one in told]
        return tuple(Told(one.letter, one.words(hour_minute(one.at_us, now))) for one in whole)

    def yes(self) -> tuple[str, Intent] | None:
        """What to say to which bake for the first proposal; it is asked no more."""
        if not self.proposals:
            return None
        one, self.proposals = self.proposals[0], self.proposals[1:]
        if one.stage is None:
            return one.bake, intents.PlanStart(one.to_s, "the plan")
        return one.bake, intents.Accept(one.stage, one.to_s, one.reason, one.place_c)

    def no(self) -> tuple[str, Intent] | None:
        """What to say to which bake for the first proposal to be declined; the rest is planned again."""
        if not self.proposals:
            return None
        one, self.proposals = self.proposals[0], self.proposals[1:]
        return one.bake, intents.Decline(one.stage or 0)

    def close(self) -> None:
        """End the planner's thread."""
        self._planning.close()


def _meet(live: Sequence[BakeState], kitchen: Kitchen) -> bool:
    """Whether there is anything to plan: doughs that may meet each other, or one that may meet the quiet hours."""
    return len(live) > 1 or bool(live and kitchen.quiet)


def _origin_us(live: Sequence[BakeState], board: Board) -> int:
    """The moment (UTC, µs) that a plan asked for now begins at: that of what it is asked for.

    Each window plans by itself, and sees what was said in another a moment later, or is opened later: from one moment
    they plan the same.
    """
    now_us, every_us = board.now.wall_us, OVERRUN_S * 1_000_000
    said = [wall_us(state, state.times_us[-1] / 1_000_000, board.now) for state in live]
    over = [ring.at_us for ring in board.rings if ring.prompt.over]
    over += [view.until_us for view in board.views if view.mode == "up" and view.until_us is not None]
    begun = [now_us - (now_us - at_us) % every_us for at_us in over]
    return max(at_us for at_us in (*said, *begun, now_us - now_us % AGAIN_US) if at_us <= now_us)
