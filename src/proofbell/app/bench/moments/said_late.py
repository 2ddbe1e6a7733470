"""What is said of the dough in hand with its moment: where it was put, and that a stage ended a while ago."""

from __future__ import annotations

from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.moments.moment_dialog import MomentDialog, Take
from proofbell.app.session.kept import kept_words
from proofbell.app.session.local_time import hour_minute, with_date
from proofbell.bake import intents
from proofbell.bake.asking.stage_end import waits_for_its_oven
from proofbell.bake.fermenting.cold import MOST_IN_THE_COLD_S, in_the_cold
from proofbell.bake.fermenting.place import places_known
from proofbell.bake.fermenting.place_words import read_place, where_words
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.quantities import QuantityError

NOW_S, DAY_S = 60.0, 86_400.0


class SaidLate:
    """Asks with a dialog and says it to the bake that was in hand then."""

    def __init__(self, bench: BenchState) -> None:
        self._bench = bench

    def moved(self) -> None:
        """Say where the dough stands, and since when."""
        bench, state = self._bench, self._running("No dough to move yet: begin the bake first.")
        if state is None:
            return
        # A place that the kitchen has learned since the bake was opened is one of it, too.
        known = dict(places_known(state)) | dict(bench.live.kitchen.places)

        async def take(where: str, ago_s: float) -> str:
            try:
                intent = read_place(where, ago_s)
            except QuantityError as error:
                return f"{error.message} {error.remedy}".strip()
            named = next((name for name in known if name.casefold() == intent.place.casefold()), None)
            if named is not None:
                intent = intents.Move(named, known[named], intent.ago_s)
            return await self._say(state.id, intent)

        self._ask(state, take, known)

    def ended(self) -> None:
        """Say that the running stage ended a while ago."""
        state = self._running("No stage is running.")
        if state is None:
            return
        index = state.current

        async def take(_where: str, ago_s: float) -> str:
            now = self._bench.live.state(state.id)
            if now is None or now.current != index:
                return ""
            return await self._say(state.id, intents.Done(ago_s=ago_s))

        self._ask(state, take, {})

    def _running(self, otherwise: str) -> BakeState | None:
        state = self._bench.state
        if state is None or state.closed is not None or state.current is None:
            self._bench.say(otherwise, wrong=True)
            return None
        return state

    def _ask(self, state: BakeState, take: Take, places: dict[str, float]) -> None:
        bench = self._bench
        if bench.host.is_open(MomentDialog):
            return
        stage = state.stage(state.current or 0).name
        dialog = bench.host.dialog(MomentDialog)
        dialog.ask(f"{state.letter}  {stage}{'' if places else ' ended'}", take, tuple(places.items()))
        bench.host.hold(on=True)
        bench.host.go(dialog)

    async def _say(self, bake: str, intent: Intent) -> str:
        """Say it; what stands against it, or nothing."""
        bench = self._bench
        refused: Refused | None = await bench.host.say(bake, intent)
        if refused is not None:
            return f"{refused.message} {refused.remedy}".strip()
        state = bench.live.state(bake)
        done = "" if state is None else _done_words(state, intent, bench)
        bench.answer(None, kept_words(bench.live, bake, done) if done else "")
        return ""


def _done_words(state: BakeState, intent: Intent, bench: BenchState) -> str:
    """What follows from what was said: when the running stage is due, out of the cold when and then what."""
    index = state.current
    if index is None or state.stage(index).kind == "hands":
        return "Ended then." if isinstance(intent, intents.Done) else ""
    due_s = state.stages[index].due_s or 0.0
    at = hour_minute(state.wall_us(due_s), bench.live.clock.stamp())
    if isinstance(intent, intents.Done):
        return f"{state.stage(index).name} began then: due at {at}."
    # What it is like then, and what follows, stands on the panel.
    return f"{where_words(state, index)}: {out_words(state, index, bench.live.clock.stamp())}."


def out_words(state: BakeState, index: int, now: Stamp) -> str:
    """``take it out at 10:45``, ``due at …``: now where that is over, with its date from a day on.

    So far off in the cold no moment can be told: there it hardly ripens.
    """
    cold, left_s = in_the_cold(state, index), (state.stages[index].due_s or 0.0) - state.now_s(now)
    what, at_us = "take it out" if cold else "due", state.wall_us(state.stages[index].due_s or 0.0)
    if cold and waits_for_its_oven(state, index, state.now_s(now)):
        return "it stays there until the oven is hot"
    if left_s < NOW_S:
        return f"{what} now"
    if cold and left_s > MOST_IN_THE_COLD_S:
        return "it hardly ripens there, so no moment can be told; look at it each day, or stand it warmer"
    return f"{what} at {with_date(at_us, now) if left_s >= DAY_S else hour_minute(at_us, now)}"
