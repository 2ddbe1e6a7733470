"""The baker's own timers on this bench: kept at once, and where the disk fails in memory until it takes them."""

from __future__ import annotations

import asyncio
import contextlib
import secrets
from collections.abc import Awaitable, Callable

from proofbell.app.session.saving.keeper import Keeper
from proofbell.bake import intents
from proofbell.bake.asking.timer import Over, Timer, timer_name, timer_refused
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.clock import Clock
from proofbell.errors import Failure

Say = Callable[[str, Intent], Awaitable[Refused | None]]


class Timers:
    """All that run. ``one_at_a_time`` is held by whoever reads them from the disk or changes them.

    ``say`` says something to a bake: a timer that was set with a dough in hand stands in its log.
    """

    def __init__(self, clock: Clock, keeper: Keeper, one_at_a_time: asyncio.Lock, say: Say) -> None:
        self._clock = clock
        self._keeper = keeper
        self._lock = one_at_a_time
        self._say = say
        self._unsaved: dict[str, Timer] = {}
        self._ended: dict[str, tuple[Timer, Over, Stamp]] = {}
        self.fault: Failure | None = None
        """Why the disk does not have all of it; None while it has."""

    @property
    def running(self) -> tuple[Timer, ...]:
        """Those that nobody has answered or stopped, the next to ring first."""
        known = {timer.id: timer for timer in (*self._keeper.timers, *self._unsaved.values())}
        now = self._clock.stamp()
        left = [timer for timer in known.values() if timer.id not in self._ended]
        return tuple(sorted(left, key=lambda timer: (timer.left_s(now), timer.id)))

    def get(self, timer: str) -> Timer | None:
        return next((one for one in self.running if one.id == timer), None)

    async def set(self, typed: str, length_s: float, bake: str) -> Timer | Refused:
        """Set one; ``bake``: in whose log it stands, empty for none."""
        name, now = timer_name(typed), self._clock.stamp()
        refused = timer_refused(name, length_s, len(self.running))
        if refused is not None:
            return refused
        timer = Timer(secrets.token_hex(8), name, length_s, now, bake)
        self._unsaved[timer.id] = timer
        await self.save()
        await self._log(timer, intents.LogTimer(name, length_s, "set"))
        return timer

    async def end(self, timer: Timer) -> bool:
        """Answer it, or stop it before its time; False when it was over already."""
        now = self._clock.stamp()
        if self.get(timer.id) is None:
            return False
        late_s = -timer.left_s(now)
        how: Over = "answered" if late_s >= 0 else "stopped"
        self._ended[timer.id] = timer, how, now
        await self.save()
        await self._log(timer, intents.LogTimer(timer.name, timer.length_s, how, late_s))
        return True

    async def save(self) -> None:
        """Hand in what the disk does not have yet; what fails is tried again at the next look."""
        if not (self._unsaved or self._ended):
            return
        async with self._lock:
            try:
                for timer in list(self._unsaved.values()):
                    await self._keeper.keep_timer(timer)
                    self._unsaved.pop(timer.id, None)
                for timer, how, at in list(self._ended.values()):
                    await self._keeper.end_timer(timer, how, at)
                    self._ended.pop(timer.id, None)
                self.fault = None
            except Failure as fault:
                self.fault = fault

    def keep_again(self) -> None:
        """The file is gone: what runs is handed in anew."""
        self._unsaved |= {timer.id: timer for timer in self.running}

    async def _log(self, timer: Timer, intent: Intent) -> None:
        if timer.bake:
            # A bake that cannot be read now keeps no timer from ringing.
            with contextlib.suppress(Failure):
                await self._say(timer.bake, intent)
