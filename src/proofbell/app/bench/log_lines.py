"""The log of a bake as lines: a table of stages, then everything that was said, in order of time."""

from __future__ import annotations

from rich.cells import cell_len

from proofbell.app.drawing.strip_drawing import short
from proofbell.app.session.local_time import hour_minute
from proofbell.bake import events as kinds
from proofbell.bake.advice.advise import Advised, advised
from proofbell.bake.events import Event
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Silenced
from proofbell.frozen import dataclass
from proofbell.journal.reviews.report import allergens_of
from proofbell.journal.reviews.wording import reading_words, said_words
from proofbell.words import length


@dataclass(frozen=True, slots=True)
class LogLine:
    """One line; long ``words`` go on below each other. ``reading`` is the number of one that can be corrected."""

    head: str
    words: str = ""
    style: str = ""
    reading: int | None = None


def log_lines(state: BakeState, now: Stamp) -> tuple[LogLine, ...]:
    """The whole log."""
    lines = [LogLine("Allergens: ", f"{allergens_of(state)}.")]
    lines += [LogLine(f"{'Stage':<26}{'planned':>14}{'actual':>14}  began", style="bold")]
    lines += [_stage(state, index, now) for index in range(len(state.stages))]
    lines += [LogLine(""), LogLine("Log   (› reading; enter corrects it)", style="bold")]
    said = advised(state)
    for event in state.events:
        line = _event(state, event, now)
        if line is not None:
            lines.append(line)
        lines += [_advice(state, each, now) for each in said if each.number == event.number]
    return tuple(lines)


def _advice(state: BakeState, said: Advised, now: Stamp) -> LogLine:
    """What was advised after an event, worked out anew: nothing of it is stored."""
    return LogLine(f"{hour_minute(state.wall_us(said.at_s), now):<9}   ", f"Advised: {said.advice.short}", "$quiet")


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
    if isinstance(event.body, kinds.TaskDone) and isinstance(event.body.task, Silenced):
        return None
    standing = next((one for one in state.readings if one.number == event.number), None)
    words = said_words(event, state) if standing is None else reading_words(standing)
    taken_back = event.number in state.undone
    reading = event.number if isinstance(event.body, kinds.ReadingTaken) and not taken_back else None
    when = hour_minute(event.stamp.wall_us, now)
    sign = "›" if reading is not None else " "
    words = f"{words} (undone)" if taken_back else words
    return LogLine(f"{when:<9} {sign} ", words, "dim" if taken_back else "", reading)


def pad(text: str, width: int) -> str:
    """Outside text in exactly so many cells, wide characters counted as two."""
    shown = short(text, width - 1)
    return shown + " " * (width - cell_len(shown))
