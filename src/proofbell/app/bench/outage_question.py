"""What the bench does about doubtful time: a line that stands until somebody has said how long, and the question."""

from __future__ import annotations

from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.time_dialog import TimeDialog
from proofbell.app.session.kept import kept_words
from proofbell.app.session.time_in_doubt import (
    Asked,
    answered,
    asked,
    closed_at_all,
    closed_words,
    doubt_words,
    set_words,
)
from proofbell.bake import intents
from proofbell.bake.intents import Refused
from proofbell.words import counted, length


class OutageQuestion:
    """Asks about each outage once by itself, and whenever it is told to."""

    def __init__(self, bench: BenchState) -> None:
        self._bench = bench
        self._asked_keys: frozenset[tuple[str, str, int]] = frozenset()

    def line(self) -> tuple[tuple[str, ...], str]:
        """What there is to say, in ever fewer words, and the key that answers it."""
        states = [state for state in self._bench.live.states if state.closed is None]
        now = self._bench.board.now
        found = asked(states, now)
        if found is not None:
            return doubt_words(found.outage), self._bench.host.key("bench.time")
        said = set_words(states, now)
        return (said,) if said else closed_words(states, now), ""

    def offer(self) -> bool:
        """Ask by itself, once, when nothing rings and nothing else is asked; whether the question is there now."""
        bench = self._bench
        found = asked(bench.live.states, bench.board.now)
        if found is None or bench.board.rings or found.key in self._asked_keys:
            return False
        self._ask(found, by_itself=True)
        return True

    def ask(self) -> None:
        """Say how long the power was off, or put right what was said."""
        bench = self._bench
        found = asked(bench.live.states, bench.board.now) or answered(bench.live.states, bench.board.now)
        if found is None:
            closed = closed_at_all(bench.live.states, bench.board.now)
            bench.say(closed or "No time is in doubt: the power was not off while a dough was on the bench.")
        else:
            self._ask(found, by_itself=False)

    def _ask(self, found: Asked, *, by_itself: bool) -> None:
        bench = self._bench
        self._asked_keys |= {found.key}
        if bench.host.is_open(TimeDialog):
            return
        letters = [state.letter for bake, _ in found.doughs if (state := bench.live.state(bake)) is not None]
        dialog = bench.host.dialog(TimeDialog)
        dialog.ask(found.outage, letters, bench.board.now, bench.real_us if by_itself else None)

        def answer(off_s: float | None) -> None:
            if off_s is not None:
                bench.host.in_background(self._rebase(found, off_s))

        bench.host.go(dialog, answer)

    async def _rebase(self, found: Asked, off_s: float) -> None:
        """One answer, an event for each dough."""
        bench = self._bench
        taken = 0
        refused: Refused | None = None
        for bake, one in found.doughs:
            answer = await bench.host.say(bake, intents.Rebase(one.since, off_s))
            taken, refused = taken + (answer is None), refused or answer
        done = f"Off for {length(off_s)}: the times of {counted(taken, 'dough')} go by it."
        bench.answer(refused, kept_words(bench.live, found.doughs[0][0], done))
