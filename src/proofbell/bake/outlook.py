"""When each stage of a bake begins and ends: what was, what runs, and what is to come if nothing changes."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Literal

from proofbell.bake.advice.butter import goes_on_now_s, read_cooled_s, to_chill_s
from proofbell.bake.coming import coming_s
from proofbell.bake.core import given_s
from proofbell.bake.fermenting.short_rise import short_at_the_end
from proofbell.bake.fermenting.warming import warm_s
from proofbell.bake.heats import hot_at_s, kept_hot_c
from proofbell.bake.state import BakeState
from proofbell.formula.model import StageKind
from proofbell.frozen import dataclass


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
        return self.end_s - self.begin_s


def planned(state: BakeState) -> tuple[Span, ...]:
    """The stages as the formula has them, from where the bake began (or is to begin)."""
    first_s = state.begun_s if state.begun_s is not None else (state.start_s or 0.0)
    spans: list[Span] = []
    for index, stage in enumerate(state.formula.stages):
        begin_s = max((spans[one].end_s for one in state.formula.follows(index)), default=first_s)
        spans.append(Span(index, stage.kind, begin_s, begin_s + stage.time_s, "coming"))
    return _ripe_together(state, spans)


def outlook(state: BakeState, now_s: float, *, lit: bool = False) -> tuple[Span, ...]:
    """The stages as they were and as they will be from now on.

    What runs ends when it is due, or its short rise is judged again, or now when that has passed, and after the chill
    that is advised for its butter. What is to come
    follows at the length that it will begin with; a bake not before its oven can be hot, unless ``lit`` says that
    another bake has seen to that, nor before a dough out of the cold is likely warm enough for it. Of two preferments
    the one that takes less is begun later, so that both are ripe at once.
    """
    return _outlook(_Same(state), now_s, lit)


class _Same:
    """A bake as the very same object: to compare two by all that they hold would take longer than to look ahead."""

    __slots__ = ("state",)

    def __init__(self, state: BakeState) -> None:
        self.state = state

    def __hash__(self) -> int:
        return id(self.state)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.state is self.state


@lru_cache(maxsize=64)
def _outlook(same: _Same, now_s: float, lit: bool) -> tuple[Span, ...]:  # noqa: FBT001 - a key of the cache
    """Whoever looks at the bench asks for the same moment of a bake half a dozen times over."""
    state = same.state
    spans: list[Span] = []
    first_s = now_s if state.start_s is None or state.begun else max(now_s, state.start_s)
    for index, run in enumerate(state.stages):
        kind = state.stage(index).kind
        if run.begun_s is not None and run.ended_s is not None:
            spans.append(Span(index, kind, run.begun_s, run.ended_s, "past"))
        elif run.begun_s is not None:
            closed = state.closed is not None
            end_s = state.closed.at_s if state.closed else _ends_s(state, index, run.begun_s, now_s)
            spans.append(Span(index, kind, run.begun_s, end_s, "past" if closed else "now"))
        else:
            before = [spans[one] for one in state.formula.follows(index)]
            begin_s = max((one.end_s for one in before), default=first_s)
            if kind == "bake":
                warm = (one.begin_s + warm_s(state, one.stage, now_s) for one in before if one.when == "now")
                begin_s = max([begin_s, *warm])
            kept_hot = kind == "bake" and kept_hot_c(state, index) is not None
            if kind == "bake" and not lit and not kept_hot and state.closed is None:
                begin_s = max(begin_s, hot_at_s(state, index, now_s))
            spans.append(Span(index, kind, begin_s, begin_s + coming_s(state, index, now_s), "coming"))
    if state.closed is not None:
        return tuple(span for span in spans if span.when != "coming")
    return _ripe_together(state, spans)


def _ends_s(state: BakeState, index: int, begun_s: float, now_s: float) -> float:
    """When a stage that runs will be over (the bake's own time, s), with the chill that its butter is advised to get.

    Now, where its butter wants it in the cold that its card has next; not before a bowl that cools, or a core that was
    low, is read again.
    """
    soft_s, length_s = goes_on_now_s(state, index, now_s), _length_s(state, index)
    if soft_s is not None:
        length_s = min(length_s, soft_s)
    again_s = read_cooled_s(state, index, now_s)
    ends_s = max(begun_s + length_s, now_s, again_s or 0.0, given_s(state, index))
    return ends_s + to_chill_s(state, index, now_s)


def _length_s(state: BakeState, index: int) -> float:
    """How long a stage that runs will be (s): one whose rise was short, until that is judged again."""
    short = short_at_the_end(state, index)
    return state.stages[index].length_s if short is None else short.again_s


def _ripe_together(state: BakeState, spans: list[Span]) -> tuple[Span, ...]:
    """The same spans, a preferment that has not begun as late as what joins it allows."""
    join = state.formula.dough_begins or 0
    for index in range(join - 1, -1, -1):
        span, strand = spans[index], state.formula.strand(index)
        if spans[strand.start].when == "coming":
            end_s = spans[index + 1 if index + 1 < strand.stop else join].begin_s
            spans[index] = replace(span, begin_s=end_s - span.seconds, end_s=end_s)
    return tuple(spans)


def next_to_begin(state: BakeState) -> int | None:
    """The stage that is to be begun by hand next: the bake's first, or another preferment's; None for none."""
    ways = state.may_begin
    spans = {span.stage: span.begin_s for span in outlook(state, 0.0)} if len(ways) > 1 else {}
    return min(ways, key=lambda index: (spans.get(index, 0.0), index), default=None)


def preferments_beside(state: BakeState) -> tuple[int, ...]:
    """The stages of preferments that run, and those that wait to be begun, in order; none beside only one."""
    ways = tuple(sorted(i for i in (*state.running, *state.may_begin) if state.stage(i).made_for is not None))
    return ways if len(ways) > 1 else ()


def begins_s(state: BakeState, index: int) -> float:
    """When a stage that is begun by hand is to begin (s), as what runs is due."""
    if not state.begun:
        return state.start_s or 0.0
    return next(span.begin_s for span in outlook(state, 0.0, lit=True) if span.stage == index)


def next_bake(state: BakeState, now_s: float | None = None) -> tuple[int, float] | None:
    """The next bake stage and when it is due to begin (s); None when none is to come, or before the bake has begun.

    Reckoned from due times alone; with ``now_s`` a stage that runs over ends now at the earliest.
    """
    if not state.begun:
        return None
    spans = outlook(state, 0.0 if now_s is None else now_s, lit=True)
    return next(((span.stage, span.begin_s) for span in spans if span.kind == "bake" and span.when == "coming"), None)
