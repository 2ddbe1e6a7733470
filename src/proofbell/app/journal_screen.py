"""Every bake ever made, one a line: sorted, searched as one types, filtered by one key; and ways into each."""

from __future__ import annotations

import asyncio
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Input

from proofbell.app.actions import bindings
from proofbell.app.bake_screen import BakeScreen
from proofbell.app.compare_screen import CompareScreen
from proofbell.app.content import outside, own
from proofbell.app.export_line import ExportLine
from proofbell.app.field import Field
from proofbell.app.journal_filters import SCORES, WHEN, WHICH, following, with_filters
from proofbell.app.live import Live
from proofbell.app.local_time import wall
from proofbell.app.looking_back import all_bakes
from proofbell.app.page import Page, titled
from proofbell.app.rows import Rows, columns
from proofbell.file_names import file_stem
from proofbell.formula.fault import Refusal
from proofbell.journal.moments import day, local
from proofbell.journal.search import COLUMNS, Column, Query, ordered, search
from proofbell.journal.summary import Summary
from proofbell.words import NOTHING, counted, temperature

MOST_MARKED = 2
WIDE = 100
LEGEND = "✎ corrected   ≠ not typical   ? wants a score   … not finished   ✗ damaged"


class JournalScreen(Page):
    """The list. Reading and searching happen off the screen's thread; only the lines that are seen are made."""

    PAGE = "journal"
    CSS_PATH = "journal_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("journal")]

    def __init__(self, live: Live) -> None:
        super().__init__()
        self.live = live
        self._all: list[Summary] = []
        self._shown: list[Summary] = []
        self._marked: list[str] = []
        self._read = False
        self._column: Column = "date"
        self._descending = True
        self._formula = ""
        self._which, self._when, self._score = WHICH[0], WHEN[0], SCORES[0]

    def heading(self) -> Content:
        """How many, and what they are filtered and sorted by."""
        if not self._read:
            return titled("Journal", "reading …")
        filters = [f for f in (self._which, self._when, self._score) if f not in (WHICH[0], WHEN[0], SCORES[0])]
        filters += [self._formula] if self._formula else []
        count = counted(len(self._all), "bake")
        count = f"{len(self._shown)} of {count}" if len(self._shown) != len(self._all) else count
        unscored = sum(1 for summary in self._all if summary.wants_score)
        filters += [f"{unscored} {'wants' if unscored == 1 else 'want'} a score"] if unscored else []
        arrow = "↓" if self._descending else "↑"
        return titled("Journal", "   ".join([count, f"by {self._column} {arrow}", *filters]))

    def body(self) -> ComposeResult:
        """Search line, list, export line."""
        yield Field(
            "Search",
            id="search",
            width=40,
            hint="in formula, notes, outcome",
            note="esc: all again",
            enter="to the list",
            passing=True,
        )
        yield Rows(id="bakes", empty=own("Reading the journal …"))
        yield ExportLine(self.live)

    def on_mount(self) -> None:
        """Read; the screen is there meanwhile."""
        self.query_one("#search-field").display = False
        self._load()

    def on_screen_resume(self) -> None:
        """Something may have been added to a bake meanwhile."""
        if self._read:
            self._load()

    @work(exclusive=True, group="load", exit_on_error=True)
    async def _load(self) -> None:
        try:
            self._all = await all_bakes(self.live, self._still_to_read)
        except Refusal as refusal:
            self.query_one("#bakes", Rows).say_when_empty(outside(f"{refusal.message} {refusal.remedy}".strip()))
            self.refuse(refusal)
            return
        self._read = True
        self._find()

    def _still_to_read(self, left: int) -> None:
        """Called in the journal's thread, when many bakes are read for the first time."""
        if left:
            words = own(f"Reading the journal for the first time: {counted(left, 'bake')} to go.")
            self.app.call_from_thread(self.query_one("#bakes", Rows).say_when_empty, words)

    def _query(self) -> Query:
        now = self.live.clock.stamp()
        query = Query(text=self.query_one("#search", Input).value, formula=self._formula)
        return with_filters(query, self._which, self._when, self._score, wall(now.wall_us, now))

    @work(exclusive=True, group="find", exit_on_error=True)
    async def _find(self) -> None:
        """Search and sort in a thread; what was asked before and is not done yet is forgotten."""
        query, column, descending, everything = self._query(), self._column, self._descending, self._all
        found = await asyncio.to_thread(lambda: ordered(search(everything, query), column, descending=descending))
        rows = self.query_one("#bakes", Rows)
        here = self._shown[rows.cursor].bake if self._shown and rows.cursor < len(self._shown) else None
        self._shown = found
        rows.say_when_empty(own(_nothing(bool(self._all))))
        cursor = next((i for i, summary in enumerate(found) if summary.bake == here), 0)
        rows.show(len(found), self._line, cursor=cursor, head=_head)
        self.retitle()
        if found and not self._marked:
            self.answer(LEGEND)

    def _line(self, index: int, width: int) -> Content:
        summary = self._shown[index]
        score = NOTHING if summary.score is None else f"{summary.score:.1f}"
        style = "dim" if summary.outcome == "given up" else ""
        name = outside(summary.formula).stylize(style)
        mark = "●" if summary.bake in self._marked else " "
        date = day(local(summary.began_us, summary.offset_min))[4:]
        date = date[:-4] + date[-2:] if width < WIDE else date
        return columns(
            [
                (own(mark, "bold $accent"), 1),
                (own(date.rjust(9)), 9 if width < WIDE else 11),
                (name, 0),
                (outside(summary.size), -11),
                (own("" if summary.dough_c is None else temperature(summary.dough_c)), -7),
                (own(_proof(summary)), -11),
                (own(score, "bold"), -4),
                (own(_signs(summary)), 3),
            ],
            width,
        )

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
        """A line to type on."""
        field = self.query_one("#search-field", Field)
        field.display = True
        field.input.focus()

    def action_sort(self) -> None:
        """By the next column."""
        self._column = COLUMNS[(COLUMNS.index(self._column) + 1) % len(COLUMNS)]
        self._find()

    def action_turn(self) -> None:
        """The other way round."""
        self._descending = not self._descending
        self._find()

    def action_which(self) -> None:
        """By outcome."""
        self._which = following(WHICH, self._which)
        self._find()

    def action_when(self) -> None:
        """By time."""
        self._when = following(WHEN, self._when)
        self._find()

    def action_points(self) -> None:
        """By score."""
        self._score = following(SCORES, self._score)
        self._find()

    def action_alike(self) -> None:
        """Only the formula under the cursor, or all again."""
        here = self._here()
        self._formula = "" if self._formula or here is None else here.formula
        self._find()

    def _here(self) -> Summary | None:
        rows = self.query_one("#bakes", Rows)
        return self._shown[rows.cursor] if rows.cursor < len(self._shown) else None

    def action_mark(self) -> None:
        """Mark the bake under the cursor; two can be marked."""
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
        order = {summary.bake: summary.began_us for summary in self._all}
        first, second = sorted(chosen, key=lambda bake: order.get(bake, 0))
        self.app.push_screen(CompareScreen(self.live, first, second))

    def action_export(self) -> None:
        """All that are shown, the oldest first; or, when some are marked, those."""
        chosen = [s.bake for s in self._shown if not self._marked or s.bake in self._marked]
        if not chosen:
            self.answer("There is nothing to export.", wrong=True)
            return
        order = {summary.bake: summary.began_us for summary in self._all}
        chosen.sort(key=lambda bake: order.get(bake, 0))
        now = self.live.clock.stamp()
        stem = file_stem(counted(len(chosen), "bake"), f"{wall(now.wall_us, now):%Y-%m-%d}")
        self.query_one(ExportLine).open(chosen, stem)

    @on(ExportLine.Closed)
    def _exported(self, event: ExportLine.Closed) -> None:
        self.query_one("#bakes").focus()
        self.answer(event.words)

    def action_back(self) -> None:
        """Out of what is being typed first, then out of the search, then back."""
        field, line = self.query_one("#search-field", Field), self.query_one(ExportLine)
        if line.display:
            line.close()
        elif field.display:
            field.display = False
            field.input.value = ""
            self.query_one("#bakes").focus()
        else:
            self.dismiss(None)


def _head(width: int) -> Content:
    cells = [
        ("", 1),
        ("date", 9 if width < WIDE else 11),
        ("formula", 0),
        ("size", -11),
        ("dough", -7),
        ("proof, min", -11),
        ("pts", -4),
        ("", 3),
    ]
    return columns([(own(name), size) for name, size in cells], width)


def _proof(summary: Summary) -> str:
    """All proofs together, as planned and as they were, in minutes."""
    planned = round(summary.proof_planned_s / 60)
    if not planned and summary.proof_actual_s is None:
        return ""
    actual = NOTHING if summary.proof_actual_s is None else str(round(summary.proof_actual_s / 60))
    return f"{planned} → {actual}"


def _signs(summary: Summary) -> str:
    """✎ corrected, ≠ not typical, ? still wants a score, ✗ a log that is damaged, … not finished."""
    return (
        "✎" * summary.corrected
        + "≠" * (not summary.typical and not summary.fault)
        + "?" * summary.wants_score
        + "✗" * bool(summary.fault)
        + "…" * (not summary.outcome and not summary.fault)
    )


def _nothing(any_bakes: bool) -> str:  # noqa: FBT001 - there are some, or none
    if any_bakes:
        return "No bake fits. Press esc in the search, or go through the filters, to see more."
    return "No bakes yet. Press esc, then a on the bench, to begin the first."
