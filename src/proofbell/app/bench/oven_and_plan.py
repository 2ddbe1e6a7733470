"""What the bench's keys answer: what is asked about the oven, what the plan asks, and the bell."""

from __future__ import annotations

from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.own_timers.bench_timers import BenchTimers
from proofbell.bake import intents
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.tasks import OvenTask, Silenced
from proofbell.bake.view import BakeView
from proofbell.bench.board import Coming
from proofbell.bench.done_means import IN_A_MOMENT_S

WITHIN, OF_THE_OVEN = ("heat", "turn"), ("oven on", "oven hot", "oven off")
"""Kinds of task with bread in the oven, and of the oven itself."""
OVEN_KINDS = (*WITHIN, *OF_THE_OVEN)


class OvenAndPlan:
    """The answers that the bench takes."""

    def __init__(self, bench: BenchState, timers: BenchTimers) -> None:
        self._bench = bench
        self._timers = timers

    def oven(self) -> None:
        """Answer what is asked about the oven."""
        view, asked = self._oven_asked() or (None, None)
        if view is None or asked is None or asked.task is None:
            self._bench.say("There is no question about the oven right now.", wrong=True)
            return
        done = task_done(asked)
        if view.bake != self._bench.in_hand:
            done = f"{view.letter}: {done[:1].lower()}{done[1:]}"
        self._tell_oven(view, asked.task, done)

    def _tell_oven(self, view: BakeView, task: OvenTask, done: str) -> None:
        """Say it; ask once where an oven is said to be on or hot long before its time, or with other bread in it."""
        bench, bake = self._bench, view.bake

        def words() -> str:
            state = bench.live.state(bake)
            return "" if state is None else bench.board.asks_of_oven(state, task)

        def say() -> None:
            bench.tell(intents.Task(task), done, bake)

        if words():
            bench.ask(f"{view.letter}  {view.title}", words, say, lambda: self._still_asked(bake, task))
        else:
            say()

    def _still_asked(self, bake: str, task: OvenTask) -> bool:
        state = self._bench.live.state(bake)
        return (
            state is not None
            and state.closed is None
            and not state.done(task)
            and bool(self._bench.board.asks_of_oven(state, task))
        )

    def _oven_asked(self) -> tuple[BakeView, Prompt] | None:
        """What the key is about, and whose it is: there is one oven, so its bell comes first, whichever dough it is of.

        Then what is due, of the dough in hand before others; then what is due in a moment for what is in the oven; then
        what comes next of all, as the head of the page has it.
        """
        mine = self._bench.view
        views = (
            self._bench.board.views if mine is None else (mine, *(v for v in self._bench.board.views if v is not mine))
        )
        ringing = {(ring.bake, ring.prompt.id) for ring in self._bench.board.rings}
        wanted = [(view, one) for view in views for one in view.wants if one.kind in OVEN_KINDS]
        rung = [found for found in wanted if (found[0].bake, found[1].id) in ringing]
        soon_us = self._bench.board.now.wall_us + round(IN_A_MOMENT_S * 1_000_000)
        soon = {(c.bake, c.prompt.id) for c in self._bench.board.coming if c.at_us <= soon_us}
        within = [
            (view, one) for view in views for one in view.coming if one.kind in WITHIN and (view.bake, one.id) in soon
        ]
        known = {view.bake: view for view in views}
        coming = [
            c
            for c in self._bench.board.coming
            if c.bake in known and (c.prompt.kind in OF_THE_OVEN or (mine is known[c.bake] and c.prompt.kind in WITHIN))
        ]
        ahead = [(known[c.bake], c.prompt) for c in sorted(coming, key=lambda c: (c.at_us, known[c.bake] is not mine))]
        return next(iter((*rung, *wanted, *within, *ahead)), None)

    def yes(self) -> None:
        """Do as the plan asks."""
        if self._question_hidden() or self._question_changed():
            return
        replanning = self._bench.host.replanning
        done = replanning.proposals[0].done if replanning.proposals else ""
        asked = replanning.yes()
        if asked is None:
            yet = " yet; it asks when that stage starts" if replanning.intends else ""
            self._bench.say(f"The plan has no question{yet}.")
        else:
            self._bench.tell(asked[1], done, asked[0])

    def no(self) -> None:
        """Leave it as it is."""
        if self._question_hidden() or self._question_changed():
            return
        declined = self._bench.host.replanning.no()
        if declined is not None:
            self._bench.tell(declined[1], "Left as it is.", declined[0])

    def _question_hidden(self) -> bool:
        """What rings stands where the plan would ask; nobody says yes to what cannot be read."""
        hidden = bool(self._bench.board.rings and self._bench.host.replanning.proposals)
        if hidden:
            self._bench.say("Answer the alarm first (q silences it), then the plan.", wrong=True)
        return hidden

    def _question_changed(self) -> bool:
        """Another question stands there since a moment ago; the answer was meant for the one before."""
        replanning = self._bench.host.replanning
        changed = bool(replanning.proposals) and replanning.changed_just_now(self._bench.real_us)
        if changed:
            self._bench.say(
                "The plan's question has just changed: nothing is answered. Read it, then answer.", wrong=True
            )
        return changed

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
