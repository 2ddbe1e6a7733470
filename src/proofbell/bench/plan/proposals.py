"""What a new plan moves, in one line for each bake, and what it would like the baker to agree to."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import replace

from proofbell.bake.advice.butter import goes_on_now_s, to_chill_s
from proofbell.bake.fermenting.cold import CLEAR_SHARE, in_the_cold
from proofbell.bake.fermenting.forgiven import bears, within
from proofbell.bake.fermenting.warming import warming
from proofbell.bake.outlook import next_to_begin
from proofbell.bake.state import BakeState
from proofbell.bench.plan.planning_problem import StageOf
from proofbell.bench.plan.timetable import TIMED, BakeTimes, Line, Timetable
from proofbell.bench.plan.waits_for import Moved as MovedStages
from proofbell.bench.plan.waits_for import nobody_until, way_for
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

    ``stage`` is None for a start; then ``to_s`` is the wait until it from the moment it is asked at, ``from_s`` the
    wait as it stands. ``place_c``: it is to stand there (°C), in the cold. ``because``: which dough it makes way for,
    ``for_letter``, or which night.
    """

    bake: str
    letter: str
    stage: int | None
    name: str
    from_s: float
    to_s: float
    place_c: float | None = None
    because: str = ""
    for_letter: str = ""

    @property
    def words(self) -> str:
        """``B: final proof 8 min longer, 50 min → 58 min?``, as a question."""
        if self.stage is None:
            return self.short
        return f"{self.what}, {told_length(self.from_s)} → {told_length(self.to_s)}?"

    @property
    def short(self) -> str:
        """``B: final proof 8 min longer?``, for a narrow place."""
        return f"{self.what}?"

    @property
    def _by(self) -> str:
        return length(max(60, round(abs(self.to_s - self.from_s) / 60) * 60))

    @property
    def what(self) -> str:
        """The question without its sign: ``B: final proof 8 min longer``."""
        if self.stage is None:
            return f"Begin {self.letter} {self._by} {'later' if self.to_s > self.from_s else 'earlier'}"
        name = self.name[:1].lower() + self.name[1:]
        if self.place_c is not None:
            return f"{self.letter}: {name} in the cold"
        return f"{self.letter}: {name} {self._by} {'longer' if self.to_s > self.from_s else 'shorter'}"

    @property
    def asked(self) -> tuple[str, ...]:
        """The question in ever fewer words: ``B: rest 8 min longer? E has the hands until 07:17.`` at its longest."""
        whole = (self.words, self.short)
        return (*(f"{one} {self.why}" for one in whole), *whole) if self.because else whole

    @property
    def why(self) -> str:
        """``E has the hands until 07:17.``, as a sentence; empty where nobody is made way for."""
        return f"{self.because[:1].upper()}{self.because[1:]}." if self.because else ""

    @property
    def done(self) -> str:
        """``B: final proof 8 min longer.``, once it is so."""
        if self.stage is None:
            return f"{self.letter} begins {self._by} {'later' if self.to_s > self.from_s else 'earlier'}."
        return f"{self.what}."

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
        old = next((old for old in before if self.is_kept(old)), None)
        if old is None:
            return self
        same = old.for_letter == self.for_letter
        to_s = self.from_s + old.to_s - old.from_s
        return replace(self, to_s=to_s, because=old.because if same and old.because else self.because)

    def is_kept(self, old: Proposal) -> bool:
        """Whether a question is the one that was asked before, and its figure has not moved by much since."""
        same = (old.bake, old.stage, old.place_c) == (self.bake, self.stage, self.place_c)
        # What is left until a start grows less by itself.
        same = same and (self.stage is None or old.from_s == self.from_s)
        by_s, was_s = self.to_s - self.from_s, old.to_s - old.from_s
        return same and by_s * was_s > 0 and abs(by_s - was_s) < MOVES_S


def moved(before: Timetable, after: Timetable) -> tuple[Moved, ...]:
    """One line for each bake whose oven time, or else whose next stage, is no longer where it was."""
    known = {(bake.letter, bake.formula): bake for bake in before.bakes}
    both = ((known.get((bake.letter, bake.formula)), bake) for bake in after.bakes)
    found = [_moved(was, bake) for was, bake in both if was is not None]
    return tuple(one for one in found if one is not None)


def _moved(before: BakeTimes, after: BakeTimes) -> Moved | None:
    pairs = [
        (old, new) for old, new in zip(before.lines, after.lines, strict=False) if not new.past and _shift_s(old, new)
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
    before: Sequence[Proposal] = (),
) -> tuple[Proposal, ...]:
    """What the plan would like changed: at most one thing for each bake, the nearest first.

    It is asked when it comes up and not before: a start when it is near, a length while its stage runs. What the
    baker has said of a stage, or of a start that is ``settled``, is not asked about again, and nothing that makes way
    for nobody. With ``clock`` (a moment, UTC µs, as the kitchen's has it) each says which dough it makes way for. What
    was asked ``before`` keeps its figure, and stays, until the plan's has moved by much.
    """
    found: list[tuple[int, Proposal]] = []
    times = {bake.letter: bake for bake in table.bakes}
    day = _Day(table, origin_us, {state.letter: state.begun for state in states}, clock, before)
    for state in states:
        bake = times.get(state.letter)
        if bake is None or state.closed is not None:
            continue
        lengths = (
            _cold(state, index, bake, settled) or _length(state, index, bake, day, settled) for index in state.running
        )
        proposal = next(filter(None, lengths), None) if state.begun else _start(state, bake, day, settled)
        if proposal is not None:
            at_us = bake.begins_us if proposal.stage is None else bake.lines[proposal.stage].begins_us
            found.append((at_us, proposal.as_asked(before)))
    return tuple(proposal for _, proposal in sorted(found, key=lambda pair: (pair[0], pair[1].letter)))


@dataclass(frozen=True, slots=True)
class _Day:
    """The plan as it is asked about at a moment (UTC, µs)."""

    table: Timetable
    now_us: int
    begun: Mapping[str, bool]
    clock: Callable[[int], str] | None
    before: Sequence[Proposal]

    def least(
        self, one: Proposal, moved: MovedStages, bears: Callable[[float], float] = lambda to_s: to_s
    ) -> Proposal | None:
        """What is wanted with the least that will do, and for whom; None where it is not worth asking.

        ``bears``: a length (s) as far as the dough bears it. What would still be in another's way then is not asked.
        """
        by_us = round((one.to_s - one.from_s) * 1_000_000)
        way = way_for(self.table, one.letter, by_us, moved, self.begun, self.clock)
        if way is None:
            return None
        wanted_s = one.from_s + way.by_us / 1_000_000
        to_s = bears(wanted_s)
        if not way.in_part and abs(to_s - wanted_s) >= WORTH_ASKING_S:
            return None
        return replace(one, to_s=to_s, because=way.because, for_letter=way.for_letter)

    def is_enough(self, one: Proposal, *, at_night: bool = False) -> bool:
        """Whether it is worth asking for so much; what was asked before stays for a while.

        Of a long stage hardly a difference is none. ``at_night``: it ends while nobody works, and any minutes count.
        """
        least_s = WORTH_ASKING_S if one.stage is None or at_night else max(WORTH_ASKING_S, CLEAR_SHARE * one.from_s)
        return abs(one.to_s - one.from_s) >= least_s or any(one.is_kept(old) for old in self.before)


def still_open(one: Proposal, states: Sequence[BakeState], now_us: int) -> bool:
    """Whether a question can still be answered: its stage runs on at the length that was asked about."""
    state = next((state for state in states if state.id == one.bake), None)
    if state is None or state.closed is not None:
        return False
    if one.stage is None:
        return not state.begun and state.start_s is not None and state.wall_us(state.start_s) >= now_us
    run = state.stages[one.stage]
    if one.place_c is not None:
        return run.begun_s is None and not run.said
    return one.stage in state.running and run.length_s == one.from_s and not _is_over(state, one.stage, now_us)


def as_of(one: Proposal, states: Sequence[BakeState], now_us: int) -> Proposal:
    """The same question at a moment (UTC, µs): that about a start goes on naming the same hour."""
    state = next((state for state in states if state.id == one.bake), None)
    if one.stage is not None or state is None or state.start_s is None:
        return one
    from_s = (state.wall_us(state.start_s) - now_us) / 1_000_000
    return replace(one, from_s=from_s, to_s=max(0.0, from_s + one.to_s - one.from_s))


def _is_over(state: BakeState, index: int, now_us: int) -> bool:
    """Whether a stage has had its time: it rings, and the baker needs no plan to hold it."""
    run = state.stages[index]
    return run.begun_s is not None and state.wall_us(run.begun_s + run.length_s) <= now_us


def _start(state: BakeState, bake: BakeTimes, day: _Day, settled: Container[StageOf]) -> Proposal | None:
    """Another start, on a whole minute of the clock; one that has come rings, and waits for its hands by itself."""
    if state.start_s is None or (state.id, 0) in settled:
        return None
    own_us = state.wall_us(state.start_s)
    from_s = (own_us - day.now_us) / 1_000_000
    to_s = (round(bake.begins_us / MINUTE_US) * MINUTE_US - day.now_us) / 1_000_000
    if from_s < 0 or min(from_s, to_s) > ASK_START_S:
        return None
    first = state.stage(next_to_begin(state) or 0).name
    wanted = Proposal(state.id, state.letter, None, first, from_s, max(0.0, to_s))
    one = day.least(wanted, (None, *range(len(state.stages)))) if day.is_enough(wanted) else None
    if one is None:
        return None
    at_us = -(-(day.now_us + round(one.to_s * 1_000_000)) // MINUTE_US) * MINUTE_US
    one = replace(one, to_s=max(0.0, (at_us - day.now_us) / 1_000_000))
    return one if day.is_enough(one) else None


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
    return Proposal(state.id, state.letter, following, line.name, run.length_s, to_s, chill.place_c)


def _length(state: BakeState, index: int, bake: BakeTimes, day: _Day, settled: Container[StageOf]) -> Proposal | None:
    """A timed stage that runs, when the plan keeps it longer or shorter than it now is, in whole minutes.

    It is asked for no more than the dough forgives and its reading leaves open; a rest, or a stage in the cold, not for
    some minutes, unless it would end while nobody works.
    """
    if _is_settled(state, index) or (state.id, index) in settled or _is_over(state, index, day.now_us):
        return None
    line, run = bake.lines[index], state.stages[index]
    now_s = (day.now_us - state.wall_us(0.0)) / 1_000_000
    if line.kind not in TIMED or warming(state, index, now_s) is not None:
        return None  # it is as long as its dough takes to warm, and nobody is asked for that
    if goes_on_now_s(state, index, now_s) is not None or to_chill_s(state, index, now_s):
        return None  # the bench has said what its butter wants
    if line.seconds < run.length_s and line.seconds > line.most_s:
        return None  # it has run past the most that the dough forgives; then the plan has no say
    wanted = Proposal(state.id, state.letter, index, line.name, run.length_s, float(line.seconds))
    at_night = nobody_until(day.table, state.wall_us(run.due_s or 0.0)) is not None
    if not day.is_enough(wanted, at_night=at_night):
        return None
    one = day.least(wanted, _after(state, index), lambda to_s: _that_it_bears(state, index, line, to_s))
    if one is None or not day.is_enough(one, at_night=at_night):
        return None
    cold_or_rest = line.kind in ("rest", "chill") or in_the_cold(state, index)
    if cold_or_rest and not at_night and abs(one.to_s - run.length_s) < KEPT_S and line.least_s <= one.to_s:
        return None  # its dough forgives that, and its bell waits for hands
    return one


def _that_it_bears(state: BakeState, index: int, line: Line, to_s: float) -> float:
    """A length (s) in whole minutes, within what the dough forgives and its reading leaves open."""
    borne_s = min(max(round(to_s / 60) * 60.0, line.least_s), line.most_s)
    return within(bears(state, index), borne_s)


def _after(state: BakeState, index: int) -> tuple[int, ...]:
    """The stages that come after one, by their indices."""
    found: list[int] = []
    following = state.formula.followed_by(index)
    while following is not None:
        found.append(following)
        following = state.formula.followed_by(following)
    return tuple(found)


def _is_settled(state: BakeState, index: int) -> bool:
    """Whether the baker has the last word on a length.

    A night in the cold whose length came from a plan is open to the next one: it was planned before the stages ahead
    of it took what they took, and would else end that much too early.
    """
    run = state.stages[index]
    return run.said and not (run.adjustments[-1].body.by == "plan" and in_the_cold(state, index))
