"""The most urgent dough over the whole screen, to be read from three metres and answered with an elbow."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, cast

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.screen import Screen

from proofbell.app.actions import bindings
from proofbell.app.canvas import Canvas
from proofbell.app.content import outside
from proofbell.app.countdown_words import beside, number, style
from proofbell.app.digits import draw_blocks, known, largest_scale, lines, points_wide
from proofbell.app.sheet import Sheet
from proofbell.app.strip_drawing import short
from proofbell.bake.stamp import Stamp
from proofbell.bake.view import BakeView
from proofbell.bench.board import Board

if TYPE_CHECKING:
    from proofbell.app.app import ProofbellApp


class Far(Sheet):
    """Draws one dough as large as it goes."""

    def __init__(self) -> None:
        super().__init__()
        self._view: BakeView | None = None
        self._now: Stamp | None = None

    def show(self, view: BakeView | None, now: Stamp) -> None:
        """Another moment."""
        self._view, self._now = view, now
        self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """Letter and digits in blocks, what to do in block capitals where they fit, the rest in words."""
        if self._view is None or self._now is None:
            return outside("No dough on the bench.")
        return far(self._view, self._now, width, height)


def far(view: BakeView, now: Stamp, width: int, height: int) -> Content:
    """Compose the whole screen."""
    canvas = Canvas(width, height)
    canvas.put(1, 0, short(f"{view.letter}  {view.title} · {view.stage}", width - 2), "bold")
    asked = f"▶ {view.do}" if view.do else f"Next: {view.then}" if view.then else ""
    capitals = _capitals(view.do or view.stage, width - 2)
    foot = 4 if capitals else 2
    digits = number(view)
    head = f"{view.letter} {digits}" if digits else view.letter
    room = max(1, height - 2 - foot)
    scale = largest_scale(head, width - 2, room)
    if scale:
        left = max(1, (width - points_wide(head) * scale) // 2)
        top = 1 + max(0, (room - lines(scale)) // 2)
        after_letter = draw_blocks(canvas, left, top, view.letter, scale, "$accent")
        if digits:
            at = after_letter + (points_wide(" ") + 2) * scale
            draw_blocks(canvas, at, top, digits, scale, style(view))
    elif digits:
        canvas.put(1, height // 2, digits, style(view))
    y = height - foot - 1
    canvas.put(1, y, short(beside(view, now), width - 2), style(view) if view.mode == "over" else "")
    if capitals:
        draw_blocks(canvas, max(1, (width - points_wide(capitals)) // 2), y + 1, capitals, 1, "bold")
        canvas.put(1, height - 1, short(asked, width - 2), "bold")
    else:
        canvas.put(1, y + 1, short(asked, width - 2), "bold")
    return canvas.content()


def _capitals(doing: str, width: int) -> str:
    """What to do in block capitals; shortened to its first part, or nothing when it does not fit or has no shape."""
    for words in (doing, doing.split(":", maxsplit=1)[0], doing.split(",", maxsplit=1)[0]):
        text = words.upper().replace("'", "").strip(" ?")
        if text and known(text) and points_wide(text) <= width:
            return text
    return ""


class FarView(Screen[None]):
    """Follows the most urgent dough by itself."""

    PAGE: ClassVar[str] = "far"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("far")]
    AUTO_FOCUS: ClassVar[str | None] = ""

    def compose(self) -> ComposeResult:
        """Nothing else."""
        yield Far()

    @property
    def _app(self) -> ProofbellApp:
        return cast("ProofbellApp", self.app)

    def on_screen_resume(self) -> None:
        """Show this moment."""
        self.moment(self._app.live.board())

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """Show another moment."""
        if self.is_mounted:
            self.set_class(lit, "-lit")
            self.query_one(Far).show(board.of(board.urgent or ""), board.now)

    def action_answer(self) -> None:
        """Answer what is asked; with nothing asked, go back to the bench."""
        bench = self._app.bench
        urgent = bench.board.of(bench.board.urgent or "")
        if urgent is None or not urgent.wants:
            self.dismiss(None)
            return
        bench.take(urgent.bake)
        if urgent.wants[0].kind == "check":
            self.dismiss(None)
            self.call_after_refresh(bench.action_reading)
        elif urgent.wants[0].kind in ("due", "start"):
            bench.action_done()
        else:
            bench.action_oven()

    def action_leave(self) -> None:
        """Back to the bench."""
        self.dismiss(None)

    def on_click(self) -> None:
        """A click anywhere goes back."""
        self.dismiss(None)
