"""The most urgent dough over the whole screen, to be read from three metres and answered with an elbow."""

from __future__ import annotations

from collections.abc import Sequence
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
from proofbell.app.bench.own_timers.bench_timers import BenchTimers
from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.content import outside
from proofbell.app.drawing.digits import draw_blocks, known, largest_scale, lines, points_wide
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.drawing.strip_drawing import short
from proofbell.app.session.local_time import hour_minute
from proofbell.app.widgets.actions import bindings
from proofbell.app.widgets.doubt_line import DoubtLine
from proofbell.app.widgets.host import TROUBLE_KEY, HostedScreen
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bake.asking.timer import LETTER, Timer
from proofbell.bake.doubt import doubt
from proofbell.bake.stamp import Stamp
from proofbell.bake.view import BakeView
from proofbell.bench.board import Board
from proofbell.words import countdown

IN_DOUBT = "Time in doubt"


@dataclass(frozen=True, slots=True)
class Face:
    """What is drawn: block digits with a letter before them, what they mean, what is asked for, and what waits."""

    title: str
    letter: str
    digits: str
    digits_style: str
    capitals: str
    meaning: str
    meaning_style: str = ""
    act: str = ""
    asked: str = ""


class Far(Sheet):
    """Draws one dough, or a timer, as large as it goes."""

    def __init__(self) -> None:
        super().__init__()
        self._face: Face | None = None
        self._back = ""
        self._waiting = ""

    def show(self, face: Face | None, back: str, waiting: str = "") -> None:
        """Another moment, and the key that goes ``back``. ``waiting``: the timers that run beside it."""
        self._face, self._back, self._waiting = face, back, waiting
        self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """Letter and digits in blocks, what to do in block capitals where they fit, the rest in words."""
        if self._face is None:
            return outside("No dough on the bench.   esc back")
        return far(self._face, width, height, self._back, self._waiting)


def dough_face(view: BakeView, now: Stamp, *, in_doubt: bool = False) -> Face:
    """A dough. A time ``in_doubt`` has a question mark, and its name in capitals where nothing is to do."""
    digits = number(view)
    return Face(
        title=f"{view.letter}  {view.title} · {view.stage}",
        letter=view.letter,
        digits=f"{digits}?" if digits and in_doubt else digits,
        digits_style=style(view),
        capitals=view.do or (IN_DOUBT if in_doubt else view.stage),
        meaning=" · ".join(words for words in (IN_DOUBT if in_doubt else "", beside(view, now)) if words),
        meaning_style=style(view) if view.mode == "over" else "",
        act=view.liquid or view.probe if view.advice is None or not view.advice.act else view.advice.to_do,
        asked=f"▶ {view.do}" if view.do else f"Next: {view.then}" if view.then else "",
    )


def timer_face(timer: Timer, now: Stamp) -> Face:
    """A timer of the baker's own."""
    left_s, at = timer.left_s(now), hour_minute(timer.due_us(now), now)
    over = left_s <= 0
    colour = "$error bold" if over else "$proof bold"
    return Face(
        title=f"{LETTER}  {timer.name}",
        letter=LETTER.upper(),
        digits="+" + countdown(int(-left_s)) if over else countdown(left_s),
        digits_style=colour,
        capitals=timer.name,
        meaning=f"over, rang at {at}" if over else f"left, rings at {at}",
        meaning_style=colour if over else "",
        asked=f"▶ {timer.name}" if over else "",
    )


def timers_line(timers: Sequence[Timer], now: Stamp) -> str:
    """``rinse rice 04:12 · eggs 09:00``; with a plus what rings."""
    left = ((timer, timer.left_s(now)) for timer in timers)
    return " · ".join(f"{timer.name} {countdown(s) if s > 0 else '+' + countdown(int(-s))}" for timer, s in left)


def far(face: Face, width: int, height: int, back: str = "esc back", waiting: str = "") -> Content:
    """Compose the whole screen: title and the key that goes ``back``, blocks, what the number means, what to do."""
    canvas = Canvas(width, height)
    canvas.put(1, 0, short(face.title, width - cell_len(back) - 4), "bold")
    canvas.put(width - cell_len(back) - 1, 0, back, "$quiet")
    _centred(canvas, 1, waiting, "bold")
    capitals = _capitals(face.capitals, width - 2)
    large = max(1, largest_scale(capitals, width - 2, height // 7)) if capitals else 1
    foot = lines(large) + 3 if capitals and height >= 18 else 2
    foot += 1 if face.act else 0
    _blocks(canvas, face, 2, max(1, height - 3 - foot))
    y = height - foot
    _centred(canvas, y, face.meaning, face.meaning_style)
    if foot > 3:
        draw_blocks(canvas, max(1, (width - points_wide(capitals) * large) // 2), y + 1, capitals, large, "bold")
    if face.act:
        _centred(canvas, height - 2, face.act, "bold")
    _centred(canvas, height - 1, face.asked, "bold")
    return canvas.content()


def _blocks(canvas: Canvas, face: Face, top: int, room: int) -> None:
    """Letter and digits, beside each other or, where that makes the digits larger, below each other."""
    width, letter, digits = canvas.width - 2, face.letter, face.digits
    head = f"{letter}  {digits}" if digits else letter
    side, alone = largest_scale(head, width, room), largest_scale(digits, width, room - 4)
    if alone <= side or not digits:
        left = max(1, (canvas.width - points_wide(head) * side) // 2)
        y = top + max(0, (room - lines(side)) // 2)
        after = draw_blocks(canvas, left, y, letter, side, "$accent") if side else left
        if side and digits:
            draw_blocks(canvas, after + (points_wide("  ") + 2) * side, y, digits, side, face.digits_style)
        elif digits:
            _centred(canvas, top + room // 2, digits, face.digits_style)
        return
    small = max(1, min(alone, largest_scale(letter, width, room - 1 - lines(alone))))
    y = top + max(0, (room - lines(alone) - 1 - lines(small)) // 2)
    draw_blocks(canvas, max(1, (canvas.width - 3 * small) // 2), y, letter, small, "$accent")
    left = max(1, (canvas.width - points_wide(digits) * alone) // 2)
    draw_blocks(canvas, left, y + lines(small) + 1, digits, alone, face.digits_style)


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
    timers: BenchTimers


class FarView(HostedScreen[None]):
    """Follows the most urgent dough by itself."""

    PAGE: ClassVar[str] = "far"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("far"),
        TROUBLE_KEY,
        Binding("T", "time", "time in doubt", id="bench.time", show=False),
        Binding("t", "timer", "timer", id="bench.timer", show=False),
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
            leave = next(action for action in self.actions if action.id == "far.leave")
            back = f"{self.host.key(leave.id)} {leave.word}"
            timers, shown = self.host.live.timers.running, self._timer(board)
            waiting = [timer for timer in timers if timer != shown]
            face = self._dough(board) if shown is None else timer_face(shown, board.now)
            found.first().show(face, back, timers_line(waiting, board.now))

    def _dough(self, board: Board) -> Face | None:
        view, state = board.of(board.urgent or ""), self.host.live.state(board.urgent or "")
        in_doubt = state is not None and doubt(state, board.now) is not None
        return None if view is None else dough_face(view, board.now, in_doubt=in_doubt)

    def _timer(self, board: Board) -> Timer | None:
        """The timer that is shown in place of a dough: one that rings, while no dough wants anything; or the next."""
        first, view = next(iter(self.host.live.timers.running), None), board.of(board.urgent or "")
        if first is None or (view is not None and (view.wants or first.left_s(board.now) > 0)):
            return None
        return first

    def action_answer(self) -> None:
        """Answer what is asked; with nothing asked, go back to the bench."""
        below = self._below
        timer = None if below is None else self._timer(below.bench.board)
        if below is not None and timer is not None:
            below.timers.answer(timer.id)
            return
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

    def action_timer(self) -> None:
        """A timer of the baker's own, over what is shown."""
        if self._below is not None:
            self._below.timers.ask()

    def action_leave(self) -> None:
        """Back to the bench."""
        self.dismiss(None)

    def on_click(self) -> None:
        """A click anywhere goes back."""
        self.dismiss(None)
