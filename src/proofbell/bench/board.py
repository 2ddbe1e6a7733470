"""All live bakes at one moment: what each wants, what comes up over all of them, and who is the most urgent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from proofbell.bake.prompts import Prompt, first_heat_c
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.view import BakeView, view
from proofbell.dough.oven import heat_up_s

LETTERS = "ABCDEFGHIJKL"
"""Twelve doughs are what one bench can hold."""

Use = Literal["heating", "baking", "hands"]


@dataclass(frozen=True, slots=True)
class Coming:
    """Something that a bake wants at a UTC moment (µs). ``now`` is true when its time has come."""

    at_us: int
    letter: str
    bake: str
    prompt: Prompt
    now: bool


@dataclass(frozen=True, slots=True)
class Busy:
    """A stretch of time (UTC, µs) in which a bake uses the oven or the hands. ``heat_c`` only for the oven."""

    use: Use
    letter: str
    begin_us: int
    end_us: int
    heat_c: float | None = None


@dataclass(frozen=True, slots=True)
class Board:
    """The bench at ``now``. ``views`` are in order of letters, ``coming`` in order of time, the overdue first."""

    now: Stamp
    views: tuple[BakeView, ...]
    coming: tuple[Coming, ...]
    rings: tuple[Coming, ...]
    oven: tuple[Busy, ...]
    hands: tuple[Busy, ...]
    urgent: str | None

    def of(self, bake: str) -> BakeView | None:
        """The view of one bake."""
        return next((one for one in self.views if one.bake == bake), None)

    def after(self, bake: str | None) -> str | None:
        """The next bake that wants something after ``bake``: those with something due first, then by time."""
        waiting = [one.bake for one in sorted(self.views, key=_urgency) if one.bake != bake]
        return waiting[0] if waiting else bake


def board(states: Sequence[BakeState], now: Stamp) -> Board:
    """Look at all live bakes at one moment."""
    ordered = sorted(states, key=lambda state: (state.letter, state.id))
    views = tuple(view(state, state.now_s(now)) for state in ordered)
    pairs = list(zip(ordered, views, strict=True))
    coming = sorted(
        (_coming(state, prompt, now) for state, one in pairs for prompt in (*one.wants, *one.coming)),
        key=lambda c: (c.at_us, c.letter),
    )
    rings = tuple(_coming(state, prompt, now) for state, one in pairs for prompt in one.rings)
    urgent = min(views, key=_urgency, default=None)
    return Board(
        now=now,
        views=views,
        coming=tuple(coming),
        rings=tuple(sorted(rings, key=lambda c: (c.at_us, c.letter))),
        oven=tuple(busy for state, one in pairs for busy in oven_use(state, one)),
        hands=tuple(busy for state, one in pairs for busy in hands_use(state, one)),
        urgent=None if urgent is None else urgent.bake,
    )


def free_letter(states: Sequence[BakeState]) -> str | None:
    """The first letter that no live bake has, or None when the bench is full."""
    taken = {state.letter for state in states if state.closed is None}
    return next((letter for letter in LETTERS if letter not in taken), None)


def wall_us(state: BakeState, at_s: float, now: Stamp) -> int:
    """The UTC moment (µs) of one of a bake's own times, as the clock stands now."""
    return now.wall_us + round((at_s - state.now_s(now)) * 1_000_000)


def oven_use(state: BakeState, one: BakeView) -> tuple[Busy, ...]:
    """Heating up and baking, past and to come."""
    found: list[Busy] = []
    for span in one.spans:
        if span.kind != "bake":
            continue
        heat_c = first_heat_c(state, span.stage)
        found.append(Busy("baking", state.letter, state.wall_us(span.begin_s), state.wall_us(span.end_s), heat_c))
        if heat_c is not None:
            takes_s = heat_up_s(state.kitchen.room_c, heat_c, heat_up_s=state.kitchen.oven.heat_up_s)
            begin_us = state.wall_us(span.begin_s - takes_s)
            found.append(Busy("heating", state.letter, begin_us, state.wall_us(span.begin_s), heat_c))
    return tuple(found)


def hands_use(state: BakeState, one: BakeView) -> tuple[Busy, ...]:
    """When the bake needs a pair of hands: its hands stages, and loading and unloading the oven."""
    found: list[Busy] = []
    for span in one.spans:
        stage = state.stage(span.stage)
        if span.kind == "hands":
            begin, end = span.begin_s, span.end_s
        elif stage.hands_s:
            begin, end = span.begin_s, span.begin_s + stage.hands_s
        elif span.kind == "bake":
            found.append(Busy("hands", state.letter, state.wall_us(span.end_s), state.wall_us(span.end_s + 60)))
            begin, end = span.begin_s, span.begin_s + 60
        else:
            continue
        found.append(Busy("hands", state.letter, state.wall_us(begin), state.wall_us(end)))
    return tuple(sorted(found, key=lambda busy: busy.begin_us))


def _coming(state: BakeState, prompt: Prompt, now: Stamp) -> Coming:
    at_us = wall_us(state, prompt.due_s, now)
    return Coming(at_us, state.letter, state.id, prompt, at_us <= now.wall_us)


def _urgency(one: BakeView) -> tuple[int, float, str]:
    """Ringing first, then wanting, then by what is due next; a closed bake last."""
    if one.mode == "closed":
        return 3, 0.0, one.letter
    if one.wants:
        return 0, min(p.due_s for p in one.wants), one.letter
    if one.mode == "up":
        return 1, -one.seconds, one.letter
    return 2, one.next_due_s, one.letter
