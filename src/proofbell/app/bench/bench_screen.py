"""The bench: the day as strips, the dough in hand, what comes up. It draws a board and turns keys into intents."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.css.query import NoMatches
from textual.screen import ModalScreen, Screen

from proofbell.app.bench.bench_answers import BenchAnswers
from proofbell.app.bench.bench_doing import BenchDoing
from proofbell.app.bench.bench_going import BenchGoing
from proofbell.app.bench.bench_keys import keys_for, not_begun, words_for
from proofbell.app.bench.coming_up import ComingUp
from proofbell.app.bench.doubtful_time import BenchTime, DoubtLine
from proofbell.app.bench.header_line import Header, HeaderLine, room_now_c
from proofbell.app.bench.selected_dough import InHand
from proofbell.app.bench.strips import AROUND, Strips, day_of
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.session.alarm import key_of
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import hour_minute
from proofbell.app.session.replanning import Told, each_once
from proofbell.app.widgets.actions import bindings
from proofbell.app.widgets.content import own
from proofbell.app.widgets.key_row import KeyRow
from proofbell.app.widgets.notice_line import Notice, NoticeLine
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bake.prompts import on_the_dial
from proofbell.bake.tasks import PromptId
from proofbell.bake.view import BakeView
from proofbell.bench.agenda import ahead
from proofbell.bench.board import Board, Coming
from proofbell.bench.oven_now import oven_now
from proofbell.bench.proposals import Proposal
from proofbell.bench.row_order import in_rows
from proofbell.clock import FastClock
from proofbell.words import counted

if TYPE_CHECKING:
    from proofbell.app.app import ProofbellApp

LOWER = 8
"""Lines below the strips that are never given away: notice, six for the dough in hand, keys."""

MOVED_US = 30_000_000
"""How long it stands there what a new plan moved."""

MINUTE_US = 60_000_000

STRIPS_EVERY_US = 5_000_000

SAID_US = 5_000_000
"""How long an answer stands on the notice line."""


class BenchScreen(BenchDoing, BenchAnswers, BenchGoing, BenchTime, Screen[None]):
    """The screen below all others; it is never left but by leaving the program."""

    PAGE: ClassVar[str] = "bench"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("bench")]
    AUTO_FOCUS: ClassVar[str | None] = ""

    def __init__(self, live: Live) -> None:
        super().__init__()
        self.live = live
        self.in_hand: str | None = None
        self.board = live.board()
        self._strips_key: object = None
        self._coming_key: object = None
        self._moved: tuple[tuple[Told, ...], int] = ((), 0)
        self._said = ("", False, 0)
        self._said_in_hand: str | None = None
        self._rang_then: set[tuple[str, PromptId]] | None = None
        self.row_keys: tuple[str, ...] = ()
        self.row_words: Mapping[str, str] = {}
        self._offered: set[tuple[str, PromptId]] = set()

    def compose(self) -> ComposeResult:
        """Header, strips, notice, the dough in hand and what comes up, keys."""
        yield HeaderLine()
        yield TroubleLine()
        yield DoubtLine()
        yield Strips()
        yield NoticeLine()
        with Horizontal(id="lower"):
            yield InHand()
            yield ComingUp()
        yield KeyRow("bench")

    @property
    def our_app(self) -> ProofbellApp:
        """The app, by its own type."""
        return cast("ProofbellApp", self.app)

    def make_whole(self) -> None:
        """Lay the screen out again if a fault left a part of it out: without it there is no bench."""
        parts = (HeaderLine, TroubleLine, DoubtLine, Strips, NoticeLine, InHand, ComingUp, KeyRow)
        if self.is_mounted and not all(self.query(part) for part in parts):
            self.refresh(recompose=True)

    # -- showing -------------------------------------------------------------------------------------------------

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """Show another moment."""
        self.board = board
        if board.of(self.in_hand or "") is None:
            self.in_hand = board.urgent
        for words in self.live.news():
            self.say(words)
        if self._said[1] and self.in_hand != self._said_in_hand:
            self._said = ("", False, 0)
        self._show(lit=lit)
        # A screen below a dialog is "current" too; nothing opens over what somebody types.
        if self.app.screen is self and not self.offer_time():
            self._offer()

    @property
    def _covered(self) -> bool:
        """Whether a page lies over it. What nobody sees is not drawn: Textual would paint the whole page again."""
        stack = self.app.screen_stack
        above = stack[stack.index(self) + 1 :] if self in stack else stack
        return any(not isinstance(screen, ModalScreen) for screen in above)

    def _show(self, *, lit: bool = False) -> None:
        if self._covered:
            return
        # Before the first layout and while the program closes there is nothing to show it in.
        with contextlib.suppress(NoMatches):
            self._show_all(lit=lit)

    def _show_all(self, *, lit: bool) -> None:
        board, states = self.board, self.live.states
        view = board.of(self.in_hand or "")
        troubled = self.query_one(TroubleLine).show(self.our_app.troubles.all, self.our_app.trouble_key)
        self._show_strips(troubled + self.doubt_lines())
        fast = self.live.clock if isinstance(self.live.clock, FastClock) else None
        oven = oven_now(states, board.now, board.before, board.oven)
        header = Header(
            now=board.now,
            room_c=room_now_c(states, self.live.kitchen),
            oven=oven,
            set_to="" if oven.heat_c is None else on_the_dial(self.live.kitchen.oven, oven.heat_c),
            saving=self.live.saving,
            speed=fast.speed if fast else None,
            held=fast.held if fast else False,
        )
        self.query_one(HeaderLine).show(header)
        self.query_one(NoticeLine).show(self._notice(lit=lit))
        if (keys_for(view), words_for(view)) != (self.row_keys, self.row_words):
            self.row_keys, self.row_words = keys_for(view), words_for(view)
            self.query_one(KeyRow).draw()
        self.query_one(InHand).show(view, board.now, self._hint(view))
        self._show_coming()

    def _changed(self) -> object:
        """Differs when something was said, begins to ring, or has another size."""
        rings = tuple((ring.bake, ring.prompt.id) for ring in self.board.rings)
        said = tuple((state.id, state.last.number) for state in self.live.states)
        return rings, said, self.in_hand, self.size

    def _show_coming(self) -> None:
        """What comes up is told in minutes: it is worked out again with each, or when something was said."""
        now = self.board.now
        moved = each_once(self._moved[0], self.our_app.replanning.intends)
        key = (now.wall_us // MINUTE_US, moved, self._changed())
        if key != self._coming_key:
            self._coming_key = key
            self.query_one(ComingUp).show(ahead(self.live.states, self.board), now, moved)

    def _show_strips(self, above: int) -> None:
        """The strips move by columns of many seconds: once in five is often enough, or when something was said."""
        board, states = self.board, self.live.states
        key = (board.now.wall_us // STRIPS_EVERY_US, above, self._changed())
        if key == self._strips_key:
            return
        self._strips_key = key
        strips = self.query_one(Strips)
        room = self.size.height - 1 - LOWER - above
        height = min(len(states) + AROUND, max(AROUND + 1, room)) if states else 0
        if strips.styles.height is None or strips.styles.height.value != height:
            strips.styles.height = height
        kitchen = self.live.kitchen
        strips.show(day_of(in_rows(states), board, self.in_hand, kitchen.hands, kitchen.oven.trays))

    def _notice(self, *, lit: bool) -> Notice:
        words, wrong, until_us = self._said
        rings = {(ring.bake, ring.prompt.id) for ring in self.board.rings}
        if self._rang_then is None:
            self._rang_then = rings
        if not rings <= self._rang_then:
            # An answer stands before what rang when it was given; what begins to ring after it ends it.
            self._said = words, wrong, until_us = "", False, 0
        said = words if self.our_app.real.stamp().boot_us < until_us else ""
        asked = self.our_app.replanning.proposals
        asks = self._asking(asked[0]) if asked else ()
        return Notice(self.board.now.wall_us, self.board.rings, said, wrong, lit, asks, self.our_app.who_rings)

    def _asking(self, one: Proposal) -> tuple[str, ...]:
        """The question in ever fewer words; that about a start names the hour."""
        if one.stage is not None:
            return one.words, one.short
        at = hour_minute(self.board.now.wall_us + round(one.to_s * 1_000_000), self.board.now)
        return f"{one.short[:-1]}, at {at}?", one.short

    def _hint(self, view: BakeView | None) -> Content:
        """What to press."""
        if view is None:
            return own(self._no_dough(), "$quiet")
        if not_begun(view):
            return own("w  weigh out   space  begin", "$quiet")
        if view.wants and view.wants[0].kind == "check":
            return own("r  enter the reading", "$quiet")
        if view.wants:
            return own("space  done", "$quiet")
        state = self.live.state(view.bake)
        if state is not None and state.closed is not None and state.closed.outcome == "given up":
            return own("u  undo   c  put away   b  its log", "$quiet")
        if view.mode == "closed":
            return own("b  its log   c  put away   a  next bake", "$quiet")
        return Content("")

    def _no_dough(self) -> str:
        """Why there is none to see: four things that must not be taken for one another."""
        if self.live.phase == "reading":
            return "Reading the journal …\n\nWhat is live shows here in a moment."
        if self.live.phase == "waiting":
            return "Another program is writing to the journal. Waiting for it …\n\nYour doughs show here by themselves."
        key = self.our_app.trouble_key
        if self.live.phase == "unreadable":
            return (
                f"The journal could not be read.\n\n{key}   what is wrong, and what to do\na   add a bake all the same"
            )
        unread = len(self.live.keeper.unread)
        if unread:
            what = f"{counted(unread, 'live bake')} could not be read."
            return f"{what}\n\n{key}   what is wrong, and what to do\na   add a bake\n?   all keys"
        return "No dough on the bench.\n\na   add a bake: choose a formula and begin\n?   all keys"

    def say(self, words: str, *, wrong: bool = False) -> None:
        """Answer on the notice line; it goes by itself."""
        if words:
            self._said = (words, wrong, self.our_app.real.stamp().boot_us + SAID_US)
            self._said_in_hand = self.in_hand
            self._rang_then = None
        self._show()

    def tell_moved(self, lines: tuple[Told, ...], real_us: int) -> None:
        """What a new plan moved: it stands above what comes up for a while."""
        if lines:
            self._moved = (lines, real_us + MOVED_US)
        elif self._moved[0] and real_us >= self._moved[1]:
            self._moved = ((), 0)

    def on_screen_resume(self) -> None:
        """Back on top: show this moment, not the one when it was left."""
        self.our_app.hold(on=False)
        self.moment(self.live.board())

    def on_resize(self) -> None:
        """More or fewer lines for the strips."""
        self._show()

    # -- taking a dough ------------------------------------------------------------------------------------------

    @on(Strips.Taken)
    def _taken(self, event: Strips.Taken) -> None:
        self.take(event.bake)

    def take(self, bake: str | None) -> None:
        """Take a dough in hand."""
        if bake is not None:
            self.in_hand = bake
        self._show()

    def _offer(self) -> None:
        """Open the reading by itself when a check is due; once, and again when "later" has passed."""
        real_us = self.our_app.real.stamp().boot_us
        bell = self.our_app.bell_times
        still = {key_of(ring) for ring in self.board.rings}
        self._offered &= still
        for ring in self.board.rings:
            if ring.prompt.kind != "check" or key_of(ring) in self._offered or bell.is_put_off(ring, real_us):
                continue
            self._offered.add(key_of(ring))
            self.open_reading(ring.bake, ring)
            self.our_app.dialog(ReadingDialog).opened_by_itself(real_us)
            return

    def put_off(self, ring: Coming) -> None:
        """Later: the bell keeps still for a while, then the reading opens again."""
        self._offered.discard(key_of(ring))
        self.our_app.put_off(ring)
