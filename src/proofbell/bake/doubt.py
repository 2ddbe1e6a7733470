"""What is doubtful in a bake's own time: how long the power was off, where no clock that ran through it can say.

After a new start of the machine only UTC tells how long it was off. A machine without a battery clock begins where it
left off, or years back, until the network sets it right: that step is most likely the outage, but nobody can know it
save the baker. Everything here follows from the events and now.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Literal

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.bake.stamp import CLOCK_SET_US, Stamp, uptime_us
from proofbell.bake.state import BakeState
from proofbell.bake.steps import first_of_boot
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.frozen import dataclass

Cause = Literal["off", "stepped", "impossible"]

ASK_AGAIN_S = 60.0
"""A yes to what the clock said is asked again when the clock, set since, says something else by this much."""


@dataclass(frozen=True, slots=True)
class Outage:
    """The power was off while something of the bake was running.

    ``since`` is the number of the first event after it, ``boot_id`` the boot that this event belongs to. ``seen_us`` is
    when the machine was last seen running (UTC, µs, by the clock as it stood then), ``offset_min`` the local offset.
    Lengths are of the outage alone (s): ``counted_s`` as it counts now, ``by_clocks_s`` before anybody said anything of
    it; ``suspected_s`` as the clock says, None where
    that cannot be; ``said_s`` as the baker said. ``cause``: the machine was off; the clock was set since it started; or
    the clock says what cannot be.
    """

    since: int
    boot_id: str
    seen_us: int
    offset_min: int
    counted_s: float
    by_clocks_s: float
    suspected_s: float | None
    cause: Cause
    said_s: float | None = None
    settled: bool = False


def doubt(state: BakeState, now: Stamp) -> Outage | None:
    """The oldest outage that nobody has said the length of; None when the bake's time is not in doubt."""
    if state.closed is not None:
        return None
    return next((one for one in outages(state, now) if not one.settled), None)


def outages(state: BakeState, now: Stamp) -> tuple[Outage, ...]:
    """Every outage while something of the bake was running, in order of time, those settled included."""
    found: list[Outage] = []
    lag_us = 0
    for before, boot in _starts(state, now):
        one, lag_us = _outage(state, before, boot, lag_us)
        if one is not None:
            found.append(one)
    return tuple(found)


def ran_on_s(state: BakeState, seen: Stamp, now: Stamp) -> float:
    """How long the machine was ``seen`` running after the bake's last event of that boot (s); 0 if it runs still."""
    if seen.boot_id == now.boot_id:
        return 0.0
    last = next((event.stamp for event in reversed(state.events) if event.stamp.boot_id == seen.boot_id), None)
    return 0.0 if last is None else max(0, seen.boot_us - last.boot_us) / 1_000_000


@dataclass(frozen=True, slots=True)
class _Boot:
    """One boot as the bake saw it: its first and last stamp, the events, and its first event's own time (µs)."""

    first: Stamp
    last: Stamp
    events: tuple[Event, ...]
    since: int
    own_us: int


def _starts(state: BakeState, now: Stamp) -> Iterator[tuple[Event, _Boot]]:
    """Each new start of the machine: the last event before it, and the boot that began."""
    firsts = [at for at in range(1, len(state.events)) if _differ(state.events[at - 1].stamp, state.events[at].stamp)]
    for at, end in pairwise([*firsts, len(state.events)]):
        events = state.events[at:end]
        last = events[-1].stamp
        if end == len(state.events) and not _differ(last, now):
            last = now
        yield state.events[at - 1], _Boot(events[0].stamp, last, events, events[0].number, state.times_us[at])
    if _differ(state.last.stamp, now):
        yield state.last, _Boot(now, now, (), state.last.number + 1, state.timeline.at(now))


def _differ(one: Stamp, other: Stamp) -> bool:
    return one.boot_id != other.boot_id


def _outage(state: BakeState, before: Event, boot: _Boot, lag_us: int) -> tuple[Outage | None, int]:
    """The outage before a boot, if it matters, and by how much the wall clock lags behind the truth at its end (µs)."""
    back = next((event.body for event in boot.events if isinstance(event.body, kinds.ProgramBack)), None)
    ran_us = 0 if back is None else round(back.ran_s * 1_000_000)
    known_us = ran_us + uptime_us(before.stamp, boot.first)
    raw_us = boot.first.wall_us - before.stamp.wall_us - known_us
    step_us = boot.last.wall_less_boot_us - boot.first.wall_less_boot_us
    stepped = abs(step_us) >= CLOCK_SET_US
    # A clock that was wrong before, and was set right since, has the outages before in its step.
    word_us = raw_us + step_us - (lag_us if stepped else 0)
    restarted = before.stamp.boot_known and boot.first.boot_known
    if not _something_ran(state, boot.since) or not (restarted or raw_us < -CLOCK_SET_US):
        return None, 0
    possible = -CLOCK_SET_US <= word_us <= LONGEST_STAGE_S * 1_000_000
    suspected_s = max(0, word_us) / 1_000_000 if possible else None
    said = _said(state, boot.since)
    body = None if said is None else said.body
    counted_us = boot.own_us - state.times_us[before.number - 1] - known_us
    shift_us = sum(one.by_us for one in state.shifts if one.since == boot.since)
    outage = Outage(
        since=boot.since,
        boot_id=boot.first.boot_id,
        seen_us=before.stamp.wall_us + ran_us,
        offset_min=before.stamp.offset_min,
        counted_s=counted_us / 1_000_000,
        by_clocks_s=(counted_us - shift_us) / 1_000_000,
        suspected_s=suspected_s,
        cause="impossible" if suspected_s is None else "stepped" if stepped else "off",
        said_s=body.off_s if isinstance(body, kinds.TimeRebased) else None,
        settled=said is not None and not _reopened(said, boot, suspected_s),
    )
    if outage.said_s is None:
        return outage, 0
    return outage, lag_us + round(outage.said_s * 1_000_000) - raw_us - step_us


def _said(state: BakeState, since: int) -> Event | None:
    """The newest word on that outage that stands."""
    return next(
        (
            event
            for event in reversed(state.events)
            if isinstance(event.body, kinds.TimeRebased) and first_of_boot(state.events, event.body.since) == since
            and event.number not in state.undone
        ),
        None,
    )  # fmt: skip


def _reopened(said: Event, boot: _Boot, suspected_s: float | None) -> bool:
    """Whether the baker only said yes to what the clock said, and the clock was set since and says otherwise."""
    body = said.body
    if not isinstance(body, kinds.TimeRebased) or abs(body.by_s) >= ASK_AGAIN_S / 2 or suspected_s is None:
        return False
    if said.stamp.boot_id != boot.first.boot_id:
        return False
    set_us = boot.last.wall_less_boot_us - said.stamp.wall_less_boot_us
    return abs(set_us) >= CLOCK_SET_US and abs(suspected_s - body.off_s) >= ASK_AGAIN_S


def _something_ran(state: BakeState, since: int) -> bool:
    """Whether a stage had begun, or a start was planned, when the machine started anew."""
    return any(
        isinstance(event.body, kinds.StageBegun | kinds.StartPlanned) and event.number not in state.undone
        for event in state.events[: since - 1]
    )
