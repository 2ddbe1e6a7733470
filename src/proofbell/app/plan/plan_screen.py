"""Plan several doughs on one oven and one pair of hands: what, how big, when wanted; then begin them all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static
from textual.worker import get_current_worker

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.field import Field
from proofbell.app.fields.file_line import FileLine
from proofbell.app.plan.day_list import day_head, day_line, day_lines
from proofbell.app.plan.plan_foot import PlanFoot, PlanWords
from proofbell.app.plan.plan_lines import plan_words, stands
from proofbell.app.plan.plan_rows import PlanPicture, PlanRow, plan_rows, row_words
from proofbell.app.plan.sheet_line import SheetLine
from proofbell.app.plan.shop_screen import ShopScreen
from proofbell.app.planning.begin_all import begin_all
from proofbell.app.planning.day_plan import MOVE_US, PlanDay, read_hour
from proofbell.app.planning.plan_search import PlanShown, plans_to_show
from proofbell.app.session.choice import Choice
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import ahead_us, hour_minute
from proofbell.app.widgets.confirm_dialog import ask_first
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import MARK, Rows
from proofbell.bake.weigh.weigh_out import weigh_again
from proofbell.bench.board import Board
from proofbell.bench.reason_words import way_out_words
from proofbell.bench.timetable import BakeTimes, Timetable, timetable
from proofbell.errors import Failure
from proofbell.journal.learning.use import said
from proofbell.moment_text import whole_minute_us
from proofbell.nights import nights_unsaid
from proofbell.places import house_formulas
from proofbell.planner.clashes import WayOut
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Problem
from proofbell.words import counted, length

EXAMPLES = "such as 18:30, Sat 09:00, in 6 h"

OTHERS = 7
"""Lines beside the doughs, the words and the day's list: title, hour, columns, oven, hands, one dough, keys."""

LEAST_DAY, LEAST_WORDS = 5, 4
"""The day's list is there where it has so many lines; the words keep so many beside the doughs."""

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
        self._better_for_s = better_for_s
        self._day = PlanDay(live.kitchen)
        self._standing: PlanShown | None = None
        self._origin_us = 0
        self._searching = False
        self._table: Timetable | None = None
        self._rows: tuple[PlanRow, ...] = ()
        self._letter = ""

    @property
    def _plan(self) -> Plan | None:
        """The plan that stands."""
        return None if self._standing is None else self._standing.plan

    def heading(self) -> Content:
        """How many bakes, and how it stands."""
        may_begin = self._standing is not None and self._standing.may_begin
        told = stands(self._day, self._plan, self._origin_us, may_begin=may_begin, searching=self._searching)
        return titled("Plan", told)

    def body(self) -> ComposeResult:
        """When, the doughs, oven and hands, all about one dough, what does not work, the day, one dough's own hour."""
        rows = Rows(id="bakes", empty=own("Nothing to plan yet.\nPress a to choose the first formula."))
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
        self._replan()

    def answer(self, words: str | Content, *, wrong: bool = False) -> None:
        """Said on a line of its own for as long as there is anything to say."""
        super().answer(words, wrong=wrong)
        self.query_one(".page--said").display = bool(words)

    # -- the plan ------------------------------------------------------------------------------------------------

    def _replan(self) -> None:
        """Ask again, from this moment."""
        now = self.live.clock.stamp()
        states = [state for state in self.live.states if state.closed is None]
        if not self._day.bakes and not states:
            self._standing = None
            self.workers.cancel_group(self, "plan")
            self._show()
            return
        before = self._plan
        self._origin_us, self._searching = whole_minute_us(now.wall_us), True
        if self._standing is not None:
            self._standing = replace(self._standing, ways=(), ways_of=None)
        problem = self._day.problem(self._origin_us, states, ahead_us(now))
        same = before is not None and before.problem.chains == problem.chains and before.problem == problem
        live = frozenset(state.letter for state in states)
        self._search(problem, self._origin_us, before.times if same and before is not None else None, live)

    @work(thread=True, exclusive=True, group="plan", exit_on_error=True)
    def _search(self, problem: Problem, origin_us: int, start: tuple[Times, ...] | None, live: frozenset[str]) -> None:
        worker = get_current_worker()
        for found in plans_to_show(problem, start, live, lambda: not worker.is_cancelled, self._better_for_s):
            self.app.call_from_thread(self._found, found, origin_us)
        if not worker.is_cancelled:
            self.app.call_from_thread(self._searched)

    def _found(self, found: PlanShown, origin_us: int) -> None:
        if origin_us == self._origin_us:
            self._standing = found
            self._show()

    def _searched(self) -> None:
        self._searching = False
        self._say_clashes()
        self.retitle()

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """The moment moves on: a plan that is old is made again."""
        super().moment(board, lit=lit)
        if self._plan is not None and not self._searching and board.now.wall_us - self._origin_us > OLD_US:
            self._replan()

    # -- showing -------------------------------------------------------------------------------------------------

    def _show(self) -> None:
        """All anew, the cursor on the dough that it was on."""
        self._table = None if self._plan is None else timetable(self._plan, self._origin_us)
        self._rows = plan_rows(self._day, self._table)
        picture = PlanPicture(self._rows, self._plan, self._table, self._origin_us, self.live.clock.stamp())
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

    def _times(self, letter: str) -> BakeTimes | None:
        bakes = () if self._table is None else self._table.bakes
        return next((bake for bake in bakes if bake.letter == letter), None)

    def _say_clashes(self) -> None:
        """What does not work, the day's list where there is room for it; each part as high as it may be."""
        words, now = self.query_one(PlanWords), self.live.clock.stamp()
        words.words = ([], [], [])
        if self._standing is not None and self._table is not None:
            ways = None if self._searching and not self._standing.ways else self._standing.ways
            words.words = plan_words(
                self._standing.plan,
                self._table,
                self._origin_us,
                ways,
                now,
                may_begin=self._standing.may_begin,
                reasons=self._standing.reasons,
                here=self._letter,
                late=nights_unsaid(self._day.kitchen, self._origin_us, self._table.ready_us, ahead_us(now)),
            )
        told = words.wanted(self.size.width - 2)
        spare = self.size.height - OTHERS - len(self._rows) - self.query_one(".page--said").display
        day, rows, foot = self.query_one("#day", Rows), self.query_one("#bakes", Rows), self.query_one(PlanFoot)
        lines = () if self._table is None else day_lines(self._table, self.live.kitchen)
        day.display = bool(lines) and spare - told - 2 >= LEAST_DAY
        day.show(
            len(lines),
            lambda index, width: day_line(lines, index, now, width),
            head=lambda width: day_head(lines, now, width),
        )
        foot.display = self._table is not None
        # Without a dough the list says what to do, in as much room as there is.
        most = max(1, len(self._rows)) + 1
        rows.styles.height = max(min(4, most), most + min(0, spare - min(told, LEAST_WORDS)))
        words.styles.height = told if day.display else "1fr"
        for drawn in (words, foot):
            drawn.draw()
            self.call_after_refresh(drawn.draw)

    @on(Rows.Moved, "#bakes")
    def _moved(self) -> None:
        here = self._here() if self._rows else None
        self._letter = "" if here is None else here.letter
        told = "" if here is None else row_words(here, self.live.clock.stamp())
        self.query_one("#here", Static).update(outside(told))
        self._say_clashes()

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
        day = self._day.with_bake(choice.formula, choice.batch, self._taken(), choice.learned)
        if day is None:
            self.answer("The bench holds twelve bakes.", wrong=True)
            return
        # The oven's heat-up as this kitchen has it; all else of the kitchen is today's.
        self._day = replace(day, kitchen=replace(self.live.kitchen, oven=choice.learned.kitchen.oven))
        self.answer(_learned(choice))
        self.query_one("#bakes").focus()
        self._replan()

    def action_drop(self) -> None:
        """Take the bake under the cursor out of the plan."""
        here = self._here() if self._rows else None
        if here is not None and here.planned is None:
            self.answer(f"{here.letter} is on the bench: it is given up there.", wrong=True)
        elif here is not None:
            self._day = self._day.without(here.letter).lettered(self._taken())
            self._replan()

    def _taken(self) -> list[str]:
        """The letters of the bench."""
        return [state.letter for state in self.live.states if state.closed is None]

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
            self._day = self._day.moved(bake.letter, by_us, None if times is None else times.begins_us)
            moved = bake.moved_us + by_us
            way = "later" if moved > 0 else "earlier"
            told = f"{length(abs(moved) / 1e6)} {way}, by hand" if moved else "back where it was"
            self.answer(f"{bake.letter}: {told}.")
            self._replan()

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
        if alone:
            self._day = self._day.with_ready(self._here().letter, ready_us)
            field.display = False
        else:
            self._day = replace(self._day, ready_us=ready_us)
            field.say("" if ready_us is None else hour_minute(ready_us, self.live.clock.stamp()))
        self.query_one("#bakes").focus()
        self._replan()

    def action_first_way(self) -> None:
        """The cheapest way out."""
        self._take_way(0)

    def action_second_way(self) -> None:
        """The second way out."""
        self._take_way(1)

    def action_third_way(self) -> None:
        """The third way out."""
        self._take_way(2)

    def _take_way(self, number: int) -> None:
        standing = self._standing
        ways = () if standing is None else standing.ways
        if standing is None or number >= len(ways):
            none = "Still looking for ways out." if self._searching else "Nothing clashes."
            self.answer("There is no such way out." if ways else none, wrong=True)
        elif standing.ways_hold:
            self._go(standing, ways[number])
        else:
            # A better plan has come since. It is the one to stand now, and the key is about it.
            self.answer("A better plan was found since: looking whether that still helps …")
            self._look_again(standing, ways[number], self._origin_us)

    @work(thread=True, exclusive=True, group="plan", exit_on_error=True)
    def _look_again(self, standing: PlanShown, wanted: WayOut, origin_us: int) -> None:
        """Look for the same way out of the plan that stands; the search for better plans ends with that."""
        self.app.call_from_thread(self._looked_again, standing.with_its_ways(), wanted, origin_us)

    def _looked_again(self, now: PlanShown, wanted: WayOut, origin_us: int) -> None:
        standing = self._standing
        if standing is None or origin_us != self._origin_us:
            self.answer("The day was planned anew meanwhile: look again.", wrong=True)
        elif standing.plan is not now.plan:
            # One more was on its way from the search that ended.
            self._look_again(standing, wanted, origin_us)
        else:
            self._standing, self._searching = now, False
            way = now.way_like(wanted.change)
            if way is not None:
                self._go(now, way)
                return
            self.answer("The better plan has no such way out: look again.", wrong=True)
            self._show()

    def _go(self, standing: PlanShown, way: WayOut) -> None:
        """Take a way out of the plan that stands."""
        self._day = self._day.by_way(standing.plan.problem, way, self._origin_us).lettered(self._taken())
        words = way_out_words(way)
        self.answer(f"{words[:1].upper()}{words[1:]}.")
        self._replan()

    def action_shop(self) -> None:
        """What all of it needs."""
        weighed = [(bake, weigh_again(bake.formula, bake.kitchen, bake.batch)) for bake in self._day.bakes]
        known = [(bake, out, self._times(bake.letter)) for bake, out in weighed if out is not None]
        if not known:
            self._none_yet("dough")
            return
        timed = [(bake.formula, out, bake.kitchen, times) for bake, out, times in known if times is not None]
        self.host.go(ShopScreen(self.live, [(bake.formula, out) for bake, out, _ in known], timed))

    def action_sheet(self) -> None:
        """The day for the wall, into a file."""
        if self._plan is None or self._table is None:
            self._none_yet("plan")
            return
        self.query_one(SheetLine).open(self._day, self._plan, self._table, self._origin_us)

    @on(FileLine.Closed)
    def _written(self, event: FileLine.Closed) -> None:
        self.query_one("#bakes").focus()
        self.answer(event.words)

    def _none_yet(self, what: str) -> None:
        self.answer(f"There is no {what} yet: press {self.host.key('plan.add')} to choose a formula.", wrong=True)

    # -- beginning -----------------------------------------------------------------------------------------------

    async def action_begin(self) -> None:
        """Put all on the bench; each waits there for its start and rings."""
        if self._plan is None or not self._day.bakes:
            self._none_yet("plan")
            return
        if self._standing is None or not self._standing.may_begin:
            self.answer("This plan does not work. Take something out of it, or allow more time.", wrong=True)
            return
        times = {} if self._table is None else {bake.letter: bake for bake in self._table.bakes}
        begun = await begin_all(self.live, self._day, times)
        self._day = begun.left
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
        elif self._day.bakes:
            many = counted(len(self._day.bakes), "dough")
            words = (
                f"Forget the plan of {many}? None of it is on the bench; {self.host.key('plan.begin')} puts it there."
            )
            ask_first(self.host, "Leave the plan", words, lambda: self.dismiss(None))
        else:
            self.dismiss(None)


def _learned(choice: Choice) -> str:
    """Which numbers come from past bakes."""
    used = [said(one) for one in choice.learned.used if one.quantity == "oven heat-up"]
    hands = sum(1 for one in choice.learned.used if one.quantity == "hands")
    used += [f"your own pace at {hands} hands stages"] if hands else []
    return f"Learned: {'; '.join(used)}." if used else ""
