"""What the bench's keys do. Each becomes an intent, said in the background so that a slow disk holds up no key."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, cast

from proofbell.app.bench.bench_answers import OVEN_KINDS, task_done
from proofbell.app.bench.note_dialog import NoteDialog
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.session.kept import kept_words
from proofbell.app.session.local_time import hour_minute
from proofbell.app.widgets.confirm_dialog import ConfirmDialog
from proofbell.bake import intents
from proofbell.bake.decisions.ask_first import long_before_its_start
from proofbell.bake.decisions.said import last_said
from proofbell.bake.intents import Intent
from proofbell.bake.prompts import Prompt
from proofbell.bake.state import BakeState
from proofbell.bench.board import Coming
from proofbell.bench.row_order import row_beyond
from proofbell.journal.reviews.wording import names_of
from proofbell.words import length

if TYPE_CHECKING:
    from proofbell.app.bench.bench_screen import BenchScreen

STEP_S = 300.0
"""Longer and shorter by hand go by five minutes."""

TWICE_US = 700_000
"""A key that bounces, or a wet elbow, ends no second stage within this time."""


class BenchDoing:
    """The actions of the bench, apart from its looks."""

    _ended_us: int = -TWICE_US
    _ending: frozenset[tuple[str, int]] = frozenset()

    @property
    def _bench(self) -> BenchScreen:
        return cast("BenchScreen", self)

    @property
    def _state(self) -> BakeState | None:
        bench = self._bench
        return None if bench.in_hand is None else bench.live.state(bench.in_hand)

    def tell(self, intent: Intent, done: str = "", bake: str | None = None) -> None:
        """Say something to the dough in hand; the answer, or ``done``, goes on the notice line."""
        bench, to = self._bench, bake or self._bench.in_hand
        if to is None:
            bench.say("No dough is selected. Press a to add a bake.", wrong=True)
            return

        async def telling() -> None:
            refused = await bench.our_app.say(to, intent)
            if refused is None:
                bench.say(kept_words(bench.live, to, done))
            else:
                bench.say(f"{refused.message} {refused.remedy}".strip(), wrong=True)

        bench.our_app.in_background(telling())

    # -- stages --------------------------------------------------------------------------------------------------

    def action_done(self) -> None:
        """End the stage in hand, or begin the bake; ask once when a timed stage is far from over."""
        state, bench = self._state, self._bench
        if state is None:
            bench.say("No dough is selected. Press a to add a bake.", wrong=True)
            return
        real_us = bench.our_app.real.stamp().boot_us
        if real_us - self._ended_us < TWICE_US:
            return
        if state.closed is not None:
            bench.call_later(bench.action_log)
            return
        index = state.current
        if index is None:
            self._begin(state, real_us)
            return
        small = self.small_task()
        if small is not None and small.task is not None:
            self._ended_us = real_us
            self.tell(intents.Task(small.task), task_done(small), state.id)
            return
        if (state.id, index) in self._ending:
            return  # It is being stored; asking again would put a question about what is over on the screen.
        questions = bench.board.asks_first(state)
        if questions:
            name = state.stage(index).name
            words = f"{' '.join(questions)} End {name[:1].lower()}{name[1:]} now?"
            title = f"{state.letter}  {state.formula.name}"
            bench.ask(title, words, lambda: self._end(state.id, index), lambda: self._still_at(state.id, index))
        else:
            self._end(state.id, index)

    def _begin(self, state: BakeState, real_us: int) -> None:
        """Begin the bake; ask once when that is long before its planned start."""
        bench = self._bench

        def begin() -> None:
            self._ended_us = real_us
            self.tell(intents.Begin(), bake=state.id)

        now = bench.live.clock.stamp()
        if state.start_s is None or not long_before_its_start(state, state.now_s(now)):
            begin()
            return
        at = hour_minute(state.wall_us(state.start_s), now)
        words = f"Its start is planned for {at}. Begin now?"
        bench.ask(f"{state.letter}  {state.formula.name}", words, begin, lambda: self._still_at(state.id, None))

    def small_task(self) -> Prompt | None:
        """The small task that stands first on the panel of the dough in hand: the same key answers what is asked."""
        view = self._bench.board.of(self._bench.in_hand or "")
        first = view.wants[0] if view is not None and view.wants else None
        return first if first is not None and first.kind in OVEN_KINDS else None

    def _end(self, bake: str, index: int) -> None:
        """End that very stage: if it is over by the time this is said, nothing happens."""
        bench = self._bench
        self._ending |= {(bake, index)}

        async def ending() -> None:
            try:
                refused = await bench.our_app.say(bake, intents.Done()) if self._still_at(bake, index) else None
            finally:
                self._ending -= {(bake, index)}
            if refused is None:
                self._ended_us = bench.our_app.real.stamp().boot_us
            else:
                bench.say(f"{refused.message} {refused.remedy}".strip(), wrong=True)

        bench.our_app.in_background(ending())

    def _still_at(self, bake: str, index: int | None) -> bool:
        state = self._bench.live.state(bake)
        return state is not None and state.closed is None and state.current == index

    def _is_open(self, bake: str) -> bool:
        state = self._bench.live.state(bake)
        return state is not None and state.closed is None

    def action_longer(self) -> None:
        """Five minutes more."""
        self.tell(intents.Longer(STEP_S), f"{length(STEP_S)} longer.")

    def action_shorter(self) -> None:
        """Five minutes less."""
        self.tell(intents.Longer(-STEP_S), f"{length(STEP_S)} shorter.")

    def action_row_up(self) -> None:
        """Move the selected dough one row up."""
        self._take_row(-1, "higher", "at the top")

    def action_row_down(self) -> None:
        """Move the selected dough one row down."""
        self._take_row(1, "lower", "at the bottom")

    def _take_row(self, step: int, whither: str, end: str) -> None:
        state, bench = self._state, self._bench
        if state is None:
            bench.say("No dough is selected. Press a to add a bake.", wrong=True)
            return
        row = row_beyond(bench.live.states, state.id, step)
        if row is None:
            bench.say(f"{state.letter} stands {end} already.")
        else:
            self.tell(intents.TakeRow(row), f"{state.letter}: one row {whither}.")

    def action_undo(self) -> None:
        """Take back the last thing said, to whichever dough it was, and say what it was."""
        bench = self._bench
        spoken_to = bench.live.state(bench.our_app.spoken_to or "")
        state = spoken_to if spoken_to is not None and last_said(spoken_to) else self._state
        said = () if state is None else last_said(state)
        if state is None or not said:
            self.tell(intents.Undo())
            return
        # The deed without its reasons: those stand in the log.
        deed = names_of([event.number for event in said], state).split(". ", maxsplit=1)[0].rstrip(".")
        other = "" if state.id == bench.in_hand else f"{state.letter}: "
        self.tell(intents.Undo(), f"Undone: {other}{deed}.", state.id)

    def action_give_up(self) -> None:
        """End the bake unfinished, when that is meant."""
        state, bench = self._state, self._bench
        if state is None or state.closed is not None:
            bench.say("There is no bake to give up.", wrong=True)
            return
        words = "Give up this bake? It stays in the journal, unfinished."
        bake = state.id
        bench.ask(
            f"{state.letter}  {state.formula.name}",
            words,
            lambda: self.tell(intents.GiveUp(), "Given up. u undoes it, c puts it away.", bake),
            lambda: self._is_open(bake),
        )

    def action_put_away(self) -> None:
        """Take a finished bake off the bench."""
        state, bench = self._state, self._bench
        if state is None or state.closed is None:
            bench.say("Only a bake that is over can be put away.", wrong=True)
            return
        if not bench.live.put_away(state.id):
            bench.say(f"{state.letter} is not saved yet; it stays here until it is.", wrong=True)
            return
        bench.in_hand = None
        bench.our_app.tick()
        bench.say("Put away." if bench.live.rehearsal else "Put away; it is in the journal.")

    # -- readings, notes, small tasks ----------------------------------------------------------------------------

    def action_reading(self) -> None:
        """Take a reading; the check that is due is chosen already."""
        bench = self._bench
        if bench.in_hand is not None:
            ring = next((r for r in bench.board.coming if r.bake == bench.in_hand and r.prompt.kind == "check"), None)
            bench.open_reading(bench.in_hand, ring if ring is not None and ring.now else None)

    def open_reading(self, bake: str, ring: Coming | None) -> None:
        """Open the reading dialog for a bake."""
        bench, state = self._bench, self._bench.live.state(bake)
        if state is None or bench.our_app.is_open(ReadingDialog):
            return
        dialog = bench.our_app.dialog(ReadingDialog)
        dialog.ask(bench.live, bake, ring)

        def closed(answer: str | None) -> None:
            if answer == "later" and ring is not None:
                bench.put_off(ring)
            elif answer:
                in_hand = bench.board.of(bench.in_hand or "")
                if in_hand is None or in_hand.mode != "up":
                    # Whoever has just read a dough stands before it, unless another is being worked on.
                    bench.in_hand = bake
                bench.say(answer)

        bench.our_app.hold(on=True)
        bench.app.push_screen(dialog, closed)

    def action_note(self) -> None:
        """Write a note."""
        bench, state = self._bench, self._state
        if state is None or bench.our_app.is_open(NoteDialog):
            return
        bake = state.id
        dialog = bench.our_app.dialog(NoteDialog)
        dialog.ask(f"{state.letter}  {state.formula.name}")

        def closed(text: str | None) -> None:
            if text:
                self.tell(intents.AddNote(text), "Noted.", bake)

        bench.our_app.hold(on=True)
        bench.app.push_screen(dialog, closed)

    def ask(self, title: str, words: str, then: Callable[[], None], still: Callable[[], bool]) -> None:
        """Ask yes or no; ``then`` is called on yes. The question goes by itself when it is ``still`` no more."""
        bench = self._bench
        if bench.our_app.is_open(ConfirmDialog):
            return
        dialog = bench.our_app.dialog(ConfirmDialog)
        dialog.ask(title, words, still)

        def closed(yes: bool | None) -> None:  # noqa: FBT001 - what a dialog answers
            if yes:
                then()

        bench.our_app.hold(on=True)
        bench.app.push_screen(dialog, closed)
