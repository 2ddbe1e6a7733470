"""The log of a bake as lines: a table of stages, then everything that was said, in order of time."""

from __future__ import annotations

from dataclasses import dataclass

from rich.cells import cell_len

from proofbell.app.local_time import hour_minute
from proofbell.app.strip_drawing import short
from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState, Reading
from proofbell.bake.tasks import QUIET, SKIPPED
from proofbell.words import length, temperature


@dataclass(frozen=True, slots=True)
class LogLine:
    """One line; long ``words`` go on below each other. ``reading`` is the number of one that can be corrected."""

    head: str
    words: str = ""
    style: str = ""
    reading: int | None = None


def log_lines(state: BakeState, now: Stamp) -> tuple[LogLine, ...]:
    """The whole log."""
    lines = [LogLine(f"{'Stage':<26}{'planned':>14}{'actual':>14}  began", style="bold")]
    lines += [_stage(state, index, now) for index in range(len(state.stages))]
    lines += [LogLine(""), LogLine("What was said   (› a reading: enter corrects it)", style="bold")]
    for event in state.events:
        line = _event(state, event, now)
        if line is not None:
            lines.append(line)
    return tuple(lines)


def _stage(state: BakeState, index: int, now: Stamp) -> LogLine:
    stage, run = state.stage(index), state.stages[index]
    actual, began = "", ""
    if run.begun_s is not None:
        end_s = run.ended_s if run.ended_s is not None else state.closed.at_s if state.closed else state.now_s(now)
        actual = length(end_s - run.begun_s) + ("" if run.ended_s is not None else " …")
        began = hour_minute(state.wall_us(run.begun_s), now)
    missed = f"  not read: {', '.join(run.missed)}" if run.missed else ""
    name = pad(stage.name, 26)
    return LogLine(f"{name}{length(stage.time_s):>14}{actual:>14}  {began}", missed)


def _event(state: BakeState, event: Event, now: Stamp) -> LogLine | None:
    words = event_words(state, event)
    if words is None:
        return None
    taken_back = event.number in state.undone
    reading = event.number if isinstance(event.body, kinds.ReadingTaken) and not taken_back else None
    when = hour_minute(event.stamp.wall_us, now)
    sign = "›" if reading is not None else " "
    words = f"{words} (taken back)" if taken_back else words
    return LogLine(f"{when:<10}{sign} ", words, "dim" if taken_back else "", reading)


def event_words(state: BakeState, event: Event) -> str | None:  # noqa: PLR0912, C901 - one line for each kind
    """One event in words; None for what a baker does not want to see."""
    match event.body:
        case kinds.BakeOpened():
            return "put on the bench"
        case kinds.StartPlanned(at_s=at_s):
            return f"to begin in {length(at_s)}" if at_s else "to begin now"
        case kinds.StageBegun(stage=stage):
            return f"{state.stage(stage).name}: begun"
        case kinds.StageEnded(stage=stage):
            return f"{state.stage(stage).name}: ended"
        case kinds.StageReopened(stage=stage):
            return f"{state.stage(stage).name}: goes on"
        case kinds.ReadingTaken():
            return _reading(next((r for r in state.readings if r.number == event.number), None), event.body)
        case kinds.TimeAdjusted(stage=stage, reason=reason):
            return f"{state.stage(stage).name}: {reason}"
        case kinds.TaskDone(task=task, done=done):
            return _task(task, done=done)
        case kinds.NoteAdded(text=text):
            return f"note: {text}"
        case kinds.ScoreGiven(line=line, points=points):
            return f"{line}: {points} of 10"
        case kinds.BakeMarked(typical=typical):
            return "marked as typical" if typical else "marked as not typical"
        case kinds.Corrected(events=numbers, undone=undone, typed=typed):
            return "the last thing was taken back" if undone else _corrected(state, numbers[0], typed)
        case kinds.BakeClosed(outcome=outcome):
            return outcome
        case kinds.ClockSet(by_s=by_s):
            return f"the clock was set by {length(by_s)}; no countdown moved"
        case kinds.ProgramBack(away_s=away_s):
            return f"the program is back after {length(away_s)}"


def _corrected(state: BakeState, number: int, typed: str) -> str:
    reading = next((one for one in state.readings if one.number == number), None)
    what = "the reading" if reading is None else reading.what
    return f"{what}: corrected to {typed}; what was said first stays above"


def _reading(reading: Reading | None, body: kinds.ReadingTaken) -> str:
    if reading is None:
        return f"{body.what}: {body.eye or value_words(body.what, body.value)}"
    words = f"{reading.what}: {reading.eye or value_words(reading.what, reading.value)}"
    if reading.raw is not None and reading.value is not None and abs(reading.raw - reading.value) >= 0.05:
        words += f" (the probe showed {reading.raw:.1f})"
    if reading.earlier:
        before = ", ".join(one.eye or value_words(reading.what, one.value) for one in reading.earlier)
        words += f" (first said: {before})"
    return words


def pad(text: str, width: int) -> str:
    """Outside text in exactly so many cells, wide characters counted as two."""
    shown = short(text, width - 1)
    return shown + " " * (width - cell_len(shown))


def value_words(what: str, value: float | None) -> str:
    """A reading's value with its unit."""
    if value is None:
        return "–"
    if what == "rise":
        return f"{value:.0f} %"
    return f"{value:.0f} g" if what == "weight" else temperature(value)


def _task(task: str, *, done: bool) -> str | None:
    if task.startswith(QUIET):
        return None
    words = f"{task.removeprefix(SKIPPED)} will not be made" if task.startswith(SKIPPED) else task
    plain = words.rstrip("0123456789. ")
    return plain + (": done" if done else ": not done after all")
