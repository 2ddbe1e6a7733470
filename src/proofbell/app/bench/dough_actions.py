"""What the bench's keys do to the dough in hand.

Each becomes an intent, said in the background so that a slow disk holds up no key.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.oven_and_plan import task_done
from proofbell.app.session.local_time import ahead_us, hour_minute
from proofbell.bake import intents
from proofbell.bake.decisions.said import last_said
from proofbell.bake.outlook import begins_s, next_to_begin, preferments_beside
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import PromptId
from proofbell.bench.done_means import BY_HAND_S, Meant, done_means, longer_by_s, night_hands_us
from proofbell.bench.row_order import row_beyond
from proofbell.journal.reviews.wording import names_of
from proofbell.nights import nights
from proofbell.words import length

TWICE_US = 700_000
"""A key that bounces, or a wet elbow, ends no second stage within this time."""


class DoughActions:
    """Stages, rows, undo, and the end of a bake. ``show_log`` opens the log of the dough in hand."""

    def __init__(self, bench: BenchState, show_log: Callable[[], None]) -> None:
        self._bench = bench
        self._show_log = show_log
        self._ended_us = -TWICE_US

    # -- stages --------------------------------------------------------------------------------------------------

    def done(self) -> None:
        """End the stage in hand, or begin the bake; ask once when a timed stage is far from over."""
        bench, state = self._bench, self._bench.state
        if state is None:
            bench.say_none_selected()
            return
        real_us = bench.real_us
        if real_us - self._ended_us < TWICE_US:
            return
        meant, index = done_means(state, bench.board), state.current
        if state.closed is not None and meant.prompt is None:
            self._show_log()
            return
        if isinstance(meant.intent, intents.Begin):
            self._begin(state, meant, real_us)
        elif meant.prompt is not None:
            self._ended_us = real_us
            bench.tell(meant.intent, task_done(meant.prompt), state.id)
        elif index is not None and (state.id, index) not in bench.ending:
            # While it is being stored, asking would put a question about what is over on the screen.
            if isinstance(meant.intent, intents.Move):
                self._take_out(state, index, meant)
            else:
                self._ask_and_end(state, index, meant.questions)

    def _take_out(self, state: BakeState, index: int, meant: Meant) -> None:
        """Out of the cold, to warm; ask once when that is long before its time."""
        bench = self._bench

        def out() -> None:
            self._ended_us = bench.real_us
            bench.tell(meant.intent, "It is out of the cold, and warms.", state.id)

        if not meant.questions:
            out()
            return
        words = " ".join((*meant.questions, "Take it out of the cold now?"))
        bench.ask(f"{state.letter}  {state.formula.name}", words, out, self._while_nothing_calls(state.id, index))

    def _ask_and_end(self, state: BakeState, index: int, questions: Sequence[str]) -> None:
        bench, bake, name = self._bench, state.id, state.stage(index).name
        if not questions:
            self._end(bake, index)
            return

        def words() -> str:
            now = bench.live.state(bake)
            asked = () if now is None else bench.board.asks_first(now)
            return " ".join((*asked, f"End {name[:1].lower()}{name[1:]} now?"))

        title = f"{state.letter}  {state.formula.name}"
        bench.ask(title, words, lambda: self._end(bake, index), self._while_nothing_calls(bake, index))

    def _while_nothing_calls(self, bake: str, index: int) -> Callable[[], bool]:
        """For how long the end of a stage is a question: until the bake calls for something else.

        What is due then is what the next key is meant for.
        """
        known = self._wanted(bake)
        return lambda: self._still_at(bake, index) and self._wanted(bake) <= known

    def _wanted(self, bake: str) -> frozenset[PromptId]:
        view = self._bench.board.of(bake)
        return frozenset() if view is None else frozenset(prompt.id for prompt in view.wants)

    def _begin(self, state: BakeState, meant: Meant, real_us: int) -> None:
        """Begin the bake; ask once when that is long before its planned start."""
        bench = self._bench

        def begin() -> None:
            self._ended_us = real_us
            bench.tell(meant.intent, bake=state.id)

        if meant.start_us is None:
            begin()
            return
        now = bench.board.now
        at_us = night_hands_us(state, now, nights(bench.live.kitchen, now.wall_us, by_us=ahead_us(now)))
        night = "" if at_us is None else f" Then it wants hands at {hour_minute(at_us, now)}, in your quiet hours."
        words = f"Its start is planned for {hour_minute(meant.start_us, now)}.{night} Begin now?"
        bench.ask(
            f"{state.letter}  {state.formula.name}", words, begin, lambda: self._still_before(state.id, state.start_s)
        )

    def _still_before(self, bake: str, start_s: float | None) -> bool:
        """Whether a bake waits for that planned start (its own time), and that is to come."""
        state = self._bench.live.state(bake)
        if state is None or start_s is None or state.start_s != start_s:
            return False
        return self._still_at(bake, None) and state.now_s(self._bench.board.now) < start_s

    def other(self) -> None:
        """Go on to the next preferment: one that runs is taken in hand, one that waits is begun, if that is meant."""
        bench, state = self._bench, self._bench.state
        ways = () if state is None or state.closed is not None else preferments_beside(state)
        if state is None or not ways:
            bench.say("No other preferment of this dough runs or waits.")
            return
        here = state.current if state.current is not None else next_to_begin(state)
        index = ways[(ways.index(here) + 1) % len(ways)] if here in ways else ways[0]
        stage, bake = state.stage(index), state.id
        if index in state.running:
            bench.live.take_stage(bake, index)
            bench.host.tick()
            bench.say(f"In hand: {stage.name}, for {stage.made_for}.")
            return
        due = begins_s(state, index)
        at = f" It is to begin at {hour_minute(state.wall_us(due), bench.live.clock.stamp())}." if state.begun else ""
        bench.ask(
            f"{state.letter}  {state.formula.name}",
            f"Begin {stage.name[:1].lower()}{stage.name[1:]} for {stage.made_for} now?{at}",
            lambda: bench.tell(intents.Begin(stage=index), f"Begun: {stage.name}.", bake),
            lambda: self._may_begin(bake, index),
        )

    def _may_begin(self, bake: str, index: int) -> bool:
        state = self._bench.live.state(bake)
        return state is not None and state.closed is None and index in state.may_begin

    def _end(self, bake: str, index: int) -> None:
        """End that very stage: if it is over by the time this is said, nothing happens."""
        bench = self._bench
        bench.ending |= {(bake, index)}

        async def ending() -> None:
            try:
                refused = await bench.host.say(bake, intents.Done()) if self._still_at(bake, index) else None
            finally:
                bench.ending -= {(bake, index)}
            if refused is None:
                self._ended_us = bench.real_us
            else:
                bench.answer(refused, "")

        bench.host.in_background(ending())

    def _still_at(self, bake: str, index: int | None) -> bool:
        state = self._bench.live.state(bake)
        return state is not None and state.closed is None and state.current == index

    def _is_open(self, bake: str) -> bool:
        state = self._bench.live.state(bake)
        return state is not None and state.closed is None

    def longer(self) -> None:
        """Five minutes more, or as much as a core that was read too low or a short rise asks for."""
        state, now = self._bench.state, self._bench.board.now
        by_s = BY_HAND_S if state is None else longer_by_s(state, state.now_s(now))
        self._bench.tell(intents.Longer(by_s), f"{length(by_s)} longer.")

    def shorter(self) -> None:
        """Five minutes less."""
        self._bench.tell(intents.Longer(-BY_HAND_S), f"{length(BY_HAND_S)} shorter.")

    def row_up(self) -> None:
        """Move the selected dough one row up."""
        self._take_row(-1, "higher", "at the top")

    def row_down(self) -> None:
        """Move the selected dough one row down."""
        self._take_row(1, "lower", "at the bottom")

    def _take_row(self, step: int, whither: str, end: str) -> None:
        bench, state = self._bench, self._bench.state
        if state is None:
            bench.say_none_selected()
            return
        row = row_beyond(bench.live.states, state.id, step)
        if row is None:
            bench.say(f"{state.letter} is already {end}.")
        else:
            bench.tell(intents.TakeRow(row), f"{state.letter}: one row {whither}.")

    def undo(self) -> None:
        """Take back the last thing said, to whichever dough it was, and say what it was."""
        bench = self._bench
        spoken_to = bench.live.state(bench.host.spoken_to or "")
        state = spoken_to if spoken_to is not None and last_said(spoken_to) else bench.state
        said = () if state is None else last_said(state)
        if state is None or not said:
            bench.tell(intents.Undo())
            return
        # The deed without its reasons: those stand in the log.
        deed = names_of([event.number for event in said], state).split(". ", maxsplit=1)[0].rstrip(".")
        other = "" if state.id == bench.in_hand else f"{state.letter}: "
        bench.tell(intents.Undo(), f"Undone: {other}{deed}.", state.id)

    def give_up(self) -> None:
        """End the bake unfinished, when that is meant."""
        bench, state = self._bench, self._bench.state
        if state is None or state.closed is not None:
            bench.say("There is no bake to give up.", wrong=True)
            return
        words = "Give up this bake? It stays in the journal, unfinished."
        bake, key = state.id, bench.host.key
        given_up = f"Given up. {key('bench.undo')} undoes it, {key('bench.put-away')} puts it away."
        bench.ask(
            f"{state.letter}  {state.formula.name}",
            words,
            lambda: bench.tell(intents.GiveUp(), given_up, bake),
            lambda: self._is_open(bake),
        )

    def put_away(self) -> None:
        """Take a finished bake off the bench."""
        bench, state = self._bench, self._bench.state
        if state is None or state.closed is None:
            bench.say("Only a bake that is over can be put away.", wrong=True)
            return
        bake = state.id

        async def putting() -> None:
            now = bench.live.state(bake)
            if now is None or (now.away and bake not in bench.live.unsaved):
                return  # the key came twice, or was pressed in another window
            refused = await bench.host.say(bake, intents.PutAway())
            done = "Put away." if bench.live.rehearsal else "Put away; it is in the journal."
            if bake in bench.live.unsaved:
                done = "Put away, once it is saved."
            elif refused is None and bench.in_hand == bake:
                bench.in_hand = None
                bench.host.tick()
            bench.answer(refused, done)

        bench.host.in_background(putting())
