"""A bake on paper: the same decisions as a real one, on a clock that jumps from one thing to the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.core import AGAIN_S, core_in, core_short, longer_s
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.events import Eye
from proofbell.bake.fermenting.place import ROOM
from proofbell.bake.fermenting.warming import warms_first
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.prompts import prompts
from proofbell.bake.readings import ReadingError, parse_reading, with_its_unit
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Skipped
from proofbell.bake.weigh.batch import Batch
from proofbell.errors import Failure
from proofbell.formula.model import Bands, Check, Formula, Rate, ReadingKind, Stage
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen

TOGETHER_S = 0.001
"""What is due within a thousandth of a second is due together: stamps are whole microseconds."""


@dataclass(frozen=True, slots=True)
class Scripted:
    """A reading to be given in a rehearsal: at the stage's check of that kind, or else as the stage begins.

    With ``at_s``: so far into the stage (s), which goes on until then; checks of its kind wait for it.
    """

    stage: str
    what: ReadingKind
    typed: str
    at_s: float | None = None


@dataclass(frozen=True, slots=True)
class ScriptedSaid:
    """What is said ``at_s`` seconds into a stage: a place that the dough is put into, or another size."""

    stage: str
    intent: intents.Move | intents.Resize
    at_s: float = 0.0


def rehearse(
    formula: Formula,
    batch: Batch,
    kitchen: Kitchen,
    *,
    start: Stamp,
    version: str,
    letter: str = "A",
    wait_s: float = 0.0,
    readings: Sequence[Scripted] = (),
    said: Sequence[ScriptedSaid] = (),
) -> BakeState:
    """Run a whole bake at once and return it closed.

    Checks without a scripted reading are answered on target; hands stages take their nominal time. The minutes that a
    low core asks for at a bake's end are given. Raises Failure: a scripted reading names no stage of the formula, or
    cannot be.
    """
    _known(formula, readings)
    run = _Run(start, list(readings), list(said))
    # The probe is taken at its word: a rehearsal's readings are true values.
    exact = replace(kitchen, probe=replace(kitchen.probe, offset_k=0.0, slope=1.0))
    run.say(intents.Open(f"rehearsal-{letter}", letter, formula, batch, exact, version))
    run.wait(wait_s)
    run.say(intents.Begin())
    while run.state.closed is None:
        _stage(run)
    return run.state


class _Run:
    """The state so far and the rehearsal's own clock."""

    def __init__(self, start: Stamp, readings: list[Scripted], said: list[ScriptedSaid]) -> None:
        self._state: BakeState | None = None
        self.stamp = start
        self.readings = readings
        self.said = said
        self.timed = {(each.stage, each.what) for each in readings if each.at_s is not None}

    @property
    def state(self) -> BakeState:
        if self._state is None:
            raise ValueError("nothing was opened")
        return self._state

    @property
    def now_s(self) -> float:
        return self.state.now_s(self.stamp)

    def say(self, intent: Intent) -> None:
        decision = decide(self._state, intent, self.stamp)
        if isinstance(decision, Refused):
            raise Failure(decision.message, decision.remedy)
        self._state = decided(self._state, decision)

    def wait(self, seconds: float) -> None:
        step_us = round(max(0.0, seconds) * 1_000_000)
        self.stamp = replace(self.stamp, wall_us=self.stamp.wall_us + step_us, boot_us=self.stamp.boot_us + step_us)

    def at_s(self, index: int, scripted: Scripted | ScriptedSaid) -> float:
        """When what has a moment of its own is due (the bake's own time)."""
        return (self.state.stages[index].begun_s or 0.0) + (scripted.at_s or 0.0)

    def wait_until(self, at_s: float) -> None:
        self.wait(at_s - self.now_s)


def _stage(run: _Run) -> None:
    """Answer everything the running stage asks, in order of time, then end it when it is due.

    A preferment that is begun meanwhile is seen to first.
    """
    index = run.state.current
    if index is None:
        _begin_next(run)
        return
    stage = run.state.stage(index)
    _unasked(run, stage)
    moved = False
    # Each turn answers one prompt or gives one reading; a stage has far fewer, extensions of a short rise included.
    for _ in range(1000):
        due_s = run.state.stages[index].due_s or 0.0
        asked = [p for p in prompts(run.state) if p.kind != "due" and p.due_s <= due_s + TOGETHER_S]
        timed = _next_timed(run, stage)
        if timed is not None and (not asked or run.at_s(index, timed) <= asked[0].due_s + TOGETHER_S):
            run.wait_until(run.at_s(index, timed))
            if isinstance(timed, ScriptedSaid):
                run.said.remove(timed)
                run.say(timed.intent)
            else:
                _say_scripted(run, timed)
            continue
        if asked and asked[0].kind == "start":
            _begin_next(run)
            return
        if asked:
            _comply(run, asked[0])
            continue
        run.wait_until(run.state.stages[index].due_s or 0.0)
        left_over = next((scripted for scripted in run.readings if scripted.stage == stage.name), None)
        more_s = _longer_s(run.state, index, run.now_s)
        if more_s is not None:
            run.say(intents.Longer(more_s))
        elif left_over is not None:
            _say_scripted(run, left_over)
        elif warms_first(run.state, index, run.now_s) and not moved:
            moved = True
            run.say(intents.Move(ROOM))
        else:
            break
    run.say(intents.Done())


def _longer_s(state: BakeState, index: int, now_s: float) -> float | None:
    """By how much (s) a baker makes a bake longer at its end: what its low core asks for then."""
    short = core_short(state, index)
    if short is not None and short.outlook is None and short.at_s >= state.stages[index].length_s - TOGETHER_S:
        return AGAIN_S
    return longer_s(state, now_s)


def _next_timed(run: _Run, stage: Stage) -> Scripted | ScriptedSaid | None:
    """What comes next of a stage that has a moment of its own; of two at once what is no reading."""
    timed: list[Scripted | ScriptedSaid] = [each for each in run.said if each.stage == stage.name]
    timed += [each for each in run.readings if each.stage == stage.name and each.at_s is not None]
    return min(timed, key=lambda each: each.at_s or 0.0, default=None)


def _begin_next(run: _Run) -> None:
    """Begin the preferment that is to be begun next, when it is to be."""
    asked = next(prompt for prompt in prompts(run.state) if prompt.kind == "start")
    run.wait_until(asked.due_s)
    run.say(intents.Begin(stage=asked.stage))


def _comply(run: _Run, prompt: Prompt) -> None:
    stage = run.state.stage(prompt.stage)
    run.wait_until(prompt.due_s)
    if prompt.task is not None:
        run.say(intents.Task(prompt.task))
    elif prompt.check is not None:
        _answer(run, stage, prompt)
    elif prompt.kind == "check":
        run.say(intents.Task(Skipped(prompt.id)))


def _unasked(run: _Run, stage: Stage) -> None:
    """Scripted readings that the stage has no check for are given as it begins."""
    asked = {check.read for check in stage.checks}
    for scripted in [r for r in run.readings if r.stage == stage.name and r.what not in asked and r.at_s is None]:
        _say_scripted(run, scripted)


def _answer(run: _Run, stage: Stage, asked: Prompt) -> None:
    check = stage.checks[asked.check or 0]
    for scripted in run.readings:
        if scripted.stage == stage.name and scripted.what == check.read and scripted.at_s is None:
            _say_scripted(run, scripted)
            return
    if (stage.name, check.read) in run.timed:
        # Read at other moments than the card's: nobody makes a reading up beside those.
        run.say(intents.Task(Skipped(asked.id)))
        return
    value = on_target(run.state, run.state.formula.stages.index(stage), check)
    run.say(intents.Read(check.read, f"{value:g}", raw=value, sure=True, source="rehearsal"))


def _say_scripted(run: _Run, scripted: Scripted) -> None:
    run.readings.remove(scripted)
    value, what, typed = read_scripted(scripted), scripted.what, scripted.typed
    if isinstance(value, str):
        run.say(intents.Read(what, typed, eye=value, source="rehearsal"))
    else:
        run.say(intents.Read(what, with_its_unit(what, typed), raw=value, sure=True, source="rehearsal"))


def read_scripted(scripted: Scripted) -> float | Eye:
    """What a scripted reading says, in °C, percent or g, or by eye. Raises Failure: it is no reading of its kind."""
    try:
        return parse_reading(scripted.what, scripted.typed)
    except ReadingError as error:
        raise Failure(f"The reading {scripted.typed!r} is not a {scripted.what}: {error}.") from error


def on_target(state: BakeState, index: int, check: Check) -> float:
    """The reading that changes nothing: the middle of ``expect``, or what the stage's rule was written for."""
    stage = state.stage(index)
    if check.expect is not None:
        return sum(check.expect) / 2
    core = core_in(state, index) if check.read == "core temperature" else None
    if core is not None:
        return (core.low_c + core.high_c) / 2
    if check.read == "rise" and stage.rise is not None:
        return sum(stage.rise.wanted) / 2
    if isinstance(stage.adjust, Rate) and check.read == "dough temperature":
        return stage.adjust.at_c
    if isinstance(stage.adjust, Bands) and check.read == stage.adjust.read:
        return _middle_of_nominal(stage, stage.adjust)
    if check.read == "weight":
        return state.batch.dough_g
    return _usual(state, check.read)


def _usual(state: BakeState, what: ReadingKind) -> float:
    usual = {
        "dough temperature": state.formula.dough.temperature_c or 25.0,
        "room temperature": state.kitchen.room_c,
        "core temperature": 94.0,
        "rise": 100.0,
    }
    return usual[what]


def _middle_of_nominal(stage: Stage, bands: Bands) -> float:
    """The middle of the band that gives the nominal time; an open band is read a degree inside its bound."""
    below_before: float | None = None
    for band in bands.bands:
        if band.time_s == stage.time_s:
            if band.below is None:
                return (below_before or 0.0) + 1.0
            return band.below - 1.0 if below_before is None else (below_before + band.below) / 2
        below_before = band.below
    return (below_before or 0.0) + 1.0


def _known(formula: Formula, readings: Sequence[Scripted]) -> None:
    names = [stage.name for stage in formula.stages]
    for reading in readings:
        if reading.stage not in names:
            known = ", ".join(names)
            raise Failure(f"There is no stage {reading.stage!r} in {formula.name}.", f"Its stages are: {known}.")
