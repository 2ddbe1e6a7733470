"""One bake looked back on: strips, chart, changes, weights, the score sheet, the whole log."""

from __future__ import annotations

from textual import events, on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.content import own
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.fields.export_line import ExportLine, FormulaLine
from proofbell.app.fields.field import Field
from proofbell.app.fields.file_line import FileLine
from proofbell.app.journal.bake_drawing import STRIP_LINES, axis_of, draw_readings, draw_strips
from proofbell.app.journal.bake_lines import VIEWS, Lines
from proofbell.app.journal.log_warning import LogWarning
from proofbell.app.session.kept import kept_words
from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import look_back, tell
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import Rows
from proofbell.bake import intents
from proofbell.bake.intents import Intent
from proofbell.bake.weigh.ways_words import batch_words
from proofbell.errors import Failure
from proofbell.file_names import file_stem
from proofbell.journal.reviews import report
from proofbell.journal.reviews.moments import day
from proofbell.journal.reviews.review import BakeReview

CHART_LINES = 9
TALL = 30


class Drawing(Sheet):
    """Strips, the chart, or both."""

    def __init__(self) -> None:
        super().__init__(id="drawing")
        self.review: BakeReview | None = None
        self.strips = self.chart = False

    @property
    def lines(self) -> int:
        return STRIP_LINES * self.strips + CHART_LINES * self.chart

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - its height is what it needs
        if self.review is None:
            return Content("")
        axis = axis_of(self.review, width - 1)
        parts: list[Content] = []
        if self.strips:
            canvas = Canvas(width, STRIP_LINES)
            draw_strips(canvas, self.review, axis)
            parts.append(canvas.content())
        if self.chart:
            canvas = Canvas(width, CHART_LINES)
            draw_readings(canvas, self.review, axis)
            parts.append(canvas.content())
        return Content("\n").join(parts)


class ViewLine(Sheet):
    """The names of the views; the one that is open stands out. A click opens one."""

    class Clicked(Message):
        def __init__(self, view: str) -> None:
            super().__init__()
            self.view = view

    def __init__(self) -> None:
        super().__init__(id="views")
        self.open = "times"

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - one line
        names = [own(f"[{name}]", "bold $accent") if name == self.open else own(f" {name} ") for name in VIEWS]
        return Content(" ").join(names)

    def on_click(self, event: events.Click) -> None:
        at = 0
        for name in VIEWS:
            end = at + len(name) + 2
            if at <= event.x < end:
                self.post_message(self.Clicked(name))
            at = end + 1


class BakeScreen(Page):
    """Views of one bake. Notes, points and the mark can still be given when it is over."""

    PAGE = "bake"
    CSS_PATH = "bake_screen.tcss"

    def __init__(self, live: Live, bake: str, *, view: str = "times") -> None:
        super().__init__()
        self.live = live
        self.bake = bake
        self.view = view
        self.review: BakeReview | None = None
        self._nothing = "Loading …"
        self._lines: Lines | None = None

    def heading(self) -> Content:
        if self.review is None:
            return own(self._nothing)
        state = self.review.state
        facts = [day(self.review.moments.local(0.0)), batch_words(state.batch), *report.in_brief(self.review)]
        return titled(f"{state.letter}  {state.formula.name}", " · ".join(facts))

    def body(self) -> ComposeResult:
        yield LogWarning()
        yield ViewLine()
        yield Drawing()
        yield Rows(id="lines")
        yield Static(id="whole")
        yield Field("Note", id="note", width=60, enter="into the log", passing=True)
        yield ExportLine(self.live)
        yield FormulaLine(self.live)

    def on_mount(self) -> None:
        self._look()

    @work(exclusive=True, exit_on_error=True)
    async def _look(self, said: str = "") -> None:
        try:
            self.review = await look_back(self.live, self.bake)
        except Failure as failure:
            self._nothing = "This bake cannot be shown."
            self.retitle()
            self.refuse(failure)
            return
        self.retitle()
        self.query_one(LogWarning).show(self.review)
        self.open_view(self.view)
        if said:
            self.answer(said)

    @on(ViewLine.Clicked)
    def _clicked(self, event: ViewLine.Clicked) -> None:
        self.open_view(event.view)

    def open_view(self, name: str) -> None:
        cursor = None if name == self.view else 0
        self.view = name
        views, drawing, rows = self.query_one(ViewLine), self.query_one(Drawing), self.query_one("#lines", Rows)
        views.open = name
        views.draw()
        if self.review is None:
            return
        self._lines = lines = VIEWS[name](self.review)
        drawing.review = self.review
        drawing.strips = name == "times"
        drawing.chart = name == "readings" or (name == "times" and self.size.height >= TALL)
        drawing.styles.height = drawing.lines
        drawing.display = drawing.lines > 0
        drawing.draw()
        self.call_after_refresh(drawing.draw)
        rows.show(len(lines.lines), lambda index, width: lines.lines[index](width), cursor=cursor, head=lines.head)
        rows.focus()
        self._whole(rows.cursor)
        self.answer("Press 1 to 9, or 0 for 10, to score the line under the cursor." if name == "score" else "")

    @on(Rows.Moved, "#lines")
    def _moved(self, event: Rows.Moved) -> None:
        self._whole(event.index)

    def _whole(self, index: int) -> None:
        """What the line under the cursor says, not cut."""
        whole = () if self._lines is None else self._lines.whole
        words = self.query_one("#whole", Static)
        words.display = bool(whole)
        words.update(whole[index] if index < len(whole) else Content(""))

    def on_resize(self) -> None:
        """More height has room for the chart as well."""
        if self.review is not None:
            self.open_view(self.view)

    def _step(self, by: int) -> None:
        names = list(VIEWS)
        self.open_view(names[(names.index(self.view) + by) % len(names)])

    def action_next_view(self) -> None:
        self._step(1)

    def action_view_before(self) -> None:
        self._step(-1)

    def action_score(self) -> None:
        self.open_view("score")

    def action_log(self) -> None:
        self.open_view("log")

    def on_key(self, event: events.Key) -> None:
        """Digits on the score sheet are points."""
        if self.view == "score" and event.key in "1234567890" and isinstance(self.focused, Rows):
            event.stop()
            self._give(int(event.key) or 10)

    def _give(self, points: int) -> None:
        rows = self.query_one("#lines", Rows)
        names = () if self._lines is None else self._lines.score_lines
        if rows.cursor < len(names):
            self._tell(intents.GiveScore(names[rows.cursor], points), f"{names[rows.cursor]}: {points} of 10")
            rows.action_move(1)

    def _tell(self, intent: Intent, said: str) -> None:
        """Say something to the bake. It is stored also when the page is left meanwhile."""

        async def telling() -> None:
            try:
                refused = await tell(self.live, self.bake, intent)
            except Failure as failure:
                if not self.left:
                    self.refuse(failure)
                return
            if self.left:
                return
            if refused is not None:
                self.refuse(refused)
            else:
                self._look(kept_words(self.live, self.bake, said))

        self.app.run_worker(telling(), exit_on_error=True)

    def action_note(self) -> None:
        self.query_one("#note-field", Field).ask("")

    @on(Input.Submitted, "#note")
    def _noted(self, event: Input.Submitted) -> None:
        self._put_away()
        if event.value.strip():
            self._tell(intents.AddNote(event.value), "The note is in the log.")

    def action_typical(self) -> None:
        """Mark the bake as not typical, or as typical again."""
        if self.review is not None:
            typical = not self.review.state.typical
            said = "Marked as typical again." if typical else "Marked as not typical: nothing is learned from it."
            self._tell(intents.MarkTypical(typical), said)

    def action_export(self) -> None:
        if self.review is not None:
            head, _, tail = self.bake.rpartition("-")
            self.query_one(ExportLine).open([self.bake], file_stem(head, tail))

    def action_formula(self) -> None:
        if self.review is not None:
            self.query_one(FormulaLine).open(self.bake, self.review.state.formula.name, self.host.kitchen_file)

    @on(FileLine.Closed)
    def _exported(self, event: FileLine.Closed) -> None:
        self.query_one("#lines").focus()
        self.answer(event.words)

    def _put_away(self) -> None:
        self.query_one("#note-field").display = False
        self.query_one("#lines").focus()

    def action_back(self) -> None:
        """Out of what is being typed first, then back."""
        if self.query_one("#note-field").display:
            self._put_away()
        elif (line := next((each for each in self.query(FileLine) if each.display), None)) is not None:
            line.close()
        else:
            self.dismiss(None)
