"""When each stage of a bake begins and ends: what was, what runs, and what is to come if nothing changes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from proofbell.bake.heats import hot_at_s
from proofbell.bake.state import BakeState
from proofbell.formula.model import StageKind


@dataclass(frozen=True, slots=True)
class Span:
    """One stage on the time axis, in the bake's own seconds."""

    stage: int
    kind: StageKind
    begin_s: float
    end_s: float
    when: Literal["past", "now", "coming"]

    @property
    def seconds(self) -> float:
        """Its length (s)."""
        return self.end_s - self.begin_s


def planned(state: BakeState) -> tuple[Span, ...]:
    """The stages as the formula has them, laid end to end from where the bake began (or is to begin)."""
    begin_s = state.stages[0].begun_s if state.stages[0].begun_s is not None else (state.start_s or 0.0)
    spans: list[Span] = []
    for index, stage in enumerate(state.formula.stages):
        spans.append(Span(index, stage.kind, begin_s, begin_s + stage.time_s, "coming"))
        begin_s += stage.time_s
    return tuple(spans)


def outlook(state: BakeState, now_s: float, *, lit: bool = False) -> tuple[Span, ...]:
    """The stages as they were and as they will be from now on.

    What runs ends when it is due, or now when that has passed. What is to come follows at its length; a bake not
    before its oven can be hot, unless ``lit`` says that another bake has seen to that.
    """
    spans: list[Span] = []
    begin_s = now_s if state.start_s is None or state.begun else max(now_s, state.start_s)
    for index, run in enumerate(state.stages):
        kind = state.stage(index).kind
        if run.begun_s is not None and run.ended_s is not None:
            spans.append(Span(index, kind, run.begun_s, run.ended_s, "past"))
            begin_s = run.ended_s
        elif run.begun_s is not None:
            closed = state.closed is not None
            end_s = state.closed.at_s if state.closed else max(run.begun_s + run.length_s, now_s)
            spans.append(Span(index, kind, run.begun_s, end_s, "past" if closed else "now"))
            begin_s = end_s
        elif state.closed is None:
            if kind == "bake" and not lit:
                begin_s = max(begin_s, hot_at_s(state, index, now_s))
            spans.append(Span(index, kind, begin_s, begin_s + run.length_s, "coming"))
            begin_s += run.length_s
    return tuple(spans)


def next_bake(state: BakeState, now_s: float | None = None) -> tuple[int, float] | None:
    """The next bake stage and when it is due to begin (s); None when none is to come, or before the bake has begun.

    Reckoned from due times alone; with ``now_s`` a stage that runs over ends now at the earliest.
    """
    begin_s: float | None = None
    for index, run in enumerate(state.stages):
        if run.begun_s is None and begin_s is not None:
            if state.stage(index).kind == "bake":
                return index, begin_s
            begin_s += run.length_s
        elif run.due_s is not None and run.ended_s is None:
            begin_s = run.due_s if now_s is None else max(run.due_s, now_s)
    return None
