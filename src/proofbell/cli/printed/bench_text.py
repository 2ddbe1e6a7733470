"""The bench as a command prints it: a line a dough, what comes next, the oven; and the same as JSON values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proofbell.app.session.local_time import hour_minute
from proofbell.bake.asking.timer import LETTER, Timer
from proofbell.bake.heats import on_the_dial
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.view import BakeView
from proofbell.bench.agenda import Ahead, ahead
from proofbell.bench.board import Board, board
from proofbell.bench.oven.now import OvenNow, oven_now
from proofbell.bench.oven.words import oven_words
from proofbell.cli.printed.allergens_text import allergens_plain
from proofbell.clock import offset_min
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.journal.reviews.moments import local
from proofbell.kitchen.model import Kitchen
from proofbell.visible import visible
from proofbell.words import length

WIDTH = 80
MOST_NEXT = 3
"""So many things to come are printed."""


@dataclass(frozen=True, slots=True)
class Seen:
    """The bench at one moment, as it is seen from outside."""

    states: Sequence[BakeState]
    board: Board
    oven: OvenNow
    kitchen: Kitchen
    timers: Sequence[Timer] = ()

    @property
    def now(self) -> Stamp:
        return self.board.now

    def formula_of(self, bake: str) -> Formula:
        """The formula of a bake that is on the bench."""
        return next(state.formula for state in self.states if state.id == bake)

    @property
    def ahead(self) -> tuple[Ahead, ...]:
        """Everything to come, the overdue first."""
        return ahead(self.states, self.board)

    @property
    def dial(self) -> str | None:
        """What the oven's own dial shows, or is to show."""
        return None if self.oven.heat_c is None else on_the_dial(self.kitchen.oven, self.oven.heat_c)


def seen_at(states: Sequence[BakeState], kitchen: Kitchen, now: Stamp, timers: Sequence[Timer] = ()) -> Seen:
    """Look at the live bakes and timers at a moment."""
    there = board(states, now, kitchen.oven.trays, timers, people=kitchen.hands)
    return Seen(states, there, oven_now(states, now, there.before, there.oven), kitchen, timers)


# -- as JSON values ----------------------------------------------------------------------------------------------


def bench_plain(seen: Seen) -> dict[str, Any]:
    """The document of ``status --json``; ``status.schema.json`` describes it."""
    oven, now = seen.oven, seen.now
    return {
        "at": iso(now.wall_us),
        "bakes": [bake_plain(seen, one) for one in seen.board.views],
        "timers": [timer_plain(one, now) for one in seen.timers],
        "oven": {"temperature_c": oven.heat_c, "dial": seen.dial, "state": oven.doing, "letter": oven.letter or None},
        "next": [next_plain(one) for one in seen.ahead],
    }


def bake_plain(seen: Seen, view: BakeView) -> dict[str, Any]:
    """One bake: ``left_s`` is less than nothing when its stage is over; no hour is set for a bake that may begin."""
    until_us = view.until_us
    return {
        "bake": view.bake,
        "letter": view.letter,
        "formula": view.title,
        "allergens": allergens_plain(seen.formula_of(view.bake)),
        "stage": view.stage,
        "kind": view.kind or ("closed" if view.mode == "closed" else "waiting"),
        "left_s": None if until_us is None else round((until_us - seen.now.wall_us) / 1_000_000),
        "due": None if until_us is None else iso(until_us),
        "wants": [prompt.words for prompt in view.wants],
    }


def timer_plain(timer: Timer, now: Stamp) -> dict[str, Any]:
    """A timer of one's own; ``left_s`` is less than nothing while it rings."""
    return {"name": timer.name, "left_s": round(timer.left_s(now)), "due": iso(timer.due_us(now))}


def next_of(seen: Seen, bake: str) -> Ahead | None:
    return next((one for one in seen.ahead if one.bake == bake), None)


def next_plain(one: Ahead) -> dict[str, Any]:
    return {"at": iso(one.at_us), "letter": one.letter, "does": one.words}


def iso(at_us: int) -> str:
    """ISO 8601, as the kitchen's clock shows it, with its offset from UTC."""
    return local(at_us, offset_min(at_us)).isoformat(timespec="seconds")


# -- as text -----------------------------------------------------------------------------------------------------


def bench_text(seen: Seen) -> str:
    """At most 80 columns: the doughs, the timers, what comes next, the oven."""
    if not seen.board.views and not seen.timers:
        return "Nothing is live."
    rows = [_bake_row(seen, one) for one in seen.board.views]
    rows += [(LETTER, one.name, "timer", _left(one.left_s(seen.now)), "") for one in seen.timers]
    lines = _in_columns(rows)
    coming = seen.ahead[:MOST_NEXT]
    lines += [_cut(f"{'' if at else 'Next':<4}  {next_words(one, seen.now)}") for at, one in enumerate(coming)]
    if seen.states:
        lines.append(_cut(f"Oven  {oven_words(seen.oven, seen.dial or '')}"))
    return "\n".join(lines)


Row = tuple[str, str, str, str, str]


def _bake_row(seen: Seen, view: BakeView) -> Row:
    wants = view.wants[0].words if view.wants else ""
    if view.until_us is None:
        return view.letter, view.title, view.stage, "not begun" if view.mode == "waiting" else "", wants
    left_s = (view.until_us - seen.now.wall_us) / 1_000_000
    # What is asked for says when itself; a dough that asks nothing is due at an hour.
    return view.letter, view.title, view.stage, _left(left_s), wants or hour_minute(view.until_us, seen.now)


def _left(left_s: float) -> str:
    # To the minute: who looks now and then has no use for seconds.
    seconds = abs(left_s) if abs(left_s) < 60 else 60 * round(abs(left_s) / 60)
    return f"{length(seconds)} {'left' if left_s > 0 else 'over'}"


def _in_columns(rows: Sequence[Row]) -> list[str]:
    widest = [max((len(visible(row[at])) for row in rows), default=0) for at in range(4)]
    widths = [widest[0], min(widest[1], 20), min(widest[2], 16), widest[3]]
    lines = []
    for row in rows:
        cut = [_fit(words, width) for words, width in zip(row, widths, strict=False)]
        lines.append(_cut("  ".join((*cut, visible(row[4]))).rstrip()))
    return lines


def next_words(one: Ahead, now: Stamp) -> str:
    """``10:45  B  oven on, 230 °C``; what is due has no hour any more, unless it waits."""
    when = "now" if one.due and not one.waits else hour_minute(one.at_us, now)
    return f"{when}  {one.letter}  {visible(one.words)}"


def _fit(words: str, width: int) -> str:
    return _cut(visible(words), width).ljust(width)


def _cut(words: str, width: int = WIDTH) -> str:
    return words if len(words) <= width else f"{words[: width - 1].rstrip()}…"
