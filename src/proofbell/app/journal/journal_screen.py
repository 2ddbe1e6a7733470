"""Every bake ever made, one a line: sorted, searched as one types, filtered by one key; and ways into each."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

from textual import events, on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static
from textual.worker import Worker

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.export_line import BackupLine, ExportLine, FormulaLine
from proofbell.app.fields.field import Field
from proofbell.app.fields.file_line import FileLine
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.compare_screen import CompareScreen
from proofbell.app.journal.course_screen import CourseScreen
from proofbell.app.journal.glance import Glance
from proofbell.app.journal.journal_filters import Filters
from proofbell.app.journal.journal_lines import LEGEND, head, line_of, nothing, title_words, verdict_words
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import wall
from proofbell.app.session.refusal_words import in_words
from proofbell.app.session.saving.journal_access import all_bakes, check_all
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import Rows
from proofbell.errors import Failure
from proofbell.file_names import file_stem
from proofbell.journal.index import newest_first
from proofbell.journal.reviews.search import COLUMNS, Column, Query, ordered, search
from proofbell.journal.reviews.summary import Summary
from proofbell.words import counted

MOST_MARKED = 2

SHOWN_AFTER = 500
"""So many bakes more are read before the list is drawn with them."""


class JournalScreen(Page):
    """The list. Reading and searching happen off the screen's thread; only the lines that are seen are made."""

    PAGE = "journal"
    CSS_PATH = "journal_screen.tcss"

    def __init__(self, live: Live) -> None:
        super().__init__()
        self.live = live
        self._all: list[Summary] = []
        self._shown: list[Summary] = []
        self._marked: list[str] = []
        self._known: dict[str, Summary] = {}
        self._read = self._reading = self._once_more = False
        self._far: tuple[int, int] | None = None
        self._fresh = 0
        self._checking: Worker[None] | None = None
        self._column: Column = "date"
        self._descending = True
        self._filters = Filters()

    def heading(self) -> Content:
        if not self._read:
            return titled("Journal", "reading …")
        order = f"by {self._column} {'↓' if self._descending else '↑'}"
        return titled("Journal", title_words(self._all, self._shown, self._far, [order, *self._filters.words()]))

    def body(self) -> ComposeResult:
        yield Static(id="warning")
        yield Field(
            "Search",
            id="search",
            width=40,
            hint="in formula, notes, outcome",
            note="esc: clear",
            enter="to the list",
            passing=True,
        )
        yield Rows(id="bakes", empty=own("Reading the journal …"))
        yield Glance(self.live)
        yield ExportLine(self.live)
        yield BackupLine(self.live)
        yield FormulaLine(self.live)

    def on_mount(self) -> None:
        self.query_one("#warning").display = False
        self._look()

    def on_screen_resume(self) -> None:
        """Something may have been added to a bake meanwhile."""
        self._look()

    def _look(self) -> None:
        """Read what is new; while it is still read, once more afterwards."""
        if self._reading:
            self._once_more = self._read
        else:
            self._reading, self._fresh = True, 0
            self._load()

    @work(exclusive=True, group="load", exit_on_error=True)
    async def _load(self) -> None:
        try:
            self._all = await all_bakes(self.live, self._came)
        except Failure as failure:
            self.query_one("#bakes", Rows).say_when_empty(outside(in_words(failure), most=400))
            self.refuse(failure)
            self._warn()
            return
        finally:
            self._reading = False
        self._warn()
        self._far = None
        self._read = True
        self._known = {summary.bake: summary for summary in self._all}
        self._find()
        if self._once_more:
            self._once_more = False
            self._look()

    def _came(self, fresh: Sequence[Summary], read: int, of: int) -> None:
        """Some are read: show them now and then, so that the list is of use before all are."""
        self._known.update((summary.bake, summary) for summary in fresh)
        self._far = (read, of) if read < of else None
        self._fresh += len(fresh)
        if fresh and self._far is not None and (self._fresh >= SHOWN_AFTER or not self._read):
            self._fresh = 0
            self._read = True
            self._all = newest_first(self._known.values())
            self._find()
        self.retitle()

    def _warn(self) -> None:
        words, line = self.live.keeper.warning, self.query_one("#warning", Static)
        line.display = bool(words)
        line.update(outside(f"! {words}", most=400))

    def _query(self) -> Query:
        now = self.live.clock.stamp()
        return self._filters.query(self.query_one("#search", Input).value, wall(now.wall_us, now))

    @work(exclusive=True, group="find", exit_on_error=True)
    async def _find(self) -> None:
        """Search and sort in a thread; what was asked before and is not done yet is forgotten."""
        query, column, descending, everything = self._query(), self._column, self._descending, self._all
        found = await asyncio.to_thread(lambda: ordered(search(everything, query), column, descending=descending))
        rows = self.query_one("#bakes", Rows)
        here = self._shown[rows.cursor].bake if self._shown and rows.cursor < len(self._shown) else None
        self._shown = found
        rows.say_when_empty(own(nothing(bool(self._all))))
        cursor = next((i for i, summary in enumerate(found) if summary.bake == here), 0)
        rows.show(len(found), self._line, cursor=cursor, head=head)
        self._glance()
        self.retitle()
        if found and not self._marked and self._checking is None:
            self.answer(LEGEND)

    def _line(self, index: int, width: int) -> Content:
        return line_of(self._shown[index], width, marked=self._shown[index].bake in self._marked)

    def on_resize(self, event: events.Resize) -> None:
        """Whether there is room to look at a bake, and at how much of it."""
        self.query_one(Glance).fit(event.size.height)
        self._glance()

    @on(Rows.Moved, "#bakes")
    def _glance(self) -> None:
        here = self._here()
        self.query_one(Glance).look(None if here is None else here.bake)

    @on(Rows.Chosen, "#bakes")
    def _chosen(self, event: Rows.Chosen) -> None:
        self.app.push_screen(BakeScreen(self.live, self._shown[event.index].bake))

    @on(Input.Changed, "#search")
    def _typed(self) -> None:
        self._find()

    @on(Input.Submitted, "#search")
    def _entered(self) -> None:
        self.query_one("#bakes").focus()

    def action_search(self) -> None:
        self.query_one("#search-field", Field).ask()

    def action_sort(self) -> None:
        self._column = COLUMNS[(COLUMNS.index(self._column) + 1) % len(COLUMNS)]
        self._find()

    def action_turn(self) -> None:
        self._descending = not self._descending
        self._find()

    def _filter(self, filters: Filters) -> None:
        self._filters = filters
        self._find()

    def action_which(self) -> None:
        self._filter(self._filters.next_which())

    def action_when(self) -> None:
        self._filter(self._filters.next_when())

    def action_points(self) -> None:
        self._filter(self._filters.next_score())

    def action_alike(self) -> None:
        here = self._here()
        self._filter(self._filters.alike("" if here is None else here.formula))

    def action_everything(self) -> None:
        self._filters = Filters()
        field = self.query_one("#search-field", Field)
        field.display, field.input.value = False, ""
        self._find()

    def _here(self) -> Summary | None:
        rows = self.query_one("#bakes", Rows)
        return self._shown[rows.cursor] if rows.cursor < len(self._shown) else None

    def action_mark(self) -> None:
        here = self._here()
        if here is None:
            return
        if here.bake in self._marked:
            self._marked.remove(here.bake)
        else:
            self._marked = [*self._marked, here.bake][-MOST_MARKED:]
        rows = self.query_one("#bakes", Rows)
        rows.refresh()
        rows.action_move(1)
        self.answer("" if not self._marked else f"{len(self._marked)} marked; c compares two.")

    def action_compare(self) -> None:
        """The two that are marked, or the marked one and the one under the cursor."""
        here = self._here()
        chosen = list(self._marked)
        if len(chosen) < MOST_MARKED and here is not None and here.bake not in chosen:
            chosen.append(here.bake)
        if len(chosen) < MOST_MARKED:
            self.answer("Mark a bake with space, then move to another.", wrong=True)
            return
        first, second = self._oldest_first(chosen)
        self.app.push_screen(CompareScreen(self.live, first, second))

    def _oldest_first(self, bakes: Sequence[str]) -> list[str]:
        order = {summary.bake: summary.began_us for summary in self._all}
        return sorted(bakes, key=lambda bake: order.get(bake, 0))

    def action_export(self) -> None:
        chosen = [s.bake for s in self._shown if not self._marked or s.bake in self._marked]
        if not chosen:
            self.answer("There is nothing to export.", wrong=True)
            return
        chosen = self._oldest_first(chosen)
        now = self.live.clock.stamp()
        stem = file_stem(counted(len(chosen), "bake"), f"{wall(now.wall_us, now):%Y-%m-%d}")
        self.query_one(ExportLine).open(chosen, stem)

    def action_course(self) -> None:
        """The formula under the cursor over all its bakes."""
        here = self._here()
        if here is None:
            self.answer("There is no bake.", wrong=True)
        else:
            self.app.push_screen(CourseScreen(self.live, here.formula, self._all))

    def action_formula(self) -> None:
        here = self._here()
        if here is None:
            self.answer("There is no bake.", wrong=True)
        else:
            self.query_one(FormulaLine).open(here.bake, here.formula, self.host.kitchen_file)

    def action_backup(self) -> None:
        now = self.live.clock.stamp()
        self.query_one(BackupLine).show(f"{file_stem('journal', f'{wall(now.wall_us, now):%Y-%m-%d}')}.sqlite")

    @on(FileLine.Closed)
    def _taken_away(self, event: FileLine.Closed) -> None:
        self.query_one("#bakes").focus()
        self.answer(event.words)

    def action_verify(self) -> None:
        if self._checking is None:
            self._checking = self._check()
        else:
            self._checking.cancel()
            self._checking = None
            self.answer("The check was stopped.")

    @work(exclusive=True, group="check", exit_on_error=True)
    async def _check(self) -> None:
        self.answer("Checking the file …")
        try:
            verdict = await check_all(self.live, self._checked)
        except Failure as failure:
            self.refuse(failure)
        else:
            words, wrong = verdict_words(verdict)
            self.answer(words, wrong=wrong)
        self._checking = None

    def _checked(self, done: int, of: int) -> None:
        if self._checking is not None:
            self.answer(f"Checked: {done:,} of {of:,} bakes … {self.host.key('journal.verify')} stops it")

    def action_back(self) -> None:
        """Out of what is being typed first, then out of the search, then back."""
        field = self.query_one("#search-field", Field)
        line = next((line for line in self.query(FileLine) if line.display), None)
        if line is not None:
            line.close()
        elif field.display:
            field.display = False
            field.input.value = ""
            self.query_one("#bakes").focus()
        else:
            self.dismiss(None)
