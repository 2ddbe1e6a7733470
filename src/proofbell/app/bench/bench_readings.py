"""Readings and notes of the bench: asked for by key, and offered when a check is due."""

from __future__ import annotations

from proofbell.app.alarms.alarm import key_of
from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.note_dialog import NoteDialog
from proofbell.bake import intents
from proofbell.bake.asking.offered import read_for
from proofbell.bake.tasks import PromptId
from proofbell.bench.board import Coming


class BenchReadings:
    """Opens the dialogs for them."""

    def __init__(self, bench: BenchState) -> None:
        self._bench = bench
        self._offered: set[tuple[str, PromptId]] = set()

    def reading(self, typed: str = "") -> None:
        """Take a reading: what the screen asks for; the rise before others where it asks for nothing.

        ``typed``: how its number begins.
        """
        bench, state, view = self._bench, self._bench.state, self._bench.view
        if bench.in_hand is None or state is None or view is None:
            return
        asks = next((each for each in view.wants if read_for(state, each) is not None), None)
        mine = (ring for ring in bench.board.coming if ring.bake == bench.in_hand and ring.prompt == asks)
        # Only a check can be put off, or skipped.
        self.open(bench.in_hand, next((ring for ring in mine if ring.prompt.kind == "check"), None), typed=typed)

    def open(self, bake: str, ring: Coming | None, by_itself_us: int | None = None, typed: str = "") -> None:
        """Open the reading dialog for a bake; ``by_itself_us`` (the real clock): nobody asked for it."""
        bench = self._bench
        if bench.live.state(bake) is None:
            return

        def closed(answer: str | None) -> None:
            if answer is None and ring is not None:
                self._put_off(ring)
            elif answer:
                in_hand, read = bench.view, bench.live.state(bake)
                if in_hand is None or (by_itself_us is None and in_hand.mode != "up"):
                    # Whoever has read a dough unasked stands before it, unless another is being worked on.
                    bench.in_hand = bake
                other = read is not None and bench.in_hand != bake
                bench.say(f"{read.letter}: {answer[:1].lower()}{answer[1:]}" if read is not None and other else answer)

        bench.host.hold(on=True)
        bench.host.read(bake, closed, ring=ring, by_itself_us=by_itself_us, typed=typed)

    def offer(self) -> None:
        """Open the reading by itself when a check is due; once, and again when "later" has passed.

        What is in the oven goes first, then the dough in hand. That of another dough than the one in hand not while
        somebody is at the keys: they would go to the wrong dough.
        """
        bench = self._bench
        self._offered &= {key_of(ring) for ring in bench.board.rings}
        oven = {view.bake for view in bench.board.views if view.kind == "bake"}
        for ring in sorted(bench.board.rings, key=lambda one: (one.bake not in oven, one.bake != bench.in_hand)):
            if ring.prompt.check is None or key_of(ring) in self._offered or bench.host.sounding.is_put_off(ring):
                continue
            if (ring.bake, ring.prompt.stage) in bench.ending:
                continue
            if ring.bake != bench.in_hand and bench.host.at_the_keys:
                continue
            self._offered.add(key_of(ring))
            self.open(ring.bake, ring, bench.real_us)
            return

    def _put_off(self, ring: Coming) -> None:
        """Later: the bell keeps still for a while, then the reading opens again."""
        self._offered.discard(key_of(ring))
        self._bench.host.sounding.put_off(ring)

    def note(self) -> None:
        """Write a note."""
        bench, state = self._bench, self._bench.state
        if state is None or bench.host.is_open(NoteDialog):
            return
        bake = state.id
        dialog = bench.host.dialog(NoteDialog)
        dialog.ask(f"{state.letter}  {state.formula.name}")

        def closed(text: str | None) -> None:
            if text:
                bench.tell(intents.AddNote(text), "Noted.", bake)

        bench.host.hold(on=True)
        bench.host.go(dialog, closed)
