"""What a new plan moves, in one line for each bake, and what it would like the baker to agree to."""

from __future__ import annotations

from collections.abc import Callable, Container, Sequence
from dataclasses import replace

from proofbell.bake.advice.butter import goes_on_now_s, to_chill_s
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.warming import warming
from proofbell.bake.outlook import next_to_begin
from proofbell.bake.state import BakeState
from proofbell.bench.planning_problem import StageOf
from proofbell.bench.timetable import BakeTimes, Line, Timetable
from proofbell.bench.waits_for import makes_way, nobody_until
from proofbell.frozen import dataclass
from proofbell.moment_text import MINUTE_US
from proofbell.planner.repair.stability import TOLERANCE_S
from proofbell.words import length, told_length

WORTH_SAYING_S = 60
"""Less than a minute is not worth a baker's attention."""

WORTH_ASKING_S = TOLERANCE_S
"""A dough that waits less than this takes no harm, so nobody is asked for less."""

ASK_START_S = 20 * 60
"""A start is asked about when it is so near; until then readings will move it again."""

KEPT_S = 15 * 60.0
"""A stage in the cold, or a rest, that a plan moves by less is not asked about: common practice, no source."""

MOVES_S = 5 * 60.0
"""A question keeps its figure until the plan's has moved by so much: common practice, no source."""

TIMED = ("proof", "rest", "chill")
"""What a plan may ask for: a bake ends by its core temperature."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A stage that begins ``by_s`` seconds later than it was to (earlier when negative), now at ``at_us`` (UTC, µs)."""

    letter: str
    what: str
    by_s: int
    at_us: int

    def words(self, clock: str) -> str:
        """``B: oven 8 min later, at 11:02``. ``clock`` is the moment as the kitchen's clock shows it."""
        way = "later" if self.by_s > 0 else "earlier"
        return f"{self.letter}: {self.what} {length(abs(self.by_s))} {way}, at {clock}"


@dataclass(frozen=True, slots=True)
class Proposal:
    """A length, or a start, that the plan would like and only the baker can give.

    ``stage`` is None for a start; then ``to_s`` is the wait until it from the plan's own moment, ``from_s`` the wait
    as it stands. ``place_c``: it is to stand there (°C), in the cold. ``because``: which dough it makes way for.
    """

    bake: str
    letter: str
    stage: int | None
    name: str
    from_s: float
    to_s: float
    kind: str = ""
    place_c: float | None = None
    because: str = ""

    @property
    def words(self) -> str:
        """``B: final proof 8 min longer, 50 min → 58 min?``, as a question."""
        if self.stage is None:
            return self.short
        return f"{self.short[:-1]}, {told_length(self.from_s)} → {told_length(self.to_s)}?"

    @property
    def short(self) -> str:
        """``B: final proof 8 min longer?``, for a narrow place."""
        by = length(max(60, round(abs(self.to_s - self.from_s) / 60) * 60))
        if self.stage is None:
            return f"Begin {self.letter} {by} {'later' if self.to_s > self.from_s else 'earlier'}?"
        name = self.name[:1].lower() + self.name[1:]
        if self.place_c is not None:
            return f"{self.letter}: {name} in the cold?"
        return f"{self.letter}: {name} {by} {'longer' if self.to_s > self.from_s else 'shorter'}?"

    @property
    def asked(self) -> tuple[str, ...]:
        """The question in ever fewer words: ``B: rest 8 min longer? E has the hands until 07:17.`` at its longest."""
        whole = (self.words, self.short)
        return (*(f"{one} {self.because}." for one in whole), *whole) if self.because else whole

    @property
    def reason(self) -> str:
        """The sentence that goes into the log."""
        way = "longer" if self.to_s > self.from_s else "shorter"
        why = f": {self.because}." if self.because else ", for oven and hands."
        if self.place_c is not None:
            return f"{length(self.to_s)} in the cold{why}"
        return f"{told_length(abs(self.to_s - self.from_s))} {way}{why}"

    def as_asked(self, before: Sequence[Proposal]) -> Proposal:
        """The same with the figure that it was asked with ``before``, unless it has moved by much since."""
        by_s = self.to_s - self.from_s
        for old in before:
            same = (old.bake, old.stage, old.place_c) == (self.bake, self.stage, self.place_c)
            was_s = old.to_s - old.from_s
            # What is left until a start grows less by itself.
            same = same and (self.stage is None or old.from_s == self.from_s)
            if same and by_s * was_s > 0 and abs(by_s - was_s) < MOVES_S:
                return replace(self, to_s=self.from_s + was_s)
        return self


def moved(before: Timetable, after: Timetable) -> tuple[Moved, ...]:
    """One line for each bake whose oven time, or else whose next stage, is no longer where it was."""
    known = {bake.letter: bake for bake in before.bakes}
    found = [_moved(known[bake.letter], bake) for bake in after.bakes if bake.letter in known]
    return tuple(one for one in found if one is not None)


def _moved(before: BakeTimes, after: BakeTimes) -> Moved | None:
    pairs = [
        (old, new)
        for old, new in zip(before.lines, after.lines, strict=False)
        if not new.past and old.name == new.name and _shift_s(old, new)
    ]
    if not pairs:
        return None
    old, new = next(((o, n) for o, n in pairs if n.kind == "bake"), pairs[0])
    what = "oven" if new.kind == "bake" else new.name[:1].lower() + new.name[1:]
    return Moved(after.letter, what, _shift_s(old, new), new.begins_us)


def _shift_s(old: Line, new: Line) -> int:
    shift = (new.begins_us - old.begins_us) // 1_000_000
    return shift if abs(shift) >= WORTH_SAYING_S else 0


def proposals(
    states: Sequence[BakeState],
    table: Timetable,
    origin_us: int,
    settled: Container[StageOf] = (),
    clock: Callable[[int], str] | None = None,
) -> tuple[Proposal, ...]:
    """What the plan would like changed: at most one thing for each bake, the nearest first.

    It is asked when it comes up and not before: a start when it is near, a length while its stage runs. What the
    baker has said of a stage, or of a start that is ``settled``, is not asked about again. With ``clock`` (a moment,
    UTC µs, as the kitchen's has it) each says which dough it makes way for.
    """
    found: list[tuple[int, Proposal]] = []
    times = {bake.letter: bake for bake in table.bakes}
    for state in states:
        bake = times.get(state.letter)
        if bake is None or state.closed is not None:
            continue
        lengths = (
            _cold(state, index, bake, settled) or _length(state, index, bake, table, origin_us, settled)
            for index in state.running
        )
        proposal = next(filter(None, lengths), None) if state.begun else _start(state, bake, origin_us, settled)
        if proposal is not None:
            at_us = bake.begins_us if proposal.stage is None else bake.lines[proposal.stage].begins_us
            because = "" if clock is None else _because(proposal, state, table, origin_us, clock)
            found.append((at_us, replace(proposal, because=because)))
    return tuple(proposal for _, proposal in sorted(found, key=lambda pair: (pair[0], pair[1].letter)))


def _because(one: Proposal, state: BakeState, table: Timetable, origin_us: int, clock: Callable[[int], str]) -> str:
    """Which dough a question makes way for; a proof that is to stand in the cold says so itself."""
    if one.place_c is not None:
        return ""
    begun_us, oven = origin_us, False
    if one.stage is not None:
        begun_us = state.wall_us(state.stages[one.stage].begun_s or 0.0)
        follower = state.formula.followed_by(one.stage)
        oven = follower is not None and state.stage(follower).kind == "bake"
    own_us, planned_us = (begun_us + round(each * 1_000_000) for each in (one.from_s, one.to_s))
    return makes_way(table, one.letter, own_us, planned_us, clock, oven=oven)


def still_open(one: Proposal, states: Sequence[BakeState], now_us: int) -> bool:
    """Whether a question can still be answered: its stage runs on at the length that was asked about."""
    state = next((state for state in states if state.id == one.bake), None)
    if state is None or state.closed is not None:
        return False
    if one.stage is None:
        return not state.begun
    run = state.stages[one.stage]
    if one.place_c is not None:
        return run.begun_s is None and not run.said
    return one.stage in state.running and run.length_s == one.from_s and not _is_over(state, one.stage, now_us)


def _is_over(state: BakeState, index: int, now_us: int) -> bool:
    """Whether a stage has had its time: it rings, and the baker needs no plan to hold it."""
    run = state.stages[index]
    return run.begun_s is not None and state.wall_us(run.begun_s + run.length_s) <= now_us


def _start(state: BakeState, bake: BakeTimes, origin_us: int, settled: Container[StageOf]) -> Proposal | None:
    """Another start, on a whole minute of the clock."""
    if state.start_s is None or (state.id, 0) in settled:
        return None
    from_s = max(0.0, (state.wall_us(state.start_s) - origin_us) / 1_000_000)
    to_s = (round(bake.begins_us / MINUTE_US) * MINUTE_US - origin_us) / 1_000_000
    if abs(to_s - from_s) < WORTH_ASKING_S or min(from_s, to_s) > ASK_START_S:
        return None
    first = state.stage(next_to_begin(state) or 0).name
    return Proposal(state.id, state.letter, None, first, from_s, max(0.0, to_s))


def _cold(state: BakeState, index: int, bake: BakeTimes, settled: Container[StageOf]) -> Proposal | None:
    """The next stage in the cold, when the plan has it there: it is asked while the one before it runs."""
    following = state.formula.followed_by(index)
    if following is None or state.stages[following].said or (state.id, following) in settled:
        return None
    line, chill = bake.lines[following], state.stage(following).chill_instead
    if not line.cold or chill is None:
        return None
    to_s = round(line.seconds / 60) * 60.0
    run = state.stages[following]
    return Proposal(state.id, state.letter, following, line.name, run.length_s, to_s, line.kind, chill.place_c)


def _length(
    state: BakeState, index: int, bake: BakeTimes, table: Timetable, now_us: int, settled: Container[StageOf]
) -> Proposal | None:
    """A timed stage that runs, when the plan keeps it longer or shorter than it now is, in whole minutes.

    It is asked for no more than the dough forgives; a rest, or a stage in the cold, not for some minutes, unless it
    would end while nobody works.
    """
    if _is_settled(state, index) or (state.id, index) in settled or _is_over(state, index, now_us):
        return None
    line, run = bake.lines[index], state.stages[index]
    to_s = round(min(line.seconds, line.most_s) / 60) * 60.0
    now_s = (now_us - state.wall_us(0.0)) / 1_000_000
    if warming(state, index, now_s) is not None:
        return None  # it is as long as its dough takes to warm, and nobody is asked for that
    if goes_on_now_s(state, index, now_s) is not None or to_chill_s(state, index, now_s):
        return None  # the bench has said what its butter wants
    if line.kind not in TIMED or abs(to_s - run.length_s) < WORTH_ASKING_S:
        return None
    cold_or_rest = line.kind in ("rest", "chill") or in_the_cold(state, index)
    at_night = nobody_until(table, state.wall_us(run.due_s or 0.0)) is not None
    if cold_or_rest and not at_night and abs(to_s - run.length_s) < KEPT_S and line.least_s <= to_s:
        return None  # its dough forgives that, and its bell waits for hands
    if to_s < run.length_s and line.seconds > line.most_s:
        # It has run past the most that the dough forgives; then the plan has no say.
        return None
    return Proposal(state.id, state.letter, index, line.name, run.length_s, to_s, line.kind)


def _is_settled(state: BakeState, index: int) -> bool:
    """Whether the baker has the last word on a length.

    A night in the cold whose length came from a plan is open to the next one: it was planned before the stages ahead
    of it took what they took, and would else end that much too early.
    """
    run = state.stages[index]
    return run.said and not (run.adjustments[-1].body.by == "plan" and in_the_cold(state, index))
