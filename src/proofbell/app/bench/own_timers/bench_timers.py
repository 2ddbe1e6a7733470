"""Timers of the baker's own at the bench: set, stopped, and answered when they ring."""

from __future__ import annotations

from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.own_timers.timer_dialog import TimerDialog, Wanted
from proofbell.app.session.local_time import hour_minute
from proofbell.bake.asking.timer import Timer
from proofbell.bake.intents import Refused
from proofbell.words import length


class BenchTimers:
    """Asks with a dialog; what is set with a dough in hand stands in its log."""

    def __init__(self, bench: BenchState) -> None:
        self._bench = bench

    def ask(self) -> None:
        """Set one, or stop one that runs."""
        bench, state = self._bench, self._bench.state
        if bench.host.is_open(TimerDialog):
            return
        bake, title = "", "Timer"
        if state is not None and state.closed is None:
            bake, title = state.id, f"Timer, in the log of {state.letter}"
        dialog = bench.host.dialog(TimerDialog)
        dialog.ask(title, lambda: bench.live.timers.running)

        def closed(wanted: Wanted | None) -> None:
            if isinstance(wanted, Timer):
                self.answer(wanted.id)
            elif wanted is not None:
                bench.host.in_background(self._set(*wanted, bake))

        bench.host.hold(on=True)
        bench.host.go(dialog, closed)

    def answer(self, timer: str) -> None:
        """It has rung, or is stopped before its time."""
        found = self._bench.live.timers.get(timer)
        if found is not None:
            self._bench.host.in_background(self._end(found))

    async def _set(self, name: str, length_s: float, bake: str) -> None:
        bench = self._bench
        found = await bench.live.timers.set(name, length_s, bake)
        if isinstance(found, Refused):
            bench.answer(found, "")
            return
        now = bench.live.clock.stamp()
        bench.host.tick()
        bench.say(f"{found.name}: {length(found.length_s)}, rings at {hour_minute(found.due_us(now), now)}.")

    async def _end(self, timer: Timer) -> None:
        bench = self._bench
        rang = timer.left_s(bench.live.clock.stamp()) <= 0
        if await bench.live.timers.end(timer):
            bench.host.tick()
            bench.say(f"{timer.name}: {'answered' if rang else 'stopped'}.")
