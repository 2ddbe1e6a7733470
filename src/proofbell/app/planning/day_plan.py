"""The day that is being planned: which bakes, how big, when wanted, and what was moved by hand. No screen in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import accumulate

from proofbell.app.session.local_time import wall
from proofbell.bake.decisions.as_opened import as_opened, halves, in_its_places
from proofbell.bake.events import LETTERS
from proofbell.bake.intents import Accept
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import Batch
from proofbell.bake.weigh.in_bowl import in_bowl_g
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import BakeTimes
from proofbell.clock import offset_min
from proofbell.clock_changes import moment_us
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.journal.learning.use import Use
from proofbell.kitchen.model import Kitchen
from proofbell.moment_text import is_span
from proofbell.nights import nights
from proofbell.planner.changes import Split
from proofbell.planner.clashes import WayOut
from proofbell.planner.plan import Plan
from proofbell.planner.problem import Chain, Problem

MOVE_US = 5 * 60 * 1_000_000
"""A start is moved by five minutes at a time."""


@dataclass(frozen=True, slots=True)
class Planned:
    """One bake of the plan. ``plan_formula`` and ``kitchen`` are as past bakes have shown them.

    ``ready_us`` (UTC) is its own wish, ``moved_us`` how far it was moved by hand from where it began (``begins_us``),
    ``longest`` the steps of its chain that may last longer than they forgive, and for how long (s). ``bake`` is the id
    of one that is on the bench already, with nothing weighed or begun; empty for a new one.
    """

    letter: str
    formula: Formula
    batch: Batch
    plan_formula: Formula
    kitchen: Kitchen
    ready_us: int | None = None
    moved_us: int = 0
    begins_us: int | None = None
    longest: tuple[tuple[int, int], ...] = ()
    bake: str = ""

    @property
    def is_asked(self) -> bool:
        """Whether it is not on the bench as it stands here."""
        return not self.bake or self.ready_us is not None or self.moved_us != 0

    @property
    def halves(self) -> tuple[Formula, ...]:
        """What the plan is made of where it is made as two half batches; none where that makes no sense.

        The plan's formula is in its places already: only what it takes of the oven is another number.
        """
        if self.bake:
            return ()
        oven, parts = self.plan_formula.oven, halves(self.formula, self.batch, self.kitchen)
        each = (replace(oven, trays=oven_places(self.formula, part)) for part in parts)
        return tuple(replace(self.plan_formula, oven=one) for one in each)


@dataclass(frozen=True, slots=True)
class PlanDay:
    """All that is asked of the planner. ``ready_us`` is for every bake that has no wish of its own.

    ``awake``: hands at any hour, in the kitchen's quiet ones too.
    """

    kitchen: Kitchen
    bakes: tuple[Planned, ...] = ()
    ready_us: int | None = None
    awake: bool = False

    def wanted_us(self, bake: Planned) -> int | None:
        """When a bake is wanted, without what was moved by hand."""
        return self.ready_us if bake.ready_us is None else bake.ready_us

    @property
    def is_asked(self) -> bool:
        """Whether anything of it is not on the bench as it stands here."""
        return (self.ready_us is not None and bool(self.bakes)) or any(bake.is_asked for bake in self.bakes)

    @property
    def anybody_waits(self) -> bool:
        """Whether any bake is wanted at an hour."""
        return any(self.wanted_us(bake) is not None for bake in self.bakes)

    def late(self, plan: Plan, origin_us: int) -> tuple[str, ...]:
        """Which are ready a minute or more after they are wanted, also where a bake was moved by hand."""
        own = {bake.letter: self.wanted_us(bake) for bake in self.bakes}
        found: list[str] = []
        for chain, times in zip(plan.problem.chains, plan.times, strict=True):
            wanted_us = own.get(chain.letter)
            by_s = chain.ready_by_s if wanted_us is None else (wanted_us - origin_us) / 1_000_000
            if by_s is not None and times.ready_s - by_s >= 60:
                found.append(chain.letter)
        return tuple(found)

    def with_bake(
        self, formula: Formula, batch: Batch, taken: Sequence[str], known: Use | None = None
    ) -> PlanDay | None:
        """One bake more, at the first letter that is free; None when there is none. ``known``: what was learned."""
        used = {*taken, *(bake.letter for bake in self.bakes)}
        letter = next((one for one in LETTERS if one not in used), None)
        if letter is None:
            return None
        plan_formula, kitchen = (formula, self.kitchen) if known is None else (known.plan_formula, known.kitchen)
        plan_formula = in_its_places(plan_formula, batch, kitchen)
        added = Planned(letter, formula, batch, plan_formula, kitchen)
        return replace(self, bakes=tuple(sorted((*self.bakes, added), key=lambda bake: bake.letter)))

    def without(self, letter: str) -> PlanDay:
        """One bake less."""
        return replace(self, bakes=tuple(bake for bake in self.bakes if bake.letter != letter))

    def with_bench(self, states: Sequence[BakeState]) -> PlanDay:
        """The day with those of the bench that wait for nothing but their begin: they may have any hour yet.

        One that has begun since, or has gone, is the day's no more; what was wanted of one that still waits is kept.
        """
        waiting = {state.id: state for state in states if _may_begin_at_any_hour(state)}
        kept = [bake for bake in self.bakes if not bake.bake or bake.bake in waiting]
        known = {bake.bake for bake in kept}
        added = (_of_bench(state) for name, state in waiting.items() if name not in known)
        taken = [state.letter for state in states if state.closed is None]
        return replace(self, bakes=(*kept, *added)).lettered(taken)

    def lettered(self, taken: Sequence[str]) -> PlanDay:
        """The bakes with the letters that they will get on the bench, or have there."""
        free = (letter for letter in LETTERS if letter not in taken)
        there, new = [bake for bake in self.bakes if bake.bake], [bake for bake in self.bakes if not bake.bake]
        there += [replace(bake, letter=letter) for bake, letter in zip(new, free, strict=False)]
        return replace(self, bakes=tuple(sorted(there, key=lambda bake: bake.letter)))

    def with_ready(self, letter: str, ready_us: int | None) -> PlanDay:
        """A wish of its own for one bake; what was moved by hand is forgotten."""
        return self._changed(letter, lambda bake: replace(bake, ready_us=ready_us, moved_us=0, begins_us=None))

    def moved(self, letter: str, by_us: int, begins_us: int | None) -> PlanDay:
        """One bake moved by hand; it begins at ``begins_us`` (UTC) now."""

        def move(bake: Planned) -> Planned:
            return replace(
                bake, moved_us=bake.moved_us + by_us, begins_us=bake.begins_us if bake.moved_us else begins_us
            )

        return self._changed(letter, move)

    def _changed(self, letter: str, change: Callable[[Planned], Planned]) -> PlanDay:
        return replace(self, bakes=tuple(change(bake) if bake.letter == letter else bake for bake in self.bakes))

    def problem(self, origin_us: int, live: Sequence[BakeState], by_us: int = 0) -> Problem:
        """What the planner is asked, beside the bakes that are live.

        ``by_us``: how much later than this machine's clock the kitchen's own stands (µs).
        """
        wanted_us = max((us for bake in self.bakes if (us := self.wanted_us(bake)) is not None), default=None)
        quiet = () if self.awake else nights(self.kitchen, origin_us, wanted_us, by_us)
        wishes = [self._wish(bake, origin_us) for bake in self.bakes]
        ours = {bake.bake for bake in self.bakes}
        fixed = [state for state in live if state.id not in ours]
        asked = problem_of(wishes, self.kitchen, origin_us, fixed, quiet=quiet)
        longest = {bake.letter: dict(bake.longest) for bake in self.bakes if bake.longest}
        return replace(asked, chains=tuple(_longer(chain, longest.get(chain.letter, {})) for chain in asked.chains))

    def by_way(self, before: Problem, way: WayOut, origin_us: int) -> PlanDay:
        """The day with a way out taken: what the way's plan was made for, against what was asked before."""
        after = way.plan.problem
        day = replace(self, kitchen=replace(self.kitchen, hands=after.capacity.people))
        if isinstance(way.change, Split):
            return day._halved(way.change)
        for chain in before.chains:
            now = after.by_letter.get(chain.letter)
            if now is None:
                day = day.without(chain.letter)
            elif now.ready_by_s != chain.ready_by_s and now.ready_by_s is not None:
                day = day.with_ready(chain.letter, origin_us + now.ready_by_s * 1_000_000)
            elif now.steps != chain.steps:
                pairs = zip(chain.steps, now.steps, strict=True)
                longest = tuple((at, new.most_s) for at, (old, new) in enumerate(pairs) if old != new)
                day = day._with_longest(chain.letter, longest)
        return day

    def _halved(self, change: Split) -> PlanDay:
        """With one bake as half batches; each is wanted when it was."""
        found: list[Planned] = []
        for bake in self.bakes:
            parts = halves(bake.formula, bake.batch, bake.kitchen) if bake.letter == change.letter else ()
            formulas = bake.halves
            found += [
                replace(bake, letter=letter, batch=batch, plan_formula=formula, longest=())
                for letter, batch, formula in zip(change.parts, parts, formulas, strict=False)
            ] or [bake]
        return replace(self, bakes=tuple(sorted(found, key=lambda bake: bake.letter)))

    def _with_longest(self, letter: str, longest: tuple[tuple[int, int], ...]) -> PlanDay:
        return self._changed(letter, lambda bake: replace(bake, longest=(*bake.longest, *longest)))

    def _wish(self, bake: Planned, origin_us: int) -> Wish:
        wanted_us = self.wanted_us(bake)
        if wanted_us is None:
            # Nobody said when: a move to later is a start that is held back.
            held_us = origin_us + max(0, bake.moved_us)
            return Wish(bake.letter, bake.plan_formula, None, held_us, bake.halves)
        # Moved to later it begins later too, whatever a longer proof would leave room for.
        held = bake.moved_us > 0 and bake.begins_us is not None
        not_before_us = (bake.begins_us or 0) + bake.moved_us if held else None
        return Wish(bake.letter, bake.plan_formula, wanted_us + bake.moved_us, not_before_us, bake.halves)


def _longer(chain: Chain, longest: Mapping[int, int]) -> Chain:
    if not longest:
        return chain
    steps = (replace(step, most_s=max(step.most_s, longest.get(at, 0))) for at, step in enumerate(chain.steps))
    return replace(chain, steps=tuple(steps))


def _may_begin_at_any_hour(state: BakeState) -> bool:
    """Whether a bake is on the bench and nobody has said when it begins, nor weighed anything of it."""
    idle = state.closed is None and not state.begun and state.start_s is None
    return idle and not any(in_bowl_g(state))


def _of_bench(state: BakeState) -> Planned:
    """A bake that waits on the bench, as it may be planned; with the hour that it is wanted at, if it has one."""
    ready_us = None if state.ready_by_s is None else state.wall_us(state.ready_by_s)
    formula = in_its_places(state.formula, state.batch, state.kitchen)
    return Planned(state.letter, state.formula, state.batch, formula, state.kitchen, ready_us, bake=state.id)


TIMED = ("proof", "rest", "chill", "bake")
WHY = "The plan's length, for oven and hands."


def agreed(bake: Planned, times: BakeTimes) -> tuple[Accept, ...]:
    """What the baker agrees to by beginning the plan: the lengths that it stretches, and the proofs in the cold."""
    found: list[Accept] = []
    opened = as_opened(bake.formula, bake.batch, bake.kitchen).stages
    # On the bench each load is a stage.
    places = accumulate((max(1, len(line.loads)) for line in times.lines), initial=0)
    for place, stage, run, line in zip(places, bake.formula.stages, opened, times.lines, strict=False):
        to_s = round(line.seconds / 60) * 60.0
        # What cools for longer rings at its own time and stands then; of a batch wider than the oven each load bakes
        # for as long as the formula says.
        sooner = stage.kind == "cool" and to_s < run.length_s
        if not (stage.kind in TIMED or sooner) or to_s <= 0 or len(line.loads) > 1:
            continue
        place_c = stage.chill_instead.place_c if line.cold and stage.chill_instead is not None else None
        if abs(to_s - run.length_s) >= 60 or place_c is not None:
            found.append(Accept(place, to_s, WHY, place_c))
    return tuple(found)


def read_hour(typed: str, now: Stamp) -> int | None:
    """The hour (UTC, µs) that somebody typed, as the kitchen's clock has it; None for nothing.

    Raises:
        Failure: it is no hour, or one that the clocks skip.
    """
    if not typed.strip():
        return None
    here = wall(now.wall_us, now).replace(tzinfo=None)
    typed_us = moment_us(typed, here, now.wall_us)
    if is_span(typed):
        return typed_us
    # The stamp's own offset holds, should the kitchen's clock stand otherwise than this machine's.
    return typed_us + (offset_min(now.wall_us) - now.offset_min) * 60_000_000
