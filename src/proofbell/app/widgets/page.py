"""What every page beside the bench has in common: title, what rings, an answer, the keys, esc to go back."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static

from proofbell.app.drawing.content import outside
from proofbell.app.fields.field import field_with_focus
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.widgets.doubt_line import DoubtLine
from proofbell.app.widgets.host import TROUBLE_KEY, HostedScreen
from proofbell.app.widgets.key_row import KeyRow
from proofbell.app.widgets.notice_line import Notice, NoticeLine
from proofbell.app.widgets.rows import Rows
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bake.intents import Refused
from proofbell.bench.board import Board
from proofbell.errors import Failure


class Page(HostedScreen[str | None]):
    """A screen over the bench."""

    live: Live
    """The bench that it is about."""

    AUTO_FOCUS: ClassVar[str | None] = "Rows"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (80, "-normal"), (110, "-wide")]  # noqa: RUF012 - as Screen declares it

    BINDINGS: ClassVar[list[BindingType]] = [Binding("q", "quiet", "quiet", id="bench.quiet", show=False), TROUBLE_KEY]

    DEFAULT_CSS = """
    Page {
        layout: vertical;
        & > .page--title { height: 1; text-style: bold; padding: 0 1; background: $panel; text-wrap: nowrap;
            text-overflow: ellipsis; }
        & > NoticeLine { display: none; }
        & > NoticeLine.-shown { display: block; }
        & > .page--said { height: auto; max-height: 2; padding: 0 1; color: $text-muted; }
        & > .page--said.-wrong { max-height: 3; color: $text-error; text-style: bold; }
    }
    """

    def compose(self) -> ComposeResult:
        yield Static(self.heading(), classes="page--title")
        yield TroubleLine(most_lines=2)
        yield DoubtLine(where="on the bench")
        yield NoticeLine()
        yield from self.body()
        yield Static(classes="page--said")
        yield KeyRow(self)

    def heading(self) -> Content:
        """What stands on the title line."""
        return Content(self.PAGE)

    def body(self) -> ComposeResult:
        """The page's own widgets."""
        raise NotImplementedError

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """What rings on the bench is said here too, as long as it rings."""
        line = self.query_one(NoticeLine)
        line.set_class(bool(board.rings), "-shown")
        if board.rings:
            line.show(Notice(board.now.wall_us, board.rings, lit=lit, quiet=self.host.key("bench.quiet")))
            self.call_after_refresh(line.draw)

    @property
    def left(self) -> bool:
        """Whether the page was left: what it waited for comes too late."""
        return not self.app.is_running or self not in self.app.screen_stack

    def retitle(self) -> None:
        self.query_one(".page--title", Static).update(self.heading())

    def answer(self, words: str | Content, *, wrong: bool = False) -> None:
        """Say what came of the last thing done."""
        said = self.query_one(".page--said", Static)
        said.set_class(wrong, "-wrong")
        said.update(outside(f"✗ {words}" if wrong else words, most=400) if isinstance(words, str) else words)

    def refuse(self, refused: Failure | Refused) -> None:
        """Say why something cannot be, and how to put it right."""
        self.answer(in_words(refused), wrong=True)

    def action_quiet(self) -> None:
        self.host.quiet()

    def action_leave_field(self) -> None:
        """Esc in a field: out of it, to the list where there is one. A passing field is put away, as by esc outside."""
        field = field_with_focus(self)
        if field is not None and field.passing:
            self.action_back()
        else:
            self.set_focus(next((rows for rows in self.query(Rows) if rows.display), None))

    def action_back(self) -> None:
        self.dismiss(None)

    def action_help(self) -> None:
        self.host.show_keys(self.PAGE)


def titled(left: str, right: str = "") -> Content:
    """A title with something behind it."""
    behind = outside(f"   {right}", most=300).stylize("not bold") if right else Content("")
    return outside(left) + behind
