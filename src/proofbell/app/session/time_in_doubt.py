"""Which times of the bench are in doubt, what is asked about them, and in which words.

The facts are the core's (`proofbell.bake.doubt`); each outage is asked about once for all doughs.
"""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.app.session.local_time import hour_minute
from proofbell.bake.doubt import Outage, doubt, outages
from proofbell.bake.events import ClockSet, ProgramBack, TimeRebased
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.frozen import dataclass
from proofbell.words import length

TOLD_S = 600.0
"""How long it stands there that somebody set the clock, or that the program was closed."""

CLOSED_S = 60.0
"""A program that was closed for less was only started anew."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One outage, and the doughs that were on the bench when the power went, each with its own view of it."""

    outage: Outage
    doughs: tuple[tuple[str, Outage], ...]

    @property
    def key(self) -> tuple[str, str, int]:
        """Another one is another question."""
        one = self.outage
        return one.boot_id, one.cause, round(one.suspected_s or 0.0) // 60


def asked(states: Sequence[BakeState], now: Stamp) -> Asked | None:
    """What is to be asked: the oldest outage in doubt, once for all doughs; None when every time is certain."""
    found = [(state.id, one) for state in states if (one := doubt(state, now)) is not None]
    return _together(found)


def answered(states: Sequence[BakeState], now: Stamp) -> Asked | None:
    """The newest outage that was answered already, to be put right; None when there was none."""
    found = [(state.id, all_[-1]) for state in states if state.closed is None and (all_ := outages(state, now))]
    return _together(list(reversed(found)))


def _together(found: Sequence[tuple[str, Outage]]) -> Asked | None:
    if not found:
        return None
    first = min((one for _, one in found), key=lambda one: one.seen_us)
    return Asked(first, tuple((bake, one) for bake, one in found if one.boot_id == first.boot_id))


def doubt_words(one: Outage) -> tuple[str, ...]:
    """The question in ever fewer words."""
    if one.suspected_s is None:
        return (
            "The power was off, nobody knows how long: times may be wrong.",
            "The power was off: how long?",
        )
    off = about(one.suspected_s)
    if one.said_s is not None:
        return (
            f"The clock was set: was the power off for {off}, not {about(one.said_s)}?",
            f"The power was off for {off}?",
        )
    if one.cause == "stepped":
        return f"The clock was set: was the power off for {off}?", f"The power was off for {off}?"
    return f"The power was off for {off}, by the clock. Right?", f"The power was off for {off}?"


def about(seconds: float) -> str:
    """``about 40 min``; to the minute, for nobody knows it better."""
    return "under a minute" if seconds < 60 else f"about {length(round(seconds / 60) * 60)}"


def set_words(states: Sequence[BakeState], now: Stamp) -> str:
    """That somebody set the clock a short while ago; nothing when nobody did, or when an answer followed."""
    for state in states:
        for event in reversed(state.events):
            if isinstance(event.body, TimeRebased):
                break
            if isinstance(event.body, ClockSet):
                if state.now_s(now) - state.times_us[event.number - 1] / 1_000_000 < TOLD_S:
                    way = "forward" if event.body.by_s > 0 else "back"
                    return f"The clock was set {way} by {length(abs(event.body.by_s))}; no countdown changed."
                break
    return ""


def closed_words(states: Sequence[BakeState], now: Stamp) -> tuple[str, ...]:
    """That the program was closed while a dough was on, for a while after it is back; in ever fewer words."""
    found = _closed(states)
    if found is None or found[1] < now.wall_us - TOLD_S * 1_000_000:
        return ()
    when = _from_to(found, now)
    return f"The program was closed {when}; the clock went on.", f"Closed {when}; the clock went on."


def closed_at_all(states: Sequence[BakeState], now: Stamp) -> str:
    """What is known where the power was not off: when the program was closed last; nothing where it was not."""
    found = _closed(states)
    return "" if found is None else f"The program was closed {_from_to(found, now)}; the times count that."


def _closed(states: Sequence[BakeState]) -> tuple[int, int] | None:
    """From when to when (UTC, µs) the program was closed last, while a bake that is on had begun."""
    back = [
        (event.stamp.wall_us - round(event.body.away_s * 1_000_000), event.stamp.wall_us)
        for state in states
        if state.begun and state.closed is None
        for event in state.events
        if isinstance(event.body, ProgramBack) and event.body.away_s >= CLOSED_S
    ]
    return max(back, key=lambda one: one[1], default=None)


def _from_to(found: tuple[int, int], now: Stamp) -> str:
    return f"from {hour_minute(found[0], now)} to {hour_minute(found[1], now)}"
