"""Which window raises the alarms, in words for those that do not."""

from __future__ import annotations

from typing import Protocol

from proofbell.app.session.local_time import hour_minute
from proofbell.bake.stamp import Stamp
from proofbell.journal.files.lock import BROWSER, Holder


class Leader(Protocol):
    """Whoever may raise the alarms: one of all open programs."""

    def take(self) -> bool:
        """Whether this program may, from now on."""
        ...

    def let_go(self) -> None:
        """Leave it to another, until asked again."""
        ...

    def holder(self) -> Holder | None:
        """Who else may, if anybody."""
        ...


def who_rings(holder: Holder | None, now: Stamp, *, leads: bool) -> str:
    """``Another window rings: the one on pts/3, open since 09:12.`` Empty where nobody else does."""
    if holder is None:
        return "" if leads else "Another window rings."
    if holder.terminal == BROWSER:
        where = f"one in a browser (process {holder.pid})"
    else:
        where = f"the one on {holder.terminal}" if holder.terminal else f"process {holder.pid}"
    if holder.answers:
        return f"Another window rings: {where}, open since {hour_minute(holder.since_us, now)}."
    when = hour_minute(holder.ran_us, now)
    return f"The other window, {where}, has not answered since {when}: this one rings too. Close the other."


def rings_where(holder: Holder | None, *, leads: bool) -> str:
    """``rings on pts/3``: beside what rings, in a window that keeps silent; nothing in one that sounds."""
    if leads:
        return ""
    if holder is None:
        return "rings elsewhere"
    if holder.terminal == BROWSER:
        return "rings in a browser"
    return f"rings on {holder.terminal}" if holder.terminal else f"rings in process {holder.pid}"


def as_told(holder: Holder | None, *, leads: bool) -> object:
    """Differs when there is something new to tell: another window rings, or one answers no more."""
    return leads, None if holder is None else (holder.pid, holder.terminal, holder.since_us, holder.answers)
