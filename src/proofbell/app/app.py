"""The app: one clock, one tick, the bakes, the alarms and the screens. It wires them and decides nothing."""

from __future__ import annotations

import asyncio
import contextlib
import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from textual.screen import Screen
from textual.timer import Timer

from proofbell.app.alarms.alarm import due_in_s, title_words
from proofbell.app.alarms.alarm_command import Commands
from proofbell.app.alarms.sounding import Sounding
from proofbell.app.alarms.who_rings import Leader
from proofbell.app.bench.bench_screen import BenchScreen
from proofbell.app.hosting import Hosting
from proofbell.app.planning.replanning import Replanning
from proofbell.app.preload import AFTER_S, read_ahead
from proofbell.app.session.live import Live
from proofbell.app.session.trouble_watch import watch, watch_nights
from proofbell.app.session.troubles import FAULT
from proofbell.app.terminal.bell import TerminalBell
from proofbell.app.terminal.ended_in_words import EndedInWords
from proofbell.app.terminal.fault_file import FaultFile, fault_of
from proofbell.app.terminal.job_control import JobControl
from proofbell.app.terminal.textual_private import send_only_what_changed
from proofbell.app.upkeep import Upkeep
from proofbell.app.widgets.host import Tick
from proofbell.app.widgets.themes import ANSI, OWN, theme_name
from proofbell.bench.board import Board
from proofbell.clock import Clock
from proofbell.kitchen.model import Kitchen

SOON_S = 0.5
"""So long the first picture waits for the journal, to have the doughs; after it the bench says that it reads."""

AGAIN_S = 1.0
"""A journal that could not be read is asked again after so long."""

JUST_AFTER_S = 0.002
"""A look as something comes due is so much after it: a timer may be early."""

send_only_what_changed()


class ProofbellApp(Hosting, JobControl):
    """Everything on screen. ``files`` are the formulas to choose from; with ``start`` one chooses at once.

    With ``recipe`` one begins where a formula is made of a recipe. ``first_start``: the kitchen is asked about first,
    unless a dough is on.

    ``real`` is the clock that alarms and answers go by, should the bench's own be faster. ``fault_file`` is where
    faults of the program's own are written down. ``loud``: such a fault ends the app, for tests.
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
        first_start: bool = False,
        recipe: bool = False,
        kitchen_file: Path | None = None,
        fault_file: Path | None = None,
        journal: Path | None = None,
        loud: bool | None = None,
    ) -> None:
        # Textual takes NO_COLOR out of the environment and settles here how colours are left out.
        self._environment = dict(os.environ)
        colour = True if os.environ.get("NO_COLOR") else None
        super().__init__(live, real=real, files=files, kitchen_file=kitchen_file, journal=journal, ansi_color=colour)
        self._start, self._recipe, self._first_start = start or recipe, recipe, first_start
        self.loud = bool(os.environ.get("PROOFBELL_TRACE")) if loud is None else loud
        self.fault_file = FaultFile(fault_file)
        self._leader = leader
        self.terminal_bell = TerminalBell(self, lambda: live.kitchen.bell, self._environment)
        self.sounding = Sounding(lambda: live.kitchen, self.terminal_bell, leader, self.real, self.troubles)
        self._between: Timer | None = None
        self.replanning = Replanning(lambda: live.kitchen, self._in_screens_thread)
        live.kitchen_owner.on_change(self._kitchen_changed)
        with self.step("themes"):
            self._first_theme()
        self.bench = BenchScreen(self)
        self.upkeep = Upkeep(
            live, self.journal, self.formulas, self.troubles, kitchen_file, inform=self.bench.inform, saved=self.tick
        )

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own names for colours, where a theme does not give them."""
        return dict(ANSI)

    async def on_mount(self) -> None:
        """Keys, signals, bench and tick, each as a step of its own: one that fails loses no other."""
        self.watch_loop()
        with self.step("keys"):
            self.own_keys()
        with self.step("signals"):
            self._on_signals()
        taken_up = asyncio.create_task(self._taken_up())
        read_in = asyncio.create_task(self.live.read_in.wait())
        await asyncio.wait({taken_up, read_in}, timeout=SOON_S, return_when=asyncio.FIRST_COMPLETED)
        read_in.cancel()
        await self.push_screen(self.bench)
        self.set_interval(0.2 if self.live.rehearsal else 1.0, self.tick)
        self.run_worker(self._begin(taken_up), exit_on_error=True)
        self.set_timer(AFTER_S, lambda: self.run_worker(read_ahead, thread=True, exit_on_error=True))

    @property
    def ground(self) -> Screen[Any]:
        return self.bench

    def met(self, error: BaseException, page: str) -> None:
        """A fault of the program's own: it stands on the screen until it was read, and in the fault file."""
        fault = fault_of(error, page)
        key = f"fault:{fault.kind}:{fault.place}"
        if self.troubles.has(key):
            return
        written = self.fault_file.write(fault, self.real.stamp())
        where = f" Details are in {self.fault_file.path}: please send us that file." if written else ""
        self.troubles.tell(
            key,
            FAULT,
            f"An internal error on the page {fault.page} ({fault.kind}, {fault.place})",
            f"Your doughs keep running; leave the page and open it again.{where}",
            until_seen=True,
        )

    def on_unmount(self) -> None:
        """No planner goes on behind a closed screen."""
        self.replanning.close()
        self.sounding.commands.close()

    def _kitchen_changed(self, before: Kitchen, now: Kitchen) -> None:
        """Apply theme and keys again: they are handed on, not asked for. A theme picked for this run stays."""
        if now.theme != before.theme:
            self._own_theme()
        if now.keys != before.keys:
            self.own_keys()
        if now.oven != before.oven:
            self.in_background(self._tell_oven())
        self.tick()

    async def _tell_oven(self) -> None:
        """Live bakes tell their heats for an oven that is another now; said on the bench."""
        letters = await self.live.tell_oven()
        if letters:
            self.bench.say(f"The oven has changed: heats of {', '.join(letters)} are shown for it from now on.")
        self.tick()

    def _first_theme(self) -> None:
        """Colours are there before the styles are read: set later, all styles would be read again."""
        for theme in OWN:
            self.register_theme(theme)
        self.set_reactive(ProofbellApp.theme, theme_name(self.live.kitchen.theme, self._environment))
        self.stylesheet.set_variables(self.get_css_variables())

    def _own_theme(self) -> None:
        self.theme = theme_name(self.live.kitchen.theme, self._environment)

    def _on_signals(self) -> None:
        """Put aside, the program leaves the alarms to another window; back again, it shows and rings what is due."""
        if self._leader is not None:
            let_go = self._leader.let_go
            self.app_suspend_signal.subscribe(self, lambda _: let_go(), immediate=True)
        self.app_resume_signal.subscribe(self, lambda _: self._back())

    def _back(self) -> None:
        self.terminal_bell.forget_title()
        self.tick()

    async def _look_at_bell(self) -> None:
        await self.sounding.look_ahead()
        self.tick()

    def as_planned(self, board: Board) -> Board:
        return self.replanning.laid(board, self.live.states)

    def try_bell(self) -> str:
        return self.sounding.try_it()

    @property
    def commands(self) -> Commands:
        """The alarm's commands that run."""
        return self.sounding.commands

    async def _begin(self, taken_up: asyncio.Task[bool]) -> None:
        """Take up what was live, however long that takes; with nothing on, ask for a formula."""
        while not await taken_up:
            await asyncio.sleep(AGAIN_S)
            taken_up = asyncio.create_task(self._taken_up())
        await self.journal.look_for_what_was_left()
        self.tick()
        self.in_background(self._look_at_bell())
        self.in_background(self._look_through())
        nothing_on = not (self.live.states or self.live.unread)
        if nothing_on and self._first_start and self.kitchen_file is not None:
            await self.push_screen(self.pages.first_start(self.live, self.kitchen_file), self._first_answered)
        elif self._start or nothing_on:
            await self._choose()

    async def _first_answered(self, wrong: str | None) -> None:
        """The kitchen is known; then a formula is chosen, as ever."""
        if wrong:
            self.bench.say(wrong, wrong=True)
        await self._choose()

    async def _choose(self) -> None:
        await self.bench.action_start()
        if self._recipe:
            await self.screen.run_action("new")

    async def _look_through(self) -> None:
        if await self.journal.look_through():
            self.tick()

    async def _taken_up(self) -> bool:
        """Try to take up what was live; False: not yet."""
        try:
            taken_up = await self.journal.take_up()
        except Exception as error:
            if self.loud:
                raise
            self.live.phase = "unreadable"
            self.met(error, "journal")
            return False
        if not taken_up:
            self.tick()
        return taken_up

    # -- the tick ------------------------------------------------------------------------------------------------

    def tick(self) -> None:
        """Look at everything at one instant: show it, ring, and see to the journal.

        Each part is done whatever becomes of the others: a page that cannot be drawn silences no alarm.
        """
        if not self.screen_stack:
            return  # The program closes.
        real_us = self.real.stamp().boot_us
        with self.step("bench"):
            board = self.live.board()
            with self.step("alarm"):
                self.sounding.look(board)
            with self.step("title"):
                # As the list has it; what rings does so by the bench.
                self.terminal_bell.title(title_words(self.as_planned(board)))
            with self.step("due between ticks"):
                left_s = due_in_s(board)
                if left_s is not None and not self.live.rehearsal:
                    self.look_in(left_s + JUST_AFTER_S)
            with self.step("who rings"):
                news = self.sounding.look_at_leader(board.now, heard=self.bench.is_heard)
                if news:
                    self.bench.inform(news)
            with self.step("plan"):
                self.bench.tell_moved(self.replanning.look(self.live.states, board, real_us), real_us)
            with self.step("troubles"):
                watch(self.troubles, self.live)
                watch_nights(self.troubles, self.live.kitchen, board)
            with self.step("bench"):
                self.bench.make_whole()
                self.bench.moment(board, lit=self.sounding.lit)
            with self.step("page"):
                if self.screen is not self.bench:
                    told = Tick(board, self.live.states, self.troubles.all, lit=self.sounding.lit)
                    self.screen.post_message(told)
        self.upkeep.begin(real_us)

    def look_in(self, seconds: float) -> None:
        """Look once more after so long, between two ticks."""
        if self._between is not None:
            self._between.stop()
        self._between = self.set_timer(seconds, self.tick)

    def _in_screens_thread(self, job: Callable[[], None]) -> None:
        """Hand something over from another thread; at the end of the program it is dropped."""
        if self.loop is not None:
            with contextlib.suppress(RuntimeError):
                self.loop.call_soon_threadsafe(job)

    def ended_by(self, error: Exception) -> Exception:
        """Nothing could be put on the screen at all: say what matters, in place of a trace."""
        return error if self.loud or self.is_headless else EndedInWords(error)

    def aside(self) -> contextlib.AbstractContextManager[None]:
        return JobControl.aside(self)

    # -- what the bench asks for ---------------------------------------------------------------------------------

    async def action_quit(self) -> None:
        """Leave, from any page; what only memory holds is asked about first."""
        self.bench.action_leave()

    def leave(self, status: int) -> None:
        self.exit(status)

    def quiet(self) -> None:
        self.bench.action_quiet()
