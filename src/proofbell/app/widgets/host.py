"""What a screen may ask of the app that it is on, and the base of the screens of ours."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Coroutine, Mapping, Sequence
from contextlib import AbstractContextManager
from functools import partial
from pathlib import Path
from typing import Any, ClassVar, Protocol, TypeVar

from textual import getters
from textual.app import App
from textual.await_complete import AwaitComplete
from textual.binding import Binding
from textual.css.query import NoMatches
from textual.message import Message
from textual.screen import ModalScreen, Screen
from textual.widget import Widget

from proofbell.app.session.choice import Take, Written
from proofbell.app.session.formulas.watch import FormulaWatch
from proofbell.app.session.live import Live
from proofbell.app.session.troubles import Trouble
from proofbell.app.widgets.actions import Action, bindings, of_screen
from proofbell.app.widgets.doubt_line import DoubtLine
from proofbell.app.widgets.notice_line import AlarmLine
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import BakeState, Reading
from proofbell.bench.board import Board, Coming
from proofbell.clock import Clock
from proofbell.formula.model import Formula

Result = TypeVar("Result")
S = TypeVar("S", bound=Screen[Any])

Shown = Screen[str | None]
"""A page over the bench; it may be dismissed with a bake to take in hand."""

WAITS_S = 0.1
"""How often a page that is to leave looks whether it may."""

DEAF_US = 1_000_000
"""So long a dialog that opened by itself takes no key: what was just pressed was meant for the screen below. Common
practice, no source."""

TROUBLE_KEY = Binding("exclamation_mark", "trouble", "what is wrong", id="bench.trouble", show=False)
"""For whatever lies over the bench. Named as on the bench: the kitchen file moves both."""


class Pages(Protocol):
    """The pages that a wing opens of another one; each is imported when it is first wanted."""

    def start(self, live: Live, files: Sequence[Path], *, first: bool = False, take: Take | None = None) -> Shown:
        """Choose a formula and its size."""
        ...

    def recipe(self, live: Live, folder: Path, keep: Path | None, written: Written) -> Shown:
        """Make a formula of a recipe, in that folder; ``keep`` holds what was typed until then."""
        ...

    def plan(self, live: Live) -> Shown:
        """Plan several doughs."""
        ...

    def journal(self, live: Live) -> Shown:
        """Every bake ever made."""
        ...

    def kitchen(self, live: Live, path: Path) -> Shown:
        """Open the kitchen page."""
        ...

    def first_start(self, live: Live, path: Path) -> Shown:
        """Ask about a new kitchen."""
        ...

    def learned(self, live: Live) -> Shown:
        """What past bakes say about this kitchen."""
        ...

    def weigh_out(self, live: Live, bake: str) -> Shown:
        """What to weigh for a bake."""
        ...

    def size(self, live: Live, bake: str) -> Shown:
        """Another size for a bake; dismissed with what to say of it."""

    def edit(self, live: Live, path: Path | None, formula: Formula | None, *, in_editor: bool) -> Shown:
        """Edit a formula's file; dismissed with its path when the file has changed."""
        ...

    def why(self, live: Live, bake: str) -> Shown:
        """The working of the time that runs."""
        ...

    def log(self, live: Live, bake: str) -> Shown:
        """The log of a bake on the bench."""
        ...


class Host(Protocol):
    """The app as its screens see it."""

    @property
    def live(self) -> Live:
        """The bakes that are on."""
        ...

    @property
    def real(self) -> Clock:
        """The clock that alarms and answers go by."""
        ...

    @property
    def actions(self) -> Sequence[Action]:
        """Every action with the keys that hold in this kitchen."""
        ...

    @property
    def files(self) -> Sequence[Path]:
        """The formulas to choose from."""
        ...

    @property
    def kitchen_file(self) -> Path | None:
        """The file with the facts of this kitchen; None where it is to be left alone."""
        ...

    @property
    def recipe_file(self) -> Path | None:
        """Where a typed recipe is kept until it is a formula; None where nothing is kept."""
        ...

    @property
    def formulas(self) -> FormulaWatch:
        """Which file a formula came from, and whether it has changed since."""
        ...

    @property
    def pages(self) -> Pages:
        """Opens the pages; each is imported when it is first wanted."""
        ...

    def key(self, action: str) -> str:
        """The key of an action, as it stands on the key row."""
        ...

    def go(self, page: Screen[Result], then: Callable[[Result | None], None] | None = None) -> Awaitable[None]:
        """Put a page on top; ``then`` is called with what it was dismissed with."""
        ...

    def dialog(self, kind: type[S]) -> S:
        """The one instance of a dialog."""
        ...

    def is_open(self, kind: type[Screen[Any]]) -> bool:
        """Whether it is open: the one instance is never opened twice."""
        ...

    def read(
        self,
        bake: str,
        then: Callable[[str | None], None],
        *,
        ring: Coming | None = None,
        corrects: Reading | None = None,
        by_itself_us: int | None = None,
        typed: str = "",
    ) -> None:
        """Take a reading of a bake, for the check that rings, or in place of another one.

        ``by_itself_us`` (the real clock): nobody asked for it. ``typed``: the number begins so.
        """
        ...

    async def say(self, bake: str, intent: Intent) -> Refused | None:
        """Say something to a bake; why not, or None."""
        ...

    def in_background(self, work: Coroutine[Any, Any, None]) -> None:
        """Do something that waits for the disk; keys go on working meanwhile."""
        ...

    def hold(self, *, on: bool) -> None:
        """In a rehearsal the clock waits while a question is on the screen."""
        ...

    def aside(self) -> AbstractContextManager[None]:
        """Leave the terminal to another program for a while."""
        ...

    def quiet(self) -> None:
        """Silence what rings first."""
        ...

    def as_planned(self, board: Board) -> Board:
        """A moment of the bench with what is to come where the plan has it."""
        ...

    def try_bell(self) -> str:
        """Ring once to hear it; in words, which ways there are."""
        ...

    def show_keys(self, page: str) -> None:
        """Every key of a page."""
        ...

    def show_troubles(self) -> None:
        """Show what is wrong at present."""
        ...


class HostApp(App[int]):
    """An app that has a host for its screens."""

    @property
    def host(self) -> Host:
        """What its screens may ask of it."""
        raise NotImplementedError


class Tick(Message, bubble=False):
    """Another moment, told to the screen on top. ``lit``: the flash is on."""

    def __init__(self, board: Board, states: Sequence[BakeState], troubles: Sequence[Trouble], *, lit: bool) -> None:
        super().__init__()
        self.board, self.states, self.troubles, self.lit = board, states, troubles, lit


class HostedScreen(Screen[Result]):
    """A screen of ours. ``PAGE`` is its name in the registry of actions, which gives it its keys."""

    app = getters.app(HostApp)

    PAGE: ClassVar[str] = ""

    row_keys: Sequence[str] = ()
    """The actions on its key row, by their ids; none: those of the registry."""
    row_words: Mapping[str, str] = {}
    """Words on its key row in place of the registry's, by the action's id."""

    def __init_subclass__(cls, **options: bool) -> None:
        if page := cls.__dict__.get("PAGE"):
            cls.BINDINGS = [*bindings(page), *cls.__dict__.get("BINDINGS", ())]
        super().__init_subclass__(**options)

    def __init__(self, name: str | None = None, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002 - as in every screen
        super().__init__(name or self.PAGE or None, id, classes)

    @property
    def host(self) -> Host:
        """The app, as far as a screen sees it."""
        return self.app.host

    @property
    def actions(self) -> tuple[Action, ...]:
        """What can be done here, with the keys that hold in this kitchen."""
        return of_screen(self.PAGE, self.host.actions)

    def on_tick(self, tick: Tick) -> None:
        """Show another moment. A screen that is being laid out or taken down has nothing to show it in."""
        for troubled in self.query(TroubleLine):
            troubled.show(tick.troubles, self.host.key("bench.trouble"))
        for doubted in self.query(DoubtLine):
            doubted.tell(tick.states, tick.board.now, self.host.key("bench.time"))
        try:
            self.moment(tick.board, lit=tick.lit)
        except NoMatches:
            return

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """Called at each tick: draw again what depends on the time."""

    def action_trouble(self) -> None:
        self.host.show_troubles()

    def set_focus(
        self,
        widget: Widget | None,
        scroll_visible: bool = True,  # noqa: FBT001, FBT002 - as Textual's
        from_app_focus: bool = False,  # noqa: FBT001, FBT002
    ) -> None:
        """As Textual does, but never to what is on no page: there every key would be lost, the way back too."""
        there = widget if widget is None or widget.is_attached else None
        super().set_focus(there, scroll_visible, from_app_focus)

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Leave; while something stands over the page, once that is gone. Textual would take away what stands there."""
        if self.app.screen is self:
            return super().dismiss(result)
        if self in self.app.screen_stack:
            self.set_timer(WAITS_S, partial(self.dismiss, result))
        return AwaitComplete()


class HostedModal(ModalScreen[Result], HostedScreen[Result]):
    """A dialog of ours over whatever is below. What rings stands below it, whatever line of the page it lies over."""

    def on_mount(self) -> None:
        self.mount(AlarmLine())

    def on_screen_resume(self) -> None:
        self._show_alarms(self.host.live.board(), lit=False)

    def on_tick(self, tick: Tick) -> None:
        self._show_alarms(tick.board, lit=tick.lit)

    def _show_alarms(self, board: Board, *, lit: bool) -> None:
        for line in self.query(AlarmLine):
            line.show(self.beside(board.rings), board.now.wall_us, lit=lit)

    def beside(self, rings: Sequence[Coming]) -> Sequence[Coming]:
        """Those of what rings that the dialog does not itself ask about."""
        return rings
