"""What the keys of the bench are about: this moment's board, the dough in hand, and the answer that stands."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from proofbell.app.alarms.sounding import Sounding
from proofbell.app.bench.late_told import LateTold
from proofbell.app.planning.replanning import Replanning, Told
from proofbell.app.planning.turns_told import TurnsTold
from proofbell.app.session.kept import kept_words
from proofbell.app.session.troubles import Troubles
from proofbell.app.widgets.confirm_dialog import Words, ask_first
from proofbell.app.widgets.host import Host
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import PromptId
from proofbell.bake.view import BakeView
from proofbell.bench.board import Board

MOVED_US = 30_000_000
"""How long it stands there what a new plan moved."""

FOLLOW_US = 20_000_000
"""So long after a baker took a dough in hand, or said something, the hand stays where it is."""

FINISHED_US = 60_000_000
"""So long after the last key a finished dough gives way to one that is on: our own choice."""

SAID_US = 5_000_000
"""How long an answer stands on the notice line."""

MOST_NEWS = 2
"""So many wait for an answer to go; of more only the newest, or they would be told when they are old."""


class BenchHost(Host, Protocol):
    """The app as the bench sees it: it is below all pages, and the way out of the program."""

    @property
    def replanning(self) -> Replanning:
        """What the plan asks and intends."""
        ...

    @property
    def troubles(self) -> Troubles:
        """What stands wrong."""
        ...

    @property
    def sounding(self) -> Sounding:
        """What rings, where, and what was put off."""
        ...

    @property
    def spoken_to(self) -> str | None:
        """The bake that something was said to last."""
        ...

    def tick(self) -> None:
        """Look at everything now."""
        ...

    @property
    def at_the_keys(self) -> bool:
        """Whether somebody has pressed a key just now."""
        ...

    @property
    def rests_us(self) -> int:
        """How long ago the last key was pressed (µs of the real clock)."""
        ...

    def leave(self, status: int) -> None:
        """Close the program."""
        ...

    def action_suspend_process(self) -> None:
        """Back to the shell for a while."""
        ...


class BenchState:
    """The bench between its keys and its picture. ``shown`` is called when the picture has to follow."""

    def __init__(self, host: BenchHost, shown: Callable[[], None]) -> None:
        self.host = host
        self.live = host.live
        self.board: Board = host.live.board()
        self.in_hand: str | None = None
        self.ending: frozenset[tuple[str, int]] = frozenset()
        """Stages (by bake) whose end is being stored."""
        self.moved: tuple[Told, ...] = ()
        self._shown = shown
        self._moved_until_us = 0
        self._touched_us = -FOLLOW_US
        self._said = ("", False, 0)
        self._said_in_hand: str | None = None
        self._news: list[str] = []
        self._late = LateTold()
        self._turns = TurnsTold()
        self._rang_then: set[tuple[str, PromptId]] | None = None

    @property
    def view(self) -> BakeView | None:
        """The dough in hand at this moment."""
        return self.board.of(self.in_hand or "")

    @property
    def state(self) -> BakeState | None:
        """The bake in hand, with its log."""
        return None if self.in_hand is None else self.live.state(self.in_hand)

    @property
    def real_us(self) -> int:
        """A clock that never goes back."""
        return self.host.real.stamp().boot_us

    def moment(self, board: Board) -> None:
        self.board = board
        if self.view is None:
            self.in_hand = board.urgent
        plan = self.host.replanning
        late = self._late.news(self.live.states, board, plan.planned) if plan.at_rest else ()
        self._news = [*self._news, *self.live.news(), *late, *self._turns.news(board)][-MOST_NEWS:]
        if self._news and self.real_us >= self._said[2]:
            self.say(self._news.pop(0))
        if self._said[1] and self.in_hand != self._said_in_hand:
            self._said = ("", False, 0)

    def take(self, bake: str | None) -> None:
        """Take a dough in hand."""
        if bake is not None:
            self.in_hand = bake
            self._touched_us = self.real_us
        self._shown()

    def follow(self) -> None:
        """Take in hand what rings, if nothing is asked of the dough in hand, and no hands are on it or at the keys.

        A finished one, of which nothing is asked, gives way to the most urgent before long.
        """
        self._leave_finished()
        ringing = [ring.bake for ring in self.board.rings if not ring.is_timer]
        view = self.view
        if not ringing or self.in_hand in ringing or self.real_us - self._touched_us < FOLLOW_US:
            return
        if self.host.at_the_keys:
            return
        if view is None or not (view.wants or view.mode == "up"):
            self.in_hand = ringing[0]

    def _leave_finished(self) -> None:
        """Take in hand what is on, once nobody has been at the keys of a finished dough for a while."""
        view, urgent = self.view, self.board.of(self.board.urgent or "")
        if view is None or view.mode != "closed" or view.wants or urgent is None or urgent.mode == "closed":
            return
        if min(self.host.rests_us, self.real_us - self._touched_us) >= FINISHED_US:
            self.in_hand = urgent.bake

    # -- answers -------------------------------------------------------------------------------------------------

    def say(self, words: str, *, wrong: bool = False) -> None:
        """Answer on the notice line; it goes by itself."""
        if words:
            self._said = (words, wrong, self.real_us + SAID_US)
            self._said_in_hand = self.in_hand
            self._rang_then = None
        self._shown()

    def inform(self, words: str) -> None:
        """Say what nobody asked for, once no answer stands any more."""
        self._news.append(words)

    def answer(self, refused: Refused | None, done: str) -> None:
        """Say what came of something: ``done``, or why not."""
        if refused is None:
            self.say(done)
        else:
            self.say(f"{refused.message} {refused.remedy}".strip(), wrong=True)

    def said_now(self) -> tuple[str, bool]:
        """The answer that stands now, and whether it is a refusal.

        It stands before what rang when it was given; what begins to ring after it ends it.
        """
        rings = {(ring.bake, ring.prompt.id) for ring in self.board.rings if not ring.still}
        if self._rang_then is None:
            self._rang_then = rings
        if not rings <= self._rang_then:
            self._said = ("", False, 0)
        words, wrong, until_us = self._said
        return words if self.real_us < until_us else "", wrong

    def tell_moved(self, lines: tuple[Told, ...], real_us: int) -> None:
        """What a new plan moved: its new times are marked for a while."""
        if lines:
            self.moved, self._moved_until_us = lines, real_us + MOVED_US
        elif self.moved and real_us >= self._moved_until_us:
            self.moved = ()

    # -- saying --------------------------------------------------------------------------------------------------

    def say_none_selected(self) -> None:
        self.say(f"No dough is selected. Press {self.host.key('bench.start')} to add a bake.", wrong=True)

    def tell(self, intent: Intent, done: str = "", bake: str | None = None) -> None:
        """Say something to the dough in hand; the answer, or ``done``, goes on the notice line."""
        self._touched_us = self.real_us
        to = bake or self.in_hand
        if to is None:
            self.say_none_selected()
            return

        async def telling() -> None:
            refused = await self.host.say(to, intent)
            self.answer(refused, kept_words(self.live, to, done))

        self.host.in_background(telling())

    def ask(self, title: str, words: Words, then: Callable[[], None], still: Callable[[], bool]) -> None:
        """Ask yes or no; ``then`` is called on yes. The question goes by itself when it is ``still`` no more."""
        if ask_first(self.host, title, words, then, still):
            self.host.hold(on=True)
