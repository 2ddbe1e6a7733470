"""The most urgent dough over the whole screen, to be read from three metres and answered with an elbow."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from proofbell.app.bench.bench_readings import BenchReadings
from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.countdown_words import beside, number, style
from proofbell.app.bench.dough_actions import DoughActions
from proofbell.app.bench.outage_question import OutageQuestion
from proofbell.app.bench.oven_and_plan import OvenAndPlan
from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.content import outside
from proofbell.app.drawing.digits import draw_blocks, known, largest_scale, lines, points_wide
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.drawing.strip_drawing import short
from proofbell.app.widgets.actions import bindings
from proofbell.app.widgets.doubt_line import DoubtLine
from proofbell.app.widgets.host import TROUBLE_KEY, HostedScreen
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bake.doubt import doubt
from proofbell.bake.stamp import Stamp
from proofbell.bake.view import BakeView
from proofbell.bench.board import Board

IN_DOUBT = "Time in doubt"


class Far(Sheet):
    """Draws one dough as large as it goes."""

    def __init__(self) -> None:
        super().__init__()
        self._view: BakeView | None = None
        self._now: Stamp | None = None
        self._back = ""
        self._in_doubt = False

    def show(self, view: BakeView | None, now: Stamp, back: str, *, in_doubt: bool) -> None:
        """Another moment, and the key that goes ``back``.

        ``in_doubt``: the dough's times may be wrong, and nobody has said yet how wrong.
        """
        self._view, self._now, self._back, self._in_doubt = view, now, back, in_doubt
        self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """Letter and digits in blocks, what to do in block capitals where they fit, the rest in words."""
        if self._view is None or self._now is None:
            return outside("No dough on the bench.   esc back")
        return far(self._view, self._now, width, height, self._back, in_doubt=self._in_doubt)


def far(
    view: BakeView, now: Stamp, width: int, height: int, back: str = "esc back", *, in_doubt: bool = False
) -> Content:
    """Compose the whole screen: title and the key that goes ``back``, blocks, what the number means, what to do.

    A time ``in_doubt`` has a question mark as large as itself, and its name in block capitals where nothing is to do.
    """
    canvas = Canvas(width, height)
    canvas.put(1, 0, short(f"{view.letter}  {view.title} · {view.stage}", width - cell_len(back) - 4), "bold")
    canvas.put(width - cell_len(back) - 1, 0, back, "$quiet")
    asked = f"▶ {view.do}" if view.do else f"Next: {view.then}" if view.then else ""
    capitals = _capitals(view.do or (IN_DOUBT if in_doubt else view.stage), width - 2)
    large = max(1, largest_scale(capitals, width - 2, height // 7)) if capitals else 1
    foot = lines(large) + 3 if capitals and height >= 18 else 2
    act = view.liquid if view.advice is None or not view.advice.act else view.advice.to_do
    foot += 1 if act else 0
    digits = number(view)
    _blocks(canvas, view, f"{digits}?" if digits and in_doubt else digits, 2, max(1, height - 3 - foot))
    y = height - foot
    meaning = " · ".join(words for words in (IN_DOUBT if in_doubt else "", beside(view, now)) if words)
    _centred(canvas, y, meaning, style(view) if view.mode == "over" else "")
    if foot > 3:
        draw_blocks(canvas, max(1, (width - points_wide(capitals) * large) // 2), y + 1, capitals, large, "bold")
    if act:
        _centred(canvas, height - 2, act, "bold")
    _centred(canvas, height - 1, asked, "bold")
    return canvas.content()


def _blocks(canvas: Canvas, view: BakeView, digits: str, top: int, room: int) -> None:
    """Letter and digits, beside each other or, where that makes the digits larger, below each other."""
    width = canvas.width - 2
    head = f"{view.letter}  {digits}" if digits else view.letter
    side, alone = largest_scale(head, width, room), largest_scale(digits, width, room - 4)
    if alone <= side or not digits:
        left = max(1, (canvas.width - points_wide(head) * side) // 2)
        y = top + max(0, (room - lines(side)) // 2)
        after = draw_blocks(canvas, left, y, view.letter, side, "$accent") if side else left
        if side and digits:
            draw_blocks(canvas, after + (points_wide("  ") + 2) * side, y, digits, side, style(view))
        elif digits:
            _centred(canvas, top + room // 2, digits, style(view))
        return
    letter = max(1, min(alone, largest_scale(view.letter, width, room - 1 - lines(alone))))
    y = top + max(0, (room - lines(alone) - 1 - lines(letter)) // 2)
    draw_blocks(canvas, max(1, (canvas.width - 3 * letter) // 2), y, view.letter, letter, "$accent")
    left = max(1, (canvas.width - points_wide(digits) * alone) // 2)
    draw_blocks(canvas, left, y + lines(letter) + 1, digits, alone, style(view))


def _centred(canvas: Canvas, y: int, words: str, style_: str) -> None:
    shown = short(words, canvas.width - 2)
    canvas.put(max(1, (canvas.width - cell_len(shown)) // 2), y, shown, style_)


def _capitals(doing: str, width: int) -> str:
    """What to do in block capitals; shortened to its first part, or nothing when it does not fit or has no shape."""
    for words in (doing, doing.split(":", maxsplit=1)[0], doing.split(",", maxsplit=1)[0]):
        text = words.upper().replace("'", "").strip(" ?")
        if text and known(text) and points_wide(text) <= width:
            return text
    return ""


@dataclass(frozen=True, slots=True)
class Answering:
    """The bench below, and what answers for it."""

    bench: BenchState
    doing: DoughActions
    readings: BenchReadings
    answers: OvenAndPlan
    time: OutageQuestion


class FarView(HostedScreen[None]):
    """Follows the most urgent dough by itself."""

    PAGE: ClassVar[str] = "far"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("far"),
        TROUBLE_KEY,
        Binding("t", "time", "time in doubt", id="bench.time", show=False),
    ]
    AUTO_FOCUS: ClassVar[str | None] = ""

    def compose(self) -> ComposeResult:
        """What stands wrong, if anything; nothing else."""
        yield TroubleLine(most_lines=1)
        yield DoubtLine()
        yield Far()

    _below: Answering | None = None

    def follow(self, below: Answering) -> None:
        """Which bench it is about, before it opens."""
        self._below = below

    def on_screen_resume(self) -> None:
        """Show this moment."""
        self.host.hold(on=False)
        self.moment(self.host.live.board())

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """Show another moment."""
        found = self.query(Far)
        if found:
            self.set_class(lit, "-lit")
            state = self.host.live.state(board.urgent or "")
            in_doubt = state is not None and doubt(state, board.now) is not None
            leave = next(action for action in self.actions if action.id == "far.leave")
            back = f"{self.host.key(leave.id)} {leave.word}"
            found.first().show(board.of(board.urgent or ""), board.now, back, in_doubt=in_doubt)

    def action_answer(self) -> None:
        """Answer what is asked; with nothing asked, go back to the bench."""
        below = self._below
        urgent = None if below is None else below.bench.board.of(below.bench.board.urgent or "")
        if below is None or urgent is None or not urgent.wants:
            self.dismiss(None)
            return
        below.bench.take(urgent.bake)
        if urgent.wants[0].kind == "check":
            self.dismiss(None)
            self.call_after_refresh(below.readings.reading)
        elif urgent.wants[0].kind in ("due", "start"):
            below.doing.done()
        else:
            below.answers.oven()

    def action_time(self) -> None:
        """Say how long the power was off: the bench asks."""
        self.dismiss(None)
        if self._below is not None:
            self.call_after_refresh(self._below.time.ask)

    def action_leave(self) -> None:
        """Back to the bench."""
        self.dismiss(None)

    def on_click(self) -> None:
        """A click anywhere goes back."""
        self.dismiss(None)
