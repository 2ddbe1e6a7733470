"""One bake looked back on: planned beside actual, readings beside the model, every change and its reason.

Everything follows from the events alone, so a bake that is unfinished, given up, corrected, or was made by an older
version is told as far as it goes. Times are seconds of the bake's own time, which no set clock moves; ``moments`` turns
them into what the wall clock showed.
"""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake import events as kinds
from proofbell.bake.core import core_in
from proofbell.bake.events import Event, TimeAdjusted
from proofbell.bake.fermenting.cold import warm_terms
from proofbell.bake.fermenting.place import place_c, places_before
from proofbell.bake.fermenting.terms import dough_readings, tau_s
from proofbell.bake.fold import fold
from proofbell.bake.outlook import planned
from proofbell.bake.record import name_of
from proofbell.bake.state import BakeState, Reading
from proofbell.dough.fermenting.leaven import CURVES
from proofbell.dough.fermenting.path import follow
from proofbell.formula.dough_stages import STANDS
from proofbell.formula.model import Rate, StageKind
from proofbell.frozen import dataclass
from proofbell.journal.faults import Problem
from proofbell.journal.reviews.losses import bake_loss_percent, make_up_loss_percent
from proofbell.journal.reviews.moments import Moments
from proofbell.journal.reviews.score_sheet import overall
from proofbell.journal.reviews.wording import longer_words, other_method, said_words

CURVE_POINTS = 48
"""Points of a modelled line in one stage: enough for a smooth chart."""


@dataclass(frozen=True, slots=True)
class StageReview:
    """A stage as the formula has it, and as it was. ``over_s`` is how long it went on after it was due.

    ``due_length_s`` is the length that held at its end. What did not happen is None. ``left_off``: the bake was given
    up while it ran.
    """

    index: int
    name: str
    kind: StageKind
    planned_begin_s: float
    planned_s: float
    begun_s: float | None
    ended_s: float | None
    due_length_s: float
    missed: tuple[str, ...]
    left_off: bool = False

    @property
    def actual_s(self) -> float | None:
        return None if self.begun_s is None or self.ended_s is None else self.ended_s - self.begun_s

    @property
    def over_s(self) -> float | None:
        """How much longer than it was meant to be in the end (s); negative when it was ended early.

        None for one that was never ended, also when the bake was given up in it.
        """
        return None if self.actual_s is None or self.left_off else self.actual_s - self.due_length_s

    @property
    def against_due(self) -> str:
        """The same in words: ``5 min longer``, ``on time``, ``running``, ``given up``; empty when it did not begin."""
        if self.left_off:
            return "given up"
        if self.over_s is not None:
            return longer_words(self.over_s)
        return "" if self.begun_s is None else "running"


@dataclass(frozen=True, slots=True)
class ReadingReview:
    """A reading as it stands, what its check expected, and whether it was inside."""

    reading: Reading
    expect: tuple[float, float] | None
    inside: bool | None


@dataclass(frozen=True, slots=True)
class AdjustmentReview:
    """A change of time, and what the other method would have given. ``stands`` is False when it was undone."""

    number: int
    at_s: float
    body: TimeAdjusted
    other: str
    stands: bool


@dataclass(frozen=True, slots=True)
class Curve:
    """The dough's temperature as modelled through one stage. ``guessed``: nobody measured in it."""

    stage: int
    points: tuple[tuple[float, float], ...]
    guessed: bool


@dataclass(frozen=True, slots=True)
class EventLine:
    """One event: when, what, and which later event took it back or put it right (numbers)."""

    event: Event
    at_s: float
    name: str
    words: str
    taken_back_by: int | None
    put_right_by: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class BakeReview:
    """Everything there is to say about one bake. ``problems`` say where its log cannot be trusted any more."""

    state: BakeState
    moments: Moments
    stages: tuple[StageReview, ...]
    readings: tuple[ReadingReview, ...]
    adjustments: tuple[AdjustmentReview, ...]
    curves: tuple[Curve, ...]
    events: tuple[EventLine, ...]
    score: float | None
    make_up_loss_percent: float | None
    bake_loss_percent: float | None
    problems: tuple[Problem, ...] = ()

    @property
    def end_s(self) -> float:
        """The bake's last known moment (s): its close, or its newest event."""
        return self.events[-1].at_s if self.state.closed is None else self.state.closed.at_s

    @property
    def outcome(self) -> str:
        """``finished``, ``given up`` or ``unfinished``."""
        return "unfinished" if self.state.closed is None else self.state.closed.outcome

    @property
    def corrected(self) -> bool:
        """Whether anything was corrected or undone."""
        return any(isinstance(line.event.body, kinds.Corrected) for line in self.events)


def review(events: Sequence[Event], problems: tuple[Problem, ...] = ()) -> BakeReview:
    """Look back on a bake, by its events. Raises ImpossibleError: the events do not make a bake."""
    state = fold(events)
    moments = Moments(state)
    return BakeReview(
        state=state,
        moments=moments,
        stages=_stages(state),
        readings=tuple(_reading(state, reading) for reading in state.readings),
        adjustments=_adjustments(state, moments),
        curves=tuple(curve for index in range(len(state.stages)) if (curve := _curve(state, index)) is not None),
        events=_lines(state, moments),
        score=overall(state.scores),
        make_up_loss_percent=make_up_loss_percent(state),
        bake_loss_percent=bake_loss_percent(state),
        problems=problems,
    )


def _stages(state: BakeState) -> tuple[StageReview, ...]:
    spans = planned(state)
    return tuple(
        StageReview(
            index=index,
            name=state.stage(index).name,
            kind=state.stage(index).kind,
            planned_begin_s=spans[index].begin_s,
            planned_s=spans[index].seconds,
            begun_s=run.begun_s,
            ended_s=_ended_s(state, index),
            due_length_s=run.length_s,
            missed=run.missed,
            left_off=run.begun_s is not None and run.ended_s is None and state.closed is not None,
        )
        for index, run in enumerate(state.stages)
    )


def _ended_s(state: BakeState, index: int) -> float | None:
    """When a stage ended: the one that ran when the bake was given up ended there."""
    run = state.stages[index]
    if run.ended_s is None and run.begun_s is not None and state.closed is not None:
        return state.closed.at_s
    return run.ended_s


def _reading(state: BakeState, reading: Reading) -> ReadingReview:
    expect = None
    if reading.stage is not None and 0 <= reading.stage < len(state.formula.stages):
        stage = state.stage(reading.stage)
        if reading.check is not None and 0 <= reading.check < len(stage.checks):
            expect = stage.checks[reading.check].expect
        if expect is None and reading.what == "core temperature":
            core = core_in(state, reading.stage)
            expect = None if core is None else (core.low_c, core.high_c)
        if expect is None and reading.what == "rise" and stage.rise is not None:
            expect = stage.rise.wanted
    inside = None
    if expect is not None and reading.value is not None:
        inside = expect[0] <= reading.value <= expect[1]
    elif reading.eye is not None:
        inside = reading.eye == "ready"
    return ReadingReview(reading, expect, inside)


def _adjustments(state: BakeState, moments: Moments) -> tuple[AdjustmentReview, ...]:
    return tuple(
        AdjustmentReview(
            event.number, moments.event_s(event.number), event.body, other_method(event.body),
            event.number not in state.undone,
        )
        for event in state.events
        if isinstance(event.body, TimeAdjusted)
    )  # fmt: skip


def _curve(state: BakeState, index: int) -> Curve | None:
    """The modelled dough temperature in a stage that has begun and in which the dough stands still.

    It goes through the readings that the stage's time was worked out from, one carried over included.
    """
    run, stage = state.stages[index], state.stage(index)
    ended_s = _ended_s(state, index)
    end_s = ended_s if ended_s is not None else state.timeline.run_us / 1_000_000
    if run.begun_s is None or stage.kind not in STANDS or end_s <= run.begun_s:
        return None
    asked, start_c = warm_terms(state, index), _start_c(state, index)
    read = dough_readings(state, index) if asked is None else asked.readings
    readings = [each for each in read if 0 <= each[0] <= end_s - run.begun_s]
    if start_c is None and not readings:
        return None
    here_c = place_c(state, index)
    path = follow(
        readings,
        start_c=here_c if start_c is None else start_c,
        place_c=here_c,
        tau_s=tau_s(state, index),
        warming_k=0.0 if asked is None else asked.card.warming_k,
        curve=CURVES["yeast" if asked is None else asked.leaven],
        stood=[(until_s, c, tau_s(state, index, c)) for until_s, c in places_before(state, index)],
    )
    length_s = end_s - run.begun_s
    times = sorted(
        {length_s * step / CURVE_POINTS for step in range(CURVE_POINTS + 1)} | {at_s for at_s, _ in readings}
    )
    points = tuple((run.begun_s + at_s, path.temp_c(at_s)) for at_s in times)
    return Curve(index, points, not dough_readings(state, index))


def _start_c(state: BakeState, index: int) -> float | None:
    """What the dough probably had as the stage began: the formula's word for it, or what the weigh-out expected."""
    adjust = state.stage(index).adjust
    if isinstance(adjust, Rate):
        return adjust.at_c
    return state.batch.expected_c if state.batch.expected_c is not None else state.formula.dough.temperature_c


def _lines(state: BakeState, moments: Moments) -> tuple[EventLine, ...]:
    taken_back: dict[int, int] = {}
    put_right: dict[int, tuple[int, ...]] = {}
    for event in state.events:
        if isinstance(event.body, kinds.Corrected):
            for number in event.body.events:
                if event.body.undone:
                    taken_back[number] = event.number
                else:
                    put_right[number] = (*put_right.get(number, ()), event.number)
    return tuple(
        EventLine(
            event=event,
            at_s=moments.event_s(event.number),
            name=name_of(event.body),
            words=said_words(event, state),
            taken_back_by=taken_back.get(event.number),
            put_right_by=put_right.get(event.number, ()),
        )
        for event in state.events
    )
