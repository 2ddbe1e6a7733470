"""The bench: the day as strips, the dough in hand, what comes up. Its keys are handled by the objects beside it."""

from __future__ import annotations

import contextlib
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.css.query import NoMatches

from proofbell.app.bench.bench_readings import BenchReadings
from proofbell.app.bench.bench_state import BenchHost, BenchState
from proofbell.app.bench.dough_actions import DoughActions
from proofbell.app.bench.far.far_view import Answering, FarView
from proofbell.app.bench.moments.said_late import SaidLate
from proofbell.app.bench.navigation import Navigation
from proofbell.app.bench.outage_question import OutageQuestion
from proofbell.app.bench.oven_and_plan import OvenAndPlan
from proofbell.app.bench.own_timers.bench_timers import BenchTimers
from proofbell.app.bench.picture.bench_picture import PARTS, BenchPicture
from proofbell.app.bench.picture.coming_up import ComingUp
from proofbell.app.bench.picture.header_line import HeaderLine
from proofbell.app.bench.picture.selected_dough import InHand
from proofbell.app.bench.picture.strips import Strips
from proofbell.app.planning.replanning import Told
from proofbell.app.widgets.doubt_line import DoubtLine
from proofbell.app.widgets.host import HostedScreen
from proofbell.app.widgets.key_row import KeyRow
from proofbell.app.widgets.notice_line import NoticeLine
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bench.board import Board


class BenchScreen(HostedScreen[None]):
    """The screen below all others; it is never left but by leaving the program."""

    PAGE: ClassVar[str] = "bench"
    AUTO_FOCUS: ClassVar[str | None] = ""

    def __init__(self, host: BenchHost) -> None:
        super().__init__()
        self._bench = bench = BenchState(host, self._show)
        self.own_timers = BenchTimers(bench)
        self.answers = OvenAndPlan(bench, self.own_timers)
        self.readings = BenchReadings(bench)
        self.time = OutageQuestion(bench)
        self.doing = DoughActions(bench, self._show_log)
        self.late = SaidLate(bench)
        self.going = Navigation(
            Answering(bench, self.doing, self.readings, self.answers, self.time, self.own_timers, self.late)
        )
        self._picture = BenchPicture(self, bench, self.time)

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
        yield KeyRow(self)

    def make_whole(self) -> None:
        """Lay the screen out again if a fault left a part of it out: without it there is no bench."""
        if self.is_mounted and not all(self.query(part) for part in PARTS):
            self.refresh(recompose=True)

    @property
    def board(self) -> Board:
        """The bench at the moment that is shown."""
        return self._bench.board

    @property
    def in_hand(self) -> str | None:
        """The dough that keys go to."""
        return self._bench.in_hand

    # -- showing -------------------------------------------------------------------------------------------------

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """Show another moment."""
        self._bench.moment(board)
        if self.app.screen is self:
            self._bench.follow()
        self._show(lit=lit)
        # A screen below a dialog is "current" too; nothing opens over what somebody types. Until a log has how long the
        # program was away, there is nothing to ask about it.
        if self.app.screen is self and self._bench.live.phase != "read" and not self.time.offer():
            self.readings.offer()

    @property
    def _covered(self) -> bool:
        """Whether a page lies over it. What nobody sees is not drawn: Textual would paint the whole page again."""
        stack = self.app.screen_stack
        above = stack[stack.index(self) + 1 :] if self in stack else stack
        return any(not screen.is_modal for screen in above)

    @property
    def is_heard(self) -> bool:
        """Whether what is said on the notice line is seen by somebody: there, or in the far view, which has it too."""
        return not self._covered or isinstance(self.app.screen, FarView)

    def _show(self, *, lit: bool = False) -> None:
        if self._covered:
            return
        # Before the first layout and while the program closes there is nothing to show it in.
        with contextlib.suppress(NoMatches):
            self._picture.show(lit=lit)

    def say(self, words: str, *, wrong: bool = False) -> None:
        """Answer on the notice line; it goes by itself."""
        self._bench.say(words, wrong=wrong)

    def inform(self, words: str) -> None:
        """Say what nobody asked for, once no answer stands any more."""
        self._bench.inform(words)

    def tell_moved(self, lines: tuple[Told, ...], real_us: int) -> None:
        """What a new plan moved: its new times are marked for a while."""
        self._bench.tell_moved(lines, real_us)

    def on_screen_resume(self) -> None:
        """Back on top: show this moment, not the one when it was left."""
        self.host.hold(on=False)
        self.moment(self._bench.live.board())

    def on_resize(self) -> None:
        """More or fewer lines for the strips."""
        self._show()

    @on(Strips.Taken)
    def _taken(self, event: Strips.Taken) -> None:
        self.take(event.bake)

    def take(self, bake: str | None) -> None:
        """Take a dough in hand."""
        self._bench.take(bake)

    def _show_log(self) -> None:
        self.call_later(self.action_log)

    # -- keys ----------------------------------------------------------------------------------------------------

    def action_whole_day(self) -> None:
        """Show the strips to the very end, or only the next hours."""
        strips = self.query_one(Strips)
        strips.whole = not strips.whole
        strips.draw()

    def action_done(self) -> None:
        """End the stage in hand, or begin the bake; ask once when a timed stage is far from over."""
        self.doing.done()

    def action_longer(self) -> None:
        """Five minutes more."""
        self.doing.longer()

    def action_shorter(self) -> None:
        """Five minutes less."""
        self.doing.shorter()

    def action_moved(self) -> None:
        """Say where the dough stands, and since when."""
        self.late.moved()

    def action_ended_earlier(self) -> None:
        """Say that the stage ended a while ago."""
        self.late.ended()

    def action_other(self) -> None:
        """Take the other preferment in hand; begin the one that waits."""
        self.doing.other()

    def action_row_up(self) -> None:
        """Move the selected dough one row up."""
        self.doing.row_up()

    def action_row_down(self) -> None:
        """Move the selected dough one row down."""
        self.doing.row_down()

    def action_undo(self) -> None:
        """Take back the last thing said, to whichever dough it was, and say what it was."""
        self.doing.undo()

    def action_give_up(self) -> None:
        """End the bake unfinished, when that is meant."""
        self.doing.give_up()

    def action_put_away(self) -> None:
        """Take a finished bake off the bench."""
        self.doing.put_away()

    def action_reading(self) -> None:
        """Take a reading; the check that is due is chosen already."""
        self.readings.reading()

    def on_key(self, event: events.Key) -> None:
        """A number begun on the bench is a reading: it opens its dialog and stands in it."""
        if event.character is not None and event.character in "0123456789":
            event.stop()
            self.readings.reading(event.character)

    def action_note(self) -> None:
        """Write a note."""
        self.readings.note()

    def action_oven(self) -> None:
        """Answer what is asked about the oven: due first, then the next to come."""
        self.answers.oven()

    def action_yes(self) -> None:
        """Do as the plan asks."""
        self.answers.yes()

    def action_no(self) -> None:
        """Leave it as it is."""
        self.answers.no()

    def action_quiet(self) -> None:
        """Silence the dough in hand, or else whatever rings first."""
        self.answers.quiet()

    def action_quiet_all(self) -> None:
        """Silence everything."""
        self.answers.quiet_all()

    def action_time(self) -> None:
        """Say how long the power was off, or put right what was said."""
        self.time.ask()

    def action_timer(self) -> None:
        """A timer of the baker's own: set one, or stop one."""
        self.own_timers.ask()

    def action_next_dough(self) -> None:
        """Go to the next dough that needs something."""
        self.going.next_dough()

    def action_dough_after(self) -> None:
        """The dough one row below."""
        self.going.dough_after()

    def action_dough_before(self) -> None:
        """The dough one row above."""
        self.going.dough_before()

    async def action_start(self) -> None:
        """Choose a formula and put it on the bench."""
        await self.going.start()

    async def action_weigh_out(self) -> None:
        """What to weigh for the dough in hand."""
        await self.going.weigh_out()

    async def action_size(self) -> None:
        """Another size for the dough in hand."""
        await self.going.size()

    async def action_edit(self) -> None:
        """Edit the file of the formula in hand."""
        await self.going.edit()

    async def action_why(self) -> None:
        """The working of the time that runs."""
        await self.going.why()

    async def action_far(self) -> None:
        """Show the most urgent dough full-screen."""
        await self.going.far()

    async def action_log(self) -> None:
        """The log of the dough in hand."""
        await self.going.log()

    async def action_plan(self) -> None:
        """Plan several doughs."""
        await self.going.plan()

    async def action_journal(self) -> None:
        """Every bake ever made."""
        await self.going.journal()

    async def action_kitchen(self) -> None:
        """Open the kitchen page."""
        await self.going.kitchen()

    def action_go_on(self) -> None:
        """In a rehearsal: forward to the next thing that is to do."""
        self.going.go_on()

    def action_help(self) -> None:
        """Every key."""
        self.going.help()

    def action_trouble(self) -> None:
        """Show what is wrong at present."""
        self.going.trouble()

    def action_suspend(self) -> None:
        """Back to the shell for a while."""
        self.going.suspend()

    def action_leave(self) -> None:
        """Close the program; the bakes keep running. What only memory holds is asked about first."""
        self.going.leave()
