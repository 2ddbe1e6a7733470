"""Plan several doughs on one oven and one pair of hands: what, how big, when wanted; then begin them all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.field import Field
from proofbell.app.fields.file_line import FileLine
from proofbell.app.plan.day_list import day_head, day_line, day_lines
from proofbell.app.plan.plan_foot import PlanFoot, PlanWords, Words
from proofbell.app.plan.plan_in_hand import PlanInHand
from proofbell.app.plan.plan_lines import forgotten_words, learned_words, moved_by_hand, plan_words, stands
from proofbell.app.plan.plan_room import plan_room
from proofbell.app.plan.plan_rows import PlanPicture, PlanRow, plan_rows, row_words
from proofbell.app.plan.sheet_line import SheetLine
from proofbell.app.plan.shop_screen import ShopScreen
from proofbell.app.planning.begin_all import begin_all
from proofbell.app.planning.day_plan import MOVE_US, PlanDay, read_hour
from proofbell.app.session.choice import Choice
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import ahead_us, hour_minute
from proofbell.app.widgets.confirm_dialog import ask_first
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import MARK, Rows
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.weigh_out import weigh_again
from proofbell.bench.board import Board
from proofbell.bench.plan.timetable import BakeTimes, Timetable, timetable
from proofbell.errors import Failure
from proofbell.nights import nights_unsaid
from proofbell.places import house_formulas

EXAMPLES = "such as 18:30, Sat 09:00, in 6 h"

OLD_US = 60_000_000
"""A plan that is older than this is made again from the present moment."""


class PlanScreen(Page):
    """Bakes that are wanted, beside those that are live. The plan is made in a thread: a sound one at once."""

    PAGE = "plan"
    CSS_PATH = "plan_screen.tcss"

    def __init__(self, live: Live, files: Sequence[Path] | None = None, *, better_for_s: float | None = None) -> None:
        super().__init__()
        self.live = live
        self._files = files
        self.plan = PlanInHand(self, live, self._show, self._searched, better_for_s=better_for_s)
        self._table: Timetable | None = None
        self._rows: tuple[PlanRow, ...] = ()
        self._letter = ""

    def heading(self) -> Content:
        """How many bakes, and how it stands."""
        plan = self.plan
        told = stands(plan.day, plan.shown, plan.origin_us, may_begin=plan.may_begin, searching=plan.searching)
        return titled("Plan", told)

    def body(self) -> ComposeResult:
        """When, the doughs, oven and hands, all about one dough, what does not work, the day, one dough's own hour."""
        rows = Rows(
            id="bakes",
            empty=own(f"Nothing to plan yet.\nPress {self.host.key('plan.add')} to choose the first formula."),
        )
        yield Field(
            "All ready by", id="ready", width=22, held="as early as possible", note=EXAMPLES, enter="plan for it"
        )
        yield rows
        yield PlanFoot(lambda: rows.scrollable_content_region.width - len(MARK))
        yield Static(id="here")
        yield PlanWords()
        yield Rows(id="day")
        yield Field("Ready by", id="own", width=22, enter="plan for it", passing=True)
        yield SheetLine()

    def on_mount(self) -> None:
        """Nothing to ask yet; what is on the bench has its plan already."""
        self.query_one("#own-field").display = False
        self.query_one(".page--said").display = False
        self.plan.ask_again()

    def answer(self, words: str | Content, *, wrong: bool = False) -> None:
        """Said on a line of its own for as long as there is anything to say."""
        super().answer(words, wrong=wrong)
        self.query_one(".page--said").display = bool(words)

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """The moment moves on: a plan that is old is made again."""
        super().moment(board, lit=lit)
        plan = self.plan
        old = board.now.wall_us - plan.origin_us > OLD_US and not self._is_on_paper(after_us=board.now.wall_us)
        if plan.best is not None and not plan.searching and old and not self.query_one(SheetLine).display:
            plan.ask_again(same_day=True)

    def _is_on_paper(self, after_us: int) -> bool:
        """Whether the plan that stands was written down, and all of it is still to come."""
        planned = _planned(self.plan.day, self._table)
        written = _planned(self.plan.day, self.query_one(SheetLine).written)
        return bool(planned) and planned == written and min(bake.hands_from_us for bake in planned) > after_us

    # -- showing -------------------------------------------------------------------------------------------------

    def _show(self) -> None:
        """All anew, the cursor on the dough that it was on."""
        plan, origin_us = self.plan.shown, self.plan.origin_us
        self._table = None if plan is None else timetable(plan, origin_us)
        self._rows = plan_rows(self.plan.day, self._table)
        picture = PlanPicture(self._rows, plan, self._table, origin_us, self.live.clock.stamp())
        letters = [row.letter for row in self._rows]
        self.query_one("#bakes", Rows).show(
            len(self._rows),
            picture.line,
            cursor=letters.index(self._letter) if self._letter in letters else None,
            head=picture.head if self._rows else None,
            passed=(at for at, row in enumerate(self._rows) if row.planned is None),
        )
        self.query_one(PlanFoot).picture = picture
        self._moved()
        self.retitle()

    def _searched(self) -> None:
        self._share_out()
        self.retitle()

    def _times(self, letter: str) -> BakeTimes | None:
        bakes = () if self._table is None else self._table.bakes
        return next((bake for bake in bakes if bake.letter == letter), None)

    def _share_out(self) -> None:
        """What does not work, the day's list where there is room for it; each part as high as it may be."""
        words, now = self.query_one(PlanWords), self.live.clock.stamp()
        words.words = self._told(now)
        day, rows, foot = self.query_one("#day", Rows), self.query_one("#bakes", Rows), self.query_one(PlanFoot)
        lines = () if self._table is None else day_lines(self._table, self.live.kitchen)
        told, answered = words.wanted(self.size.width - 2), self.query_one(".page--said").display
        room = plan_room(self.size.height, len(self._rows), told, day=bool(lines), answered=answered)
        day.display = room.day
        day.show(
            len(lines),
            lambda index, width: day_line(lines, index, now, width),
            head=lambda width: day_head(lines, now, width),
        )
        foot.display = self._table is not None
        rows.styles.height = room.doughs
        words.styles.height = told if room.day else "1fr"
        for drawn in (words, foot):
            drawn.draw()
            self.call_after_refresh(drawn.draw)

    def _told(self, now: Stamp) -> Words:
        """What there is to say about the plan that stands."""
        plan, standing, table = self.plan, self.plan.standing, self._table
        if standing is None or table is None:
            return [], [], []
        return plan_words(
            standing.plan,
            table,
            plan.origin_us,
            plan.ways,
            now,
            may_begin=standing.may_begin,
            reasons=standing.reasons,
            here=self._letter,
            late=nights_unsaid(plan.day.kitchen, plan.origin_us, table.ready_us, ahead_us(now)),
        )

    @on(Rows.Moved, "#bakes")
    def _moved(self) -> None:
        here = self._here() if self._rows else None
        self._letter = "" if here is None else here.letter
        told = "" if here is None else row_words(here, self.live.clock.stamp())
        self.query_one("#here", Static).update(outside(told))
        self._share_out()

    def _here(self) -> PlanRow:
        return self._rows[min(self.query_one("#bakes", Rows).cursor, len(self._rows) - 1)]

    def on_resize(self) -> None:
        """Another height leaves other room for the strips."""
        self._show()

    # -- changing ------------------------------------------------------------------------------------------------

    def action_add(self) -> None:
        """Choose a formula and its size."""
        files = self._files
        if files is None:
            files = self.host.files or tuple(house_formulas().values())
        self.host.go(self.host.pages.start(self.live, files, take=self._take))

    def _take(self, choice: Choice) -> None:
        plan = self.plan
        day = plan.day.with_bake(choice.formula, choice.batch, plan.on_the_bench, choice.learned)
        if day is None:
            self.answer("The bench holds twelve bakes.", wrong=True)
            return
        # The oven's heat-up as this kitchen has it; all else of the kitchen is today's.
        self.answer(learned_words(choice))
        self.query_one("#bakes").focus()
        plan.ask(replace(day, kitchen=replace(self.live.kitchen, oven=choice.learned.kitchen.oven)))

    def action_drop(self) -> None:
        """Take the bake under the cursor out of the plan."""
        here = self._here() if self._rows else None
        if here is not None and (here.planned is None or here.planned.bake):
            self.answer(f"{here.letter} is on the bench: it is given up there.", wrong=True)
        elif here is not None:
            self.plan.ask(self.plan.day.without(here.letter).lettered(self.plan.on_the_bench))

    def action_later(self) -> None:
        """Move the start of the bake under the cursor."""
        self._move(MOVE_US)

    def action_earlier(self) -> None:
        """Move the start of the bake under the cursor."""
        self._move(-MOVE_US)

    def _move(self, by_us: int) -> None:
        bake = self._here().planned if self._rows else None
        if bake is not None:
            times = self._times(bake.letter)
            self.answer(moved_by_hand(bake.letter, bake.moved_us + by_us))
            begins_us = None if times is None else times.begins_us
            self.plan.ask(self.plan.day.moved(bake.letter, by_us, begins_us))

    def action_ready(self) -> None:
        """To the hour at which all are wanted."""
        self.query_one("#ready").focus()

    @on(Rows.Chosen, "#bakes")
    def _chosen(self) -> None:
        bake, field = self._here(), self.query_one("#own-field", Field)
        if bake.planned is None:
            return  # It is on the bench.
        field.display = True
        field.input.value = ""
        field.say(f"{bake.letter} alone; empty: with the others")
        field.input.focus()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        alone = event.input.id == "own"
        field = self.query_one("#own-field" if alone else "#ready-field", Field)
        try:
            ready_us = read_hour(event.value, self.live.clock.stamp())
        except Failure as failure:
            field.wrong(f"{failure.message} {failure.remedy}".strip())
            return
        day = self.plan.day
        if alone:
            day = day.with_ready(self._here().letter, ready_us)
            field.display = False
        else:
            day = replace(day, ready_us=ready_us)
            field.say("" if ready_us is None else hour_minute(ready_us, self.live.clock.stamp()))
        self.query_one("#bakes").focus()
        self.plan.ask(day)
        if not self.plan.day.bakes:
            self._none_yet("dough")

    def action_first_way(self) -> None:
        """The cheapest way out."""
        self.plan.take_way(0)

    def action_second_way(self) -> None:
        """The second way out."""
        self.plan.take_way(1)

    def action_third_way(self) -> None:
        """The third way out."""
        self.plan.take_way(2)

    def action_shop(self) -> None:
        """What all of it needs."""
        weighed = [(bake, weigh_again(bake.formula, bake.kitchen, bake.batch)) for bake in self.plan.day.bakes]
        known = [(bake, out, self._times(bake.letter)) for bake, out in weighed if out is not None]
        if not known:
            self._none_yet("dough")
            return
        timed = [(bake.formula, out, bake.kitchen, times) for bake, out, times in known if times is not None]
        self.host.go(ShopScreen(self.live, [(bake.formula, out) for bake, out, _ in known], timed))

    def action_sheet(self) -> None:
        """The day for the wall, into a file."""
        plan = self.plan
        if plan.best is None or self._table is None:
            self._none_yet("plan")
            return
        begun_us = self.live.clock.stamp().wall_us - OLD_US
        if any(bake.hands_from_us < begun_us for bake in _planned(plan.day, self._table)):
            self.answer(
                "The first hour of this plan has passed: it is planned again. Write the sheet after that.", wrong=True
            )
            plan.ask_again(same_day=True)
            return
        plan.hold()
        self.query_one(SheetLine).open(plan.day, self.live.states, plan.best, self._table, plan.origin_us)

    @on(FileLine.Closed)
    def _written(self, event: FileLine.Closed) -> None:
        self.query_one("#bakes").focus()
        self.answer(event.words)

    def _none_yet(self, what: str) -> None:
        choose = f"press {self.host.key('plan.add')} to choose"
        if self.plan.on_the_bench:
            self.answer(f"All on the bench has its start: {choose} what else to bake.", wrong=True)
        else:
            self.answer(f"There is no {what} yet: {choose} a formula.", wrong=True)

    # -- beginning -----------------------------------------------------------------------------------------------

    async def action_begin(self) -> None:
        """Put all on the bench; each waits there for its start and rings."""
        plan = self.plan
        if plan.best is None or not plan.day.bakes:
            self._none_yet("plan")
            return
        if self._table is None:
            self.answer("Still looking for a plan that is in time.", wrong=True)
            return
        if not plan.may_begin:
            self.answer("This plan does not work. Take something out of it, or allow more time.", wrong=True)
            return
        written = self.query_one(SheetLine).written
        if written is not None and _planned(plan.day, written) != _planned(plan.day, self._table):
            title, words = "Begin all", "The sheet that was written is of an earlier plan. Begin by the one shown here?"
            ask_first(self.host, title, words, lambda: self.run_worker(self._begin(), exit_on_error=True))
        else:
            await self._begin()

    async def _begin(self) -> None:
        plan = self.plan
        if self._table is None:
            return
        begun = await begin_all(self.live, plan.day, {bake.letter: bake for bake in self._table.bakes})
        plan.day = begun.left
        if begun.refused is None:
            self.dismiss(begun.first)
        else:
            self.refuse(begun.refused)

    def action_back(self) -> None:
        """Out of the line for one bake's hour first; then back, asking about a plan that is not on the bench."""
        field, sheet = self.query_one("#own-field"), self.query_one(SheetLine)
        if sheet.display:
            sheet.close()
        elif field.display:
            field.display = False
            self.query_one("#bakes").focus()
        elif self.plan.day.is_asked:
            words = forgotten_words(self.plan.day, self.host.key("plan.begin"))
            ask_first(self.host, "Leave the plan", words, lambda: self.dismiss(None))
        else:
            self.dismiss(None)


def _planned(day: PlanDay, table: Timetable | None) -> list[BakeTimes]:
    """The times of what is planned, and not on the bench yet."""
    letters = {bake.letter for bake in day.bakes}
    return [] if table is None else [bake for bake in table.bakes if bake.letter in letters]
