"""What the bench's keys answer: what is asked about the oven, what the plan asks, and the bell."""

from __future__ import annotations

from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.own_timers.bench_timers import BenchTimers
from proofbell.bake import intents
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.tasks import Silenced
from proofbell.bench.board import Coming

OVEN_KINDS = ("heat", "turn", "oven on", "oven hot", "oven off")


class OvenAndPlan:
    """The answers that the bench takes."""

    def __init__(self, bench: BenchState, timers: BenchTimers) -> None:
        self._bench = bench
        self._timers = timers

    def oven(self) -> None:
        """Answer what is asked about the oven: due first, then the next to come."""
        asked = self.oven_prompt()
        if asked is None or asked.task is None:
            self._bench.say("There is no question about the oven right now.", wrong=True)
            return
        self._bench.tell(intents.Task(asked.task), task_done(asked))

    def oven_prompt(self) -> Prompt | None:
        """What is asked about the oven for the dough in hand."""
        view = self._bench.view
        if view is None:
            return None
        return next((p for p in (*view.wants, *view.coming) if p.kind in OVEN_KINDS), None)

    def yes(self) -> None:
        """Do as the plan asks."""
        if self._question_hidden():
            return
        replanning = self._bench.host.replanning
        asked = replanning.yes()
        if asked is None:
            yet = " yet; it asks when that stage starts" if replanning.intends else ""
            self._bench.say(f"The plan has no question{yet}.")
        else:
            self._bench.tell(asked[1], "Changed as the plan asked.", asked[0])

    def no(self) -> None:
        """Leave it as it is."""
        if self._question_hidden():
            return
        if self._bench.host.replanning.no(self._bench.live.states):
            self._bench.say("Left as it is.")

    def _question_hidden(self) -> bool:
        """What rings stands where the plan would ask; nobody says yes to what cannot be read."""
        hidden = bool(self._bench.board.rings and self._bench.host.replanning.proposals)
        if hidden:
            self._bench.say("Answer the alarm first (q silences it), then the plan.", wrong=True)
        return hidden

    def quiet(self) -> None:
        """Silence the dough in hand, or else whatever rings first."""
        rings = self._bench.board.rings
        mine = [ring for ring in rings if ring.bake == self._bench.in_hand] or list(rings[:1])
        self._silence(mine)

    def quiet_all(self) -> None:
        """Silence everything."""
        self._silence(list(self._bench.board.rings))

    def _silence(self, rings: list[Coming]) -> None:
        if not rings:
            self._bench.say("Nothing rings.")
        for ring in rings:
            if ring.is_timer:
                self._timers.answer(ring.bake)
                continue
            self._bench.tell(intents.Task(Silenced(ring.prompt.id)), "Silenced; it stays due.", ring.bake)


def task_done(asked: Prompt) -> str:
    """The answer to a small task that was done."""
    if asked.kind == "oven hot":
        return "The oven is hot."
    return f"{asked.words[:1].upper()}{asked.words[1:].rstrip('?')}: done."
