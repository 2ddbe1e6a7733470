"""Two bakes side by side: what differs stands out, and what differs much is said in words."""

from __future__ import annotations

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.log_warning import LogWarning
from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import look_back
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import Rows, columns
from proofbell.errors import Failure
from proofbell.journal.reviews.compare import Comparison, Line, compare
from proofbell.journal.reviews.moments import day
from proofbell.journal.reviews.review import BakeReview

MOST_SENTENCES = 6
TALL = 30

WIDE = 100
"""From so many columns on the planned times stand in the table; below, on the line under it."""


class CompareScreen(Page):
    """The earlier bake on the left. Everything is said of the later one against it."""

    PAGE = "compare"
    CSS_PATH = "compare_screen.tcss"

    def __init__(self, live: Live, left: str, right: str) -> None:
        super().__init__()
        self.live = live
        self._names = (left, right)
        self._found: Comparison | None = None
        self._nothing = "Loading …"
        self._only = False
        self._lines: list[Line] = []

    def heading(self) -> Content:
        if self._found is None:
            return own(self._nothing)
        left, right = _title(self._found.left), _title(self._found.right)
        return titled("Compared", f"{left}  with  {right}")

    def body(self) -> ComposeResult:
        yield LogWarning()
        yield Static(id="sentences")
        yield Rows(id="lines")

    def on_mount(self) -> None:
        self._look()

    @work(exclusive=True, exit_on_error=True)
    async def _look(self) -> None:
        try:
            left, right = [await look_back(self.live, bake) for bake in self._names]
        except Failure as failure:
            self._nothing = "These two cannot be compared."
            self.retitle()
            self.refuse(failure)
            return
        self._found = compare(left, right)
        self.query_one(LogWarning).show(left, right, named=True)
        self._say_sentences()
        self.retitle()
        self._show()

    def _say_sentences(self) -> None:
        if self._found is not None:
            most = MOST_SENTENCES if self.size.height < TALL else 2 * MOST_SENTENCES
            self.query_one("#sentences", Static).update(sentences(self._found, most))

    def on_resize(self) -> None:
        """More height has room for more of the sentences."""
        self._say_sentences()

    def _show(self) -> None:
        if self._found is None:
            return
        self._lines = [line for line in self._found.lines if line.differs or not self._only]
        rows = self.query_one("#lines", Rows)
        rows.say_when_empty(own("Nothing differs."))
        rows.show(len(self._lines), self._line, head=self._head)
        same = sum(1 for line in self._found.lines if not line.differs)
        self.answer(f"{same} identical lines are hidden." if self._only else "")

    def _head(self, width: int) -> Content:
        found = self._found
        title = _day if width < WIDE else _title
        names = ("", "") if found is None else (title(found.left), title(found.right))
        return _cells(own(""), own(""), outside(names[0]), outside(names[1]), own(""), width)

    def _line(self, index: int, width: int) -> Content:
        line = self._lines[index]
        first = index == 0 or self._lines[index - 1].group != line.group
        style = "bold $warning" if line.large else "bold" if line.differs else "dim"
        left, right = line.brief if line.brief and width < WIDE else (line.left, line.right)
        sign = "◆" if line.large else "≠" if line.differs else " "
        return _cells(
            own(line.group if first else "", "dim"),
            outside(line.what).stylize(style),
            outside(left).stylize(style),
            outside(right).stylize(style),
            own(sign, style),
            width,
        )

    @on(Rows.Moved, "#lines")
    def _moved(self, event: Rows.Moved) -> None:
        line = self._lines[event.index]
        self.answer(f"{line.what}: {line.left}  →  {line.right}")

    def action_only(self) -> None:
        self._only = not self._only
        self._show()

    def action_left(self) -> None:
        self.app.push_screen(BakeScreen(self.live, self._names[0]))

    def action_right(self) -> None:
        self.app.push_screen(BakeScreen(self.live, self._names[1]))


def _title(side: BakeReview) -> str:
    return f"{_day(side)}, {side.state.formula.name}"


def _day(side: BakeReview) -> str:
    return day(side.moments.local(0.0))[4:]


def sentences(found: Comparison, most: int) -> Content:
    """The first of them, and how many more there are: the table below marks every one."""
    if not found.sentences:
        return own("No large difference.", "dim")
    said = found.sentences if len(found.sentences) <= most else found.sentences[: most - 1]
    lines = [outside(f"◆ {words[:1].upper()}{words[1:]}", most=300) for words in said]
    more = len(found.sentences) - len(said)
    lines += [own(f"  and {more} more, marked ◆ below", "dim")] if more else []
    return Content("\n").join(lines)


def _cells(group: Content, what: Content, left: Content, right: Content, sign: Content, width: int) -> Content:
    half = max(14, (width - 12 - 1 - 8) // 3) if width >= WIDE else max(14, (width - 12 - 1 - 8) // 4)
    return columns([(group, 12), (what, 0), (sign, 1), (left, half), (right, half)], width)
