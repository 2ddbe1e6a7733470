"""The most urgent dough over the whole screen, to be read from three metres and answered with an elbow."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from proofbell.app.bench.bench_readings import BenchReadings
from proofbell.app.bench.bench_state import BenchState
from proofbell.app.bench.dough_actions import DoughActions
from proofbell.app.bench.far.far_drawing import Around, Face, around, dough_face, far, timer_face
from proofbell.app.bench.moments.said_late import SaidLate
from proofbell.app.bench.outage_question import OutageQuestion
from proofbell.app.bench.oven_and_plan import OvenAndPlan
from proofbell.app.bench.own_timers.bench_timers import BenchTimers
from proofbell.app.drawing.content import outside
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.widgets.doubt_line import DoubtLine
from proofbell.app.widgets.host import TROUBLE_KEY, HostedScreen
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bake.asking.offered import is_read_first
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.asking.timer import Timer
from proofbell.bake.core import longer_s
from proofbell.bake.doubt import doubt
from proofbell.bake.tasks import PromptId
from proofbell.bake.view import BakeView
from proofbell.bench.agenda import ahead
from proofbell.bench.board import Board
from proofbell.frozen import dataclass
from proofbell.words import length


class Far(Sheet):
    """Draws one dough, or a timer, as large as it goes."""

    def __init__(self) -> None:
        super().__init__()
        self._face: Face | None = None
        self._around = Around()
        self._lit = False

    def show(self, face: Face | None, beside_it: Around, *, lit: bool = False) -> None:
        """Another moment; ``lit``: all in the one colour that stands out of the lit screen."""
        self._face, self._around, self._lit = face, beside_it, lit
        self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """Digits and what to do in blocks where they fit, the rest in words."""
        if self._face is None:
            return outside("No dough on the bench.   esc back")
        drawn = far(self._face, self._around, width, height)
        return Content(drawn.plain) if self._lit else drawn


@dataclass(frozen=True, slots=True)
class Answering:
    """The bench below, and what answers for it."""

    bench: BenchState
    doing: DoughActions
    readings: BenchReadings
    answers: OvenAndPlan
    time: OutageQuestion
    timers: BenchTimers
    late: SaidLate


def _said_by(prompt: Prompt) -> str:
    """What answering a prompt says, in a word: that the oven is on is not that the bread is in it."""
    return {"oven on": "on", "oven hot": "hot", "oven off": "off"}.get(prompt.kind, "done")


class FarView(HostedScreen[None]):
    """Follows the most urgent dough by itself."""

    PAGE: ClassVar[str] = "far"
    BINDINGS: ClassVar[list[BindingType]] = [
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
    _left_unread: tuple[str, PromptId] | None = None
    """What was to be read as its box was opened from here: answered once more, it is left unread."""

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
            timers, shown = self.host.live.timers.running, self._timer(board)
            waiting = [timer for timer in timers if timer != shown]
            face = self._dough(board) if shown is None else timer_face(shown, board.now)
            by_it = (board.urgent or "") if shown is None else shown.id
            planned = self._as_planned(board)
            listed = ahead(self.host.live.states, planned)
            said = "" if self._below is None else self._below.bench.said_now()[0]
            found.first().show(face, around(planned, listed, by_it, waiting, self._keys(board, shown), said), lit=lit)

    def _keys(self, board: Board, timer: Timer | None) -> str:
        """``space done   esc back``: what answers, where anything is asked, and the way back."""
        view = board.of(board.urgent or "")
        words = {action.id: action.word for action in self.actions}
        answers: dict[str, str] = {}
        if timer is not None:
            answers = {"far.answer": words["far.answer"]}
        elif self._reads_first(board):
            answers = {"far.reading": words["far.reading"]}
        elif view is not None and view.wants:
            answers = self._answers(board, view)
        elif view is not None and view.mode == "up":
            answers = {"far.answer": words["far.answer"]}
        shown = {**answers, "far.leave": words["far.leave"]}
        return "   ".join(f"{self.host.key(one)} {word}" for one, word in shown.items())

    def _answers(self, board: Board, view: BakeView) -> dict[str, str]:
        """The actions that answer a dough's first prompt, each with what it says."""
        answers: dict[str, str] = {}
        if view.chill_now:
            answers["far.moved"] = "into the fridge"
        state = self.host.live.state(view.bake)
        more_s = None if state is None or view.kind != "bake" else longer_s(state, state.now_s(board.now))
        if more_s is not None:
            answers["far.longer"] = f"{length(more_s)} longer"
        return {**answers, "far.answer": _said_by(view.wants[0])}

    def _reads_first(self, board: Board) -> bool:
        """Whether what is asked first is answered by a reading, and nobody has closed its box over that."""
        view, state = board.of(board.urgent or ""), self.host.live.state(board.urgent or "")
        if view is None or state is None or not view.wants:
            return False
        first = view.wants[0]
        passed_by = self._left_unread == (view.bake, first.id) and first.kind != "check"
        return not passed_by and is_read_first(state, first, state.now_s(board.now))

    def _as_planned(self, board: Board) -> Board:
        """The board with what is to come where the plan has it."""
        below = self._below
        return board if below is None else below.bench.host.replanning.laid(board, self.host.live.states)

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
        """Answer what is asked, or end the work of hands that runs; with neither there is nothing to answer."""
        below = self._below
        timer = None if below is None else self._timer(below.bench.board)
        if below is not None and timer is not None:
            below.timers.answer(timer.id)
            return
        urgent = None if below is None else below.bench.board.of(below.bench.board.urgent or "")
        if below is None or urgent is None or not (urgent.wants or urgent.mode == "up"):
            return
        below.bench.take(urgent.bake)
        if not urgent.wants:
            below.doing.done()
        elif self._reads_first(below.bench.board):
            # Whoever has no probe at hand closes its box: the next answer is about the deed.
            self._left_unread = urgent.bake, urgent.wants[0].id
            below.readings.reading()
        elif urgent.wants[0].kind in ("due", "start"):
            below.doing.done()
        else:
            below.answers.oven()

    def action_reading(self, typed: str = "") -> None:
        """A reading of the dough that is shown, over it; ``typed``: how its number begins."""
        below = self._below
        urgent = None if below is None else below.bench.board.urgent
        if below is not None and urgent is not None:
            below.bench.take(urgent)
            below.readings.reading(typed)

    def on_key(self, event: events.Key) -> None:
        """A number is a reading here as on the bench; what means nothing here is answered."""
        if event.character is not None and event.character in "0123456789":
            event.stop()
            self.action_reading(event.character)
        elif event.is_printable and event.key not in self.active_bindings and self._below is not None:
            self._below.bench.say(f"That key is the bench's: {self.host.key('far.leave')} goes back to it.", wrong=True)
            self.moment(self._below.bench.board)

    def action_longer(self) -> None:
        """More time for the dough that is shown."""
        if self._taken() is not None and self._below is not None:
            self._below.doing.longer()

    def action_moved(self) -> None:
        """Say where the dough that is shown stands."""
        if self._taken() is not None and self._below is not None:
            self._below.late.moved()

    def action_undo(self) -> None:
        """Take back the last thing said."""
        if self._below is not None:
            self._below.doing.undo()

    def action_help(self) -> None:
        """Every key."""
        self.host.show_keys(self.PAGE)

    def _taken(self) -> str | None:
        """The dough that is shown, taken in hand; None for none."""
        urgent = None if self._below is None else self._below.bench.board.urgent
        if self._below is not None and urgent is not None:
            self._below.bench.take(urgent)
        return urgent

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
