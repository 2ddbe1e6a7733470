"""The app: one clock, one tick, the bakes, the alarms and the screens. It wires them and decides nothing."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
from collections.abc import Callable, Coroutine, Iterable, Sequence
from pathlib import Path
from typing import Any, Protocol, TypeVar, cast

from rich.text import Text
from textual.app import SystemCommand
from textual.await_complete import AwaitComplete
from textual.css.query import NoMatches
from textual.screen import Screen

from proofbell.app.actions import ACTIONS, keymap, of_screen, with_keys
from proofbell.app.ahead import AFTER_S, read_ahead
from proofbell.app.alarm import LATER_US, Bell, ring_words
from proofbell.app.bench_screen import BenchScreen
from proofbell.app.content import in_words
from proofbell.app.key_row import KeysDialog
from proofbell.app.keys_in_turn import KeysInTurn
from proofbell.app.live import Live
from proofbell.app.replanning import Replanning
from proofbell.app.sounding import Commands, bell_and_notification
from proofbell.app.themes import NAMES, OWN, own_variables, theme_name
from proofbell.bake.intents import Intent, Refused
from proofbell.bench.board import Board, Coming
from proofbell.clock import Clock, FastClock
from proofbell.formula.fault import Refusal
from proofbell.visible import visible

S = TypeVar("S", bound=Screen[Any])

SAW_EVERY_US = 60_000_000
"""How often the journal is told that the program still runs."""


class Leader(Protocol):
    """Whoever may raise the alarms: one of all open programs."""

    def take(self) -> bool:
        """Whether this program may, from now on."""
        ...


class ProofbellApp(KeysInTurn):
    """Everything on screen. ``files`` are the formulas to choose from; with ``start`` one chooses at once.

    ``real`` is the clock that alarms and answers go by, should the bench's own be faster.
    """

    CSS_PATH = "proofbell.tcss"
    TITLE = "Proofbell"
    ENABLE_COMMAND_PALETTE = True
    SUSPENDED_SCREEN_CLASS = "-below"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (80, "-normal"), (110, "-wide")]  # noqa: RUF012 - as in App
    VERTICAL_BREAKPOINTS = [(0, "-low"), (30, "-tall")]  # noqa: RUF012 - as in App

    def __init__(
        self,
        live: Live,
        *,
        files: Sequence[Path] = (),
        leader: Leader | None = None,
        real: Clock | None = None,
        start: bool = False,
        kitchen_file: Path | None = None,
    ) -> None:
        # Textual takes NO_COLOR out of the environment and settles here how colours are left out.
        self._look = theme_name(live.kitchen.theme, os.environ)
        super().__init__(ansi_color=True if os.environ.get("NO_COLOR") else None)
        self.live = live
        self.files = tuple(files)
        self.kitchen_file = kitchen_file
        self._start = start
        self.real = real or live.clock
        self.actions = ACTIONS
        self.bell_times = Bell()
        self.trouble = ""
        self.spoken_to: str | None = None
        self._leader = leader
        self._commands = Commands(live.kitchen.alarm_command)
        self._chores: asyncio.Task[None] | None = None
        self._saw_us: int | None = None
        self.bench = BenchScreen(live)
        self.replanning = Replanning(live.kitchen, self._in_screens_thread)
        self._dialogs: dict[type[Screen[Any]], Screen[Any]] = {}

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own names for colours, where a theme does not give them."""
        return own_variables()

    async def on_mount(self) -> None:
        """Look, keys, signals, the bench, the tick."""
        for theme in OWN:
            self.register_theme(theme)
        self.theme = self._look
        trouble = self._own_keys()
        self._on_signals()
        await self.push_screen(self.bench)
        self.bench.say(trouble, wrong=True)
        self.set_interval(0.2 if self.live.rehearsal else 1.0, self.tick)
        self.run_worker(self._begin(), exit_on_error=False)
        self.set_timer(AFTER_S, lambda: self.run_worker(read_ahead, thread=True, exit_on_error=False))

    def on_unmount(self) -> None:
        """No planner goes on behind a closed screen."""
        self.replanning.close()

    def _own_keys(self) -> str:
        changed = dict(self.live.kitchen.keys)
        try:
            self.actions = with_keys(changed)
        except Refusal as refusal:
            return f"{refusal.message} {refusal.remedy} The usual keys hold."
        self.set_keymap(keymap(changed))
        return ""

    def _on_signals(self) -> None:
        """A closed window or a shutdown must not leave the terminal raw; what was said is on the disk already."""
        loop = asyncio.get_running_loop()
        for name in ("SIGTERM", "SIGHUP"):
            if hasattr(signal, name):
                with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                    loop.add_signal_handler(getattr(signal, name), self.exit, 0)

    async def _begin(self) -> None:
        """Take up what was live; with nothing on, ask for a formula."""
        try:
            await self.live.take_up()
        except Refusal as refusal:
            self.trouble = in_words(refusal)
        for fault in self.live.keeper.unread.values():
            self.trouble = f"{in_words(fault)} The other bakes go on."
            break
        self.trouble = self.trouble or getattr(self.live.keeper, "warning", "")
        self.tick()
        if self._start or not self.live.states:
            await self.bench.action_start()

    # -- the tick ------------------------------------------------------------------------------------------------

    def tick(self) -> None:
        """Look at everything at one instant: show it, ring, and see to the journal."""
        if not self.screen_stack:
            return  # The program closes.
        board, real_us = self.live.board(), self.real.stamp().boot_us
        leads = self._leader is None or self._leader.take()
        sounding = self.bell_times.due(board.rings, real_us)
        if sounding and leads:
            self._sound(sounding, board)
        self.bench.tell_moved(self.replanning.look(self.live.states, board, real_us), real_us)
        self.bench.moment(board, lit=bool(sounding))
        top = self.screen
        if top is not self.bench and hasattr(top, "moment"):
            # A screen that is being laid out or taken down has nothing to show it in yet, or any more.
            with contextlib.suppress(NoMatches):
                top.moment(board, lit=bool(sounding))
        if self._chores is None or self._chores.done():
            self._chores = asyncio.get_running_loop().create_task(self._look_round(real_us))

    def _in_screens_thread(self, job: Callable[[], None]) -> None:
        """Hand something over from another thread; at the end of the program it is dropped."""
        loop = self._loop
        if loop is not None:
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(job)

    def _fatal_error(self) -> None:
        """A fault of the program's own ends it, as in every Textual app; say what matters, in place of a trace."""
        if os.environ.get("PROOFBELL_TRACE") or self.is_headless:
            super()._fatal_error()
            return
        words = (
            "Proofbell met a fault of its own and had to stop: "
            f"{visible(f'{type(self._exception).__name__}: {self._exception}')}.\n"
            "Everything that was said is in the journal. Start it again: the bakes go on where they are.\n"
            "With PROOFBELL_TRACE=1 set it shows the whole trace, for those who mend it."
        )
        self._exit_renderables.append(Text(words))
        self._close_messages_no_wait()

    def _sound(self, rings: Sequence[Coming], board: Board) -> None:
        bell_and_notification(self, "Proofbell: " + ring_words(rings[0], board.now.wall_us))
        for ring in rings:
            failed = self._commands.run(ring.letter, ring_words(ring, board.now.wall_us))
            if failed:
                self.bench.say(failed, wrong=True)

    async def _look_round(self, real_us: int) -> None:
        """What another program has added; and each minute, that this one runs."""
        try:
            await self.live.look_again()
            if self._saw_us is None or real_us - self._saw_us >= SAW_EVERY_US:
                self._saw_us = real_us
                await self.live.keeper.saw(self.live.clock.stamp())
        except Refusal as refusal:
            self.trouble = in_words(refusal)

    # -- saying something ----------------------------------------------------------------------------------------

    async def say(self, bake: str, intent: Intent) -> Refused | None:
        """Say something to a bake. A refusal is returned; what cannot be stored is shown and changes nothing."""
        try:
            refused = await self.live.say(bake, intent)
        except Refusal as refusal:
            self.trouble = f"Not saved: {in_words(refusal)}"
            self.tick()
            return Refused(f"Not saved: {refusal.message}.", refusal.remedy)
        self.trouble = ""
        if refused is None:
            self.spoken_to = bake
        self.tick()
        return refused

    def in_background(self, work: Coroutine[Any, Any, None]) -> None:
        """Do something that waits for the disk; keys go on working meanwhile."""
        self.run_worker(work, exit_on_error=True)

    # -- screens -------------------------------------------------------------------------------------------------

    def pop_screen(self) -> AwaitComplete:
        """Back by one screen; the bench is never left this way, however often a key bounces."""
        return AwaitComplete() if self.screen is self.bench else super().pop_screen()

    def show_keys(self, screen: str) -> None:
        """Every key of a screen."""
        dialog = self.dialog(KeysDialog)
        if self.screen is not dialog:
            dialog.show(of_screen(screen, self.actions))
            self.push_screen(dialog)

    def dialog(self, kind: type[S]) -> S:
        """The one instance of a dialog: a new one each time would leave its caches behind."""
        found = self._dialogs.get(kind)
        if found is None:
            found = self._dialogs[kind] = kind()
            self.install_screen(found, kind.__name__)
        return cast("S", found)

    def is_open(self, kind: type[Screen[Any]]) -> bool:
        """Whether that dialog is on the screen already; the one instance is never opened twice."""
        return self._dialogs.get(kind) in self.screen_stack

    def put_off(self, ring: Coming) -> None:
        """Somebody said "later": keep still for a while."""
        self.bell_times.put_off(ring, self.real.stamp().boot_us + LATER_US)

    def hold(self, *, on: bool) -> None:
        """In a rehearsal the clock waits while a question is on the screen; a real one never does."""
        if isinstance(self.live.clock, FastClock):
            self.live.clock.hold(on=on)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The command palette: what the screen's keys do, and the looks."""
        name = getattr(screen, "PAGE", "")
        for action in of_screen(name, self.actions):
            if run := getattr(screen, f"action_{action.method}", None):
                yield SystemCommand(action.word.capitalize(), action.help, run)
        for look in NAMES:
            yield SystemCommand(f"Theme: {look}", "Change the colours.", self._changer(look))

    def _changer(self, name: str) -> Callable[[], None]:
        def change() -> None:
            self.theme = name

        return change
