"""The picture of the bench: it draws the board of a moment into the widgets of the screen."""

from __future__ import annotations

from typing import TypeVar

from textual.content import Content
from textual.widget import Widget

from proofbell.app.bench.bench_keys import keys_for, not_begun, words_for
from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.outage_question import OutageQuestion
from proofbell.app.bench.oven_and_plan import OVEN_KINDS
from proofbell.app.bench.picture.coming_up import ComingUp
from proofbell.app.bench.picture.header_line import Header, HeaderLine, room_now_c
from proofbell.app.bench.picture.selected_dough import InHand
from proofbell.app.bench.picture.strips import AROUND, Strips, day_of
from proofbell.app.drawing.content import own
from proofbell.app.session.local_time import hour_minute
from proofbell.app.widgets.doubt_line import DoubtLine
from proofbell.app.widgets.host import HostedScreen
from proofbell.app.widgets.key_row import KeyRow
from proofbell.app.widgets.notice_line import Notice, NoticeLine
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bake.core import core_in, core_short, longer_s, to_be_read_again
from proofbell.bake.fermenting.short_rise import rise_longer_s
from proofbell.bake.heats import on_the_dial
from proofbell.bake.outlook import preferments_beside
from proofbell.bake.view import BakeView
from proofbell.bench.agenda import ahead
from proofbell.bench.board import Board
from proofbell.bench.oven.now import oven_now
from proofbell.bench.plan.proposals import Proposal
from proofbell.bench.row_order import in_rows
from proofbell.moment_text import MINUTE_US
from proofbell.words import counted, length

W = TypeVar("W", bound=Widget)

LOWER = 8
"""Lines below the strips that are never given away: notice, six for the dough in hand, keys."""


SECOND_US = 1_000_000

NEAR_US = 30 * MINUTE_US
"""So long before the oven is asked about its key has a place on the row."""

STRIPS_EVERY_US = 5_000_000

PARTS = (HeaderLine, TroubleLine, DoubtLine, Strips, NoticeLine, InHand, ComingUp, KeyRow)
"""What the screen is made of."""


class BenchPicture:
    """Draws each part as often as it can have changed."""

    def __init__(self, screen: HostedScreen[None], bench: BenchState, time: OutageQuestion) -> None:
        self._screen = screen
        self._bench = bench
        self._time = time
        self._strips_key: object = None
        self._coming_key: object = None

    def _at(self, part: type[W]) -> W:
        return self._screen.query_one(part)

    def show(self, *, lit: bool) -> None:
        """Draw what has changed since it was last drawn."""
        board, live, host = self._bench.board, self._bench.live, self._bench.host
        view = self._bench.view
        troubled = self._at(TroubleLine).show(host.troubles.all, host.key("bench.trouble"))
        self._show_strips(troubled + self._show_doubt())
        pace = live.pace
        planned = self._as_planned()
        oven = oven_now(live.states, board.now, board.before, planned.oven, planned.coming)
        header = Header(
            now=board.now,
            room_c=room_now_c(live.states, live.kitchen),
            oven=oven,
            set_to="" if oven.heat_c is None else on_the_dial(live.kitchen.oven, oven.heat_c),
            saving=live.saving,
            speed=None if pace is None else pace.speed,
            held=pace is not None and pace.held,
            key=host.key("bench.done") if pace is not None and not pace.held and board.is_waiting else "",
        )
        self._at(HeaderLine).show(header)
        self._at(NoticeLine).show(self._notice(lit=lit))
        state = None if view is None or view.mode == "closed" else live.state(view.bake)
        beside = state is not None and bool(preferments_beside(state))
        row = (
            keys_for(
                view,
                beside=beside,
                others=sum(one.mode != "closed" for one in board.views) > 1,
                rings=bool(board.rings),
                oven=view is not None and self._oven_is_near(view),
            ),
            words_for(view, [ring.bake for ring in board.rings]),
        )
        if row != (self._screen.row_keys, self._screen.row_words):
            self._screen.row_keys, self._screen.row_words = row
            self._at(KeyRow).draw()
        self._at(InHand).show(view, board.now, self._hint(view))
        self._show_coming()

    def _oven_is_near(self, view: BakeView) -> bool:
        """Whether something about the oven is asked for a dough, or soon will be."""
        until_us = self._bench.board.now.wall_us + NEAR_US
        mine = (one for one in self._bench.board.coming if one.bake == view.bake and one.at_us <= until_us)
        return any(one.prompt.kind in OVEN_KINDS for one in mine)

    def _show_doubt(self) -> int:
        """Show which times are in doubt; how many lines that takes."""
        words, key = self._time.line()
        self._at(DoubtLine).show(words, key)
        return 1 if words else 0

    def _changed(self) -> object:
        """Differs when something was said, begins to ring, or has another size."""
        rings = tuple((ring.bake, ring.prompt.id) for ring in self._bench.board.rings)
        said = tuple((state.id, state.last.number) for state in self._bench.live.states)
        planned = self._bench.host.replanning.planned
        return rings, said, planned, self._bench.in_hand, self._screen.size

    def _as_planned(self) -> Board:
        """The board with what is to come where the plan has it."""
        return self._bench.host.replanning.laid(self._bench.board, self._bench.live.states)

    def _show_coming(self) -> None:
        """What comes up is told in minutes: it is worked out again with each, or when something was said."""
        now = self._bench.board.now
        moved = self._bench.moved
        # A timer counts its seconds there.
        every_us = SECOND_US if any(one.is_timer for one in self._bench.board.coming) else MINUTE_US
        key = (now.wall_us // every_us, moved, self._changed())
        if key != self._coming_key:
            self._coming_key = key
            fault = next((one.words for one in moved if not one.letter), "")
            listed = ahead(self._bench.live.states, self._as_planned())
            self._at(ComingUp).show(listed, now, [one.letter for one in moved], fault)

    def _show_strips(self, above: int) -> None:
        """The strips move by columns of many seconds: once in five is often enough, or when something was said."""
        states = self._bench.live.states
        kitchen = self._bench.live.kitchen
        now = self._bench.board.now
        key = (now.wall_us // STRIPS_EVERY_US, above, kitchen.hands, kitchen.oven.trays, self._changed())
        if key == self._strips_key:
            return
        self._strips_key, board = key, self._as_planned()
        strips = self._at(Strips)
        room = self._screen.app.size.height - 1 - LOWER - above
        height = min(len(states) + AROUND, max(AROUND + 1, room)) if states else 0
        if strips.styles.height is None or strips.styles.height.value != height:
            strips.styles.height = height
        strips.show(day_of(in_rows(states), board, self._bench.in_hand, kitchen.hands, kitchen.oven.trays))

    def _notice(self, *, lit: bool) -> Notice:
        board, host = self._bench.board, self._bench.host
        said, wrong = self._bench.said_now()
        asked = host.replanning.proposals
        asks = self._asking(asked[0]) if asked else ()
        alarm = host.sounding
        key = host.key
        return Notice(
            board.now.wall_us, board.rings, said, wrong, lit, asks, alarm.silent_window, alarm.rings_where, late=False,
            quiet=key("bench.quiet"), yes=key("bench.yes"), no=key("bench.no"),
        )  # fmt: skip

    def _asking(self, one: Proposal) -> tuple[str, ...]:
        """The question in ever fewer words; that about a start names the hour."""
        if one.stage is not None:
            return one.asked
        at = hour_minute(self._bench.board.now.wall_us + round(one.to_s * 1_000_000), self._bench.board.now)
        because = (f"{one.what}, at {at}? {one.why}",) if one.because else ()
        return (*because, f"{one.what}, at {at}?", one.short)

    def _bake_is_over(self, view: BakeView) -> str:
        """What to press when a bake is over: first that which its core asks for."""
        key, state = self._bench.host.key, self._bench.live.state(view.bake)
        asked_s = None if state is None else longer_s(state, state.now_s(self._bench.board.now))
        if state is not None and asked_s is not None:
            keys = [f"{key('bench.longer')}  {length(asked_s)} longer", f"{key('bench.reading')}  read it again"]
            now_s = state.now_s(self._bench.board.now)
            over = state.current is not None and to_be_read_again(state, state.current, now_s)
            return "   ".join(reversed(keys) if over else keys)
        out = f"{key('bench.done')}  taken out"
        if state is None or state.current is None or core_in(state, state.current) is None:
            return out
        known = state.readings_in(state.current, "core temperature") and core_short(state, state.current) is None
        return out if known else f"{key('bench.reading')}  enter the core   {out}"

    def _acts_on(self, view: BakeView) -> str:
        """The letter of the dough in hand, while another one rings; else nothing."""
        return f"{view.letter} " if any(ring.bake != view.bake for ring in self._bench.board.rings) else ""

    def _rise_is_short(self, view: BakeView) -> str:
        """What to press when a rise is short and the card grants no more time; else nothing."""
        key, state = self._bench.host.key, self._bench.live.state(view.bake)
        asked_s = None if state is None else rise_longer_s(state, state.now_s(self._bench.board.now))
        if asked_s is None:
            return ""
        return f"{key('bench.longer')}  {length(asked_s)} longer   {key('bench.reading')}  judge it again"

    def _hint(self, view: BakeView | None) -> Content:
        """What to press."""
        key = self._bench.host.key
        if view is None:
            return own(self._no_dough(), "$quiet")
        if not_begun(view):
            return own(
                f"{key('bench.weigh-out')}  weigh out   {key('bench.done')}  {self._acts_on(view)}begin", "$quiet"
            )
        if view.wants and view.kind == "bake" and view.wants[0].over:
            return own(self._bake_is_over(view), "$quiet")
        if view.wants and view.chill_now and (view.wants[0].reads or view.wants[0].check) is None:
            return own(
                f"{key('bench.moved')}  into the fridge   {key('bench.done')}  {self._acts_on(view)}done", "$quiet"
            )
        if view.wants and view.wants[0].kind == "check":
            return own(f"{key('bench.reading')}  enter the reading", "$quiet")
        if view.wants and view.wants[0].kind == "start":
            return own(f"{key('bench.weigh-out')}  weigh out", "$quiet")
        if view.wants and view.wants[0].kind == "due" and (short := self._rise_is_short(view)):
            return own(short, "$quiet")
        if view.wants:
            return own(f"{key('bench.done')}  {self._acts_on(view)}done", "$quiet")
        state = self._bench.live.state(view.bake)
        away, log = f"{key('bench.put-away')}  put away", f"{key('bench.log')}  its log"
        if state is not None and state.closed is not None and state.closed.outcome == "given up":
            return own(f"{key('bench.undo')}  undo   {away}   {log}", "$quiet")
        if view.mode == "closed":
            return own(f"{log}   {away}   {key('bench.start')}  next bake", "$quiet")
        return Content("")

    def _no_dough(self) -> str:
        """Why there is none to see: four things that must not be taken for one another."""
        if self._bench.live.phase == "reading":
            return "Reading the journal …\n\nLive bakes appear here in a moment."
        if self._bench.live.phase == "waiting":
            return "Another program is writing to the journal. Waiting for it …\n\nYour doughs will appear here."
        key = self._bench.host.key
        wrong = f"{key('bench.trouble')}   what is wrong, and what to do"
        add, keys = key("bench.start"), f"{key('bench.help')}   all keys"
        if self._bench.live.phase == "unreadable":
            return f"The journal could not be read.\n\n{wrong}\n{add}   add a bake anyway"
        unread = len(self._bench.live.unread)
        if unread:
            what = f"{counted(unread, 'live bake')} could not be read."
            return f"{what}\n\n{wrong}\n{add}   add a bake\n{keys}"
        return f"No dough on the bench.\n\n{add}   add a bake: choose a formula and begin\n{keys}"
