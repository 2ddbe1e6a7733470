"""The app: one clock, one tick, the bakes, the alarms and the screens. It wires them and decides nothing."""

from __future__ import annotations

import asyncio
import contextlib
import os
from collections.abc import Callable, Coroutine, Iterable, Sequence
from pathlib import Path
from typing import Any, Protocol, TypeVar, cast

from rich.text import Text
from textual import events
from textual.app import SystemCommand
from textual.await_complete import AwaitComplete
from textual.command import CommandPalette
from textual.css.query import NoMatches
from textual.screen import Screen

from proofbell import places
from proofbell.app.bench.bench_screen import BenchScreen
from proofbell.app.bench.doubtful_time import DoubtLine, tell_of_doubt
from proofbell.app.preload import AFTER_S, read_ahead
from proofbell.app.session.alarm import LATER_US, Bell, ring_words
from proofbell.app.session.last_words import left_behind
from proofbell.app.session.live import Live
from proofbell.app.session.replanning import Replanning
from proofbell.app.session.sounding import Commands, bell_and_notification
from proofbell.app.session.trouble_watch import DAMAGED_REMEDY, watch
from proofbell.app.session.troubles import ABOUT, ALARM, FAULT, JOURNAL, Troubles
from proofbell.app.session.who_rings import who_rings
from proofbell.app.terminal.boundary import Boundary
from proofbell.app.terminal.fault_file import FaultFile, fault_of
from proofbell.app.terminal.job_control import JobControl
from proofbell.app.widgets.actions import ACTIONS, key_name, keymap, of_screen, with_keys
from proofbell.app.widgets.content import in_words
from proofbell.app.widgets.key_row import KeyRow, KeysDialog
from proofbell.app.widgets.themes import NAMES, OWN, own_variables, theme_name
from proofbell.app.widgets.trouble_dialog import TroubleDialog
from proofbell.app.widgets.trouble_line import TroubleLine
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bench.board import Board, Coming
from proofbell.clock import Clock, FastClock
from proofbell.formula.fault import Refusal
from proofbell.journal.files.lock import Holder
from proofbell.kitchen.model import Kitchen
from proofbell.visible import visible

S = TypeVar("S", bound=Screen[Any])

SAW_EVERY_US = 60_000_000
"""How often the journal is told that the program still runs."""

AGAIN_S = 1.0
"""A journal that could not be read is asked again after so long."""


class Leader(Protocol):
    """Whoever may raise the alarms: one of all open programs."""

    def take(self) -> bool:
        """Whether this program may, from now on."""
        ...

    def let_go(self) -> None:
        """Leave it to another, until asked again."""
        ...

    def holder(self) -> Holder | None:
        """Who else may, if anybody."""
        ...


class ProofbellApp(JobControl, Boundary):
    """Everything on screen. ``files`` are the formulas to choose from; with ``start`` one chooses at once.

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
        kitchen_file: Path | None = None,
        fault_file: Path | None = None,
        journal: Path | None = None,
        loud: bool | None = None,
    ) -> None:
        # Textual takes NO_COLOR out of the environment and settles here how colours are left out.
        self._environment = dict(os.environ)
        super().__init__(ansi_color=True if os.environ.get("NO_COLOR") else None)
        self.live = live
        self.files = tuple(files)
        self.kitchen_file = kitchen_file
        self._start = start
        self.real = real or live.clock
        self.actions = ACTIONS
        self.bell_times = Bell()
        self.troubles = Troubles()
        self.loud = bool(os.environ.get("PROOFBELL_TRACE")) if loud is None else loud
        self.fault_file = FaultFile(fault_file)
        self._journal = journal
        self.broken = set()
        self.who_rings = ""
        self.spoken_to: str | None = None
        self._leader = leader
        self.commands = Commands(lambda: live.kitchen.alarm_command)
        self._chores: asyncio.Task[None] | None = None
        self._saw_us: int | None = None
        self.bench = BenchScreen(live)
        self.replanning = Replanning(lambda: live.kitchen, self._in_screens_thread)
        live.kitchen_owner.on_change(self._kitchen_changed)
        self._dialogs: dict[type[Screen[Any]], Screen[Any]] = {}

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own names for colours, where a theme does not give them."""
        return own_variables()

    async def on_mount(self) -> None:
        """Look, keys, signals, the bench, the tick: each for itself, so that none is missing for another's fault."""
        self.watch_loop()
        with self.step("themes"):
            for theme in OWN:
                self.register_theme(theme)
            self._own_theme()
        with self.step("keys"):
            self._own_keys()
        with self.step("signals"):
            self._on_signals()
        await self.push_screen(self.bench)
        self.set_interval(0.2 if self.live.rehearsal else 1.0, self.tick)
        self.run_worker(self._begin(), exit_on_error=True)
        self.set_timer(AFTER_S, lambda: self.run_worker(read_ahead, thread=True, exit_on_error=True))

    @property
    def ground(self) -> Screen[Any]:
        """The bench."""
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
        self.commands.close()

    def _kitchen_changed(self, before: Kitchen, now: Kitchen) -> None:
        """What asks for no fact when it needs it is set anew; a look that was chosen for this session stays."""
        if now.theme != before.theme:
            self._own_theme()
        if now.keys != before.keys:
            self._own_keys()
        self.tick()

    def _own_theme(self) -> None:
        self.theme = theme_name(self.live.kitchen.theme, self._environment)

    def _own_keys(self) -> None:
        changed = dict(self.live.kitchen.keys)
        try:
            self.actions = with_keys(changed)
        except Refusal as refusal:
            self.actions, changed = ACTIONS, {}
            self.troubles.tell("keys", ABOUT, f"{in_words(refusal)} The usual keys hold", until_seen=True)
        else:
            self.troubles.over("keys")
        self.set_keymap(keymap(changed))
        for screen in self.screen_stack:
            for row in screen.query(KeyRow):
                row.draw()

    def _on_signals(self) -> None:
        """Put aside, the program leaves the alarms to another window; back again, it shows and rings what is due."""
        if self._leader is not None:
            let_go = self._leader.let_go
            self.app_suspend_signal.subscribe(self, lambda _: let_go(), immediate=True)
        self.app_resume_signal.subscribe(self, lambda _: self.tick())

    async def _begin(self) -> None:
        """Take up what was live, however long that takes; with nothing on, ask for a formula."""
        while not await self._taken_up():
            await asyncio.sleep(AGAIN_S)
        for path in () if self._journal is None else left_behind(self._journal):
            if await self.live.keeper.holds(path):
                continue
            self.troubles.tell(
                f"left {path}",
                ABOUT,
                f"What could not be saved when Proofbell last closed is in {path}",
                f"Quit and run: proofbell journal restore {path}",
                until_seen=True,
            )
        self.tick()
        self.in_background(self._look_through())
        if self._start or not (self.live.states or self.live.keeper.unread):
            await self.bench.action_start()

    async def _look_through(self) -> None:
        """An index or a page that is damaged may show in nothing else until it is too late for a backup."""
        if await self.live.keeper.is_damaged():
            self.troubles.tell(
                "damaged", JOURNAL, "The journal file is damaged; your doughs keep running", DAMAGED_REMEDY
            )
            self.tick()

    async def _taken_up(self) -> bool:
        """Try to take up what was live; False: not yet."""
        try:
            await self.live.take_up()
        except Refusal as refusal:
            self.troubles.tell("journal", JOURNAL, refusal.message, refusal.remedy)
            self.tick()
            return False
        except Exception as error:
            if self.loud:
                raise
            self.live.phase = "unreadable"
            self.met(error, "journal")
            return False
        self.troubles.over("journal")
        return True

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
            sounding: tuple[Coming, ...] = ()
            leads = True
            with self.step("alarm"):
                leads = self._leader is None or self._leader.take()
                sounding = self.bell_times.due(board.rings, real_us)
                if sounding and leads:
                    self._sound(sounding, board, real_us)
                self._tell_of_command(self.commands.reap(real_us))
            with self.step("who rings"):
                self._tell_who_rings(board.now, leads=leads)
            with self.step("plan"):
                self.bench.tell_moved(self.replanning.look(self.live.states, board, real_us), real_us)
            with self.step("troubles"):
                watch(self.troubles, self.live)
            with self.step("bench"):
                self.bench.make_whole()
                self.bench.moment(board, lit=bool(sounding))
            with self.step("page"):
                self._show_moment(board, lit=bool(sounding))
        if self._chores is None or self._chores.done():
            self._chores = asyncio.get_running_loop().create_task(self._look_round(real_us))

    def _show_moment(self, board: Board, *, lit: bool) -> None:
        top = self.screen
        for line in top.query(TroubleLine):
            line.show(self.troubles.all, self.trouble_key)
        if top is not self.bench:
            for told in top.query(DoubtLine):
                tell_of_doubt(told, self.live.states, board.now)
        if top is not self.bench and hasattr(top, "moment"):
            # A screen that is being laid out or taken down has nothing to show it in yet, or any more.
            with contextlib.suppress(NoMatches):
                top.moment(board, lit=lit)

    @property
    def trouble_key(self) -> str:
        """The key under which all troubles stand."""
        return key_name(next(action for action in self.actions if action.id == "bench.trouble").keys[0])

    def show_troubles(self) -> None:
        """All that stands wrong, whole; what was only to be read goes when it is closed."""
        dialog = self.dialog(TroubleDialog)
        if self.screen is dialog:
            return
        folder = places.home_folder() or Path.cwd()
        name = f"proofbell-{self.live.clock.stamp().wall_us // 1_000_000}.sqlite"
        dialog.show(self.troubles.all, self.live.write_known if self.live.unsaved else None, str(folder / name))
        self.push_screen(dialog, lambda _: self.troubles.seen())

    def _in_screens_thread(self, job: Callable[[], None]) -> None:
        """Hand something over from another thread; at the end of the program it is dropped."""
        loop = self._loop
        if loop is not None:
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(job)

    def _fatal_error(self) -> None:
        """Nothing could be put on the screen at all: say what matters, in place of a trace."""
        if self.loud or self.is_headless:
            super()._fatal_error()
            return
        words = (
            "Proofbell hit an internal error before it could show anything: "
            f"{visible(f'{type(self._exception).__name__}: {self._exception}')}.\n"
            "Everything you entered is in the journal. Start it again: the bakes carry on where they are.\n"
            "With PROOFBELL_TRACE=1 set it shows the whole trace, for developers."
        )
        self._exit_renderables.append(Text(words))
        self._close_messages_no_wait()

    def _tell_who_rings(self, now: Stamp, *, leads: bool) -> None:
        """Say it when it changes."""
        words = "" if self._leader is None else who_rings(self._leader.holder(), now, leads=leads)
        if words != self.who_rings:
            self.who_rings = words
            self.bench.say(words or "This window rings now.")

    def _sound(self, rings: Sequence[Coming], board: Board, real_us: int) -> None:
        bell_and_notification(self, "Proofbell: " + ring_words(rings[0], board.now.wall_us))
        for ring in rings:
            self._tell_of_command(self.commands.run(ring.letter, ring_words(ring, board.now.wall_us), real_us))

    def _tell_of_command(self, failed: str) -> None:
        if failed:
            self.troubles.tell("alarm command", ALARM, failed, until_seen=True)

    async def _look_round(self, real_us: int) -> None:
        """What another program has added; and each minute, that this one runs."""
        if self.live.phase != "ready":
            return
        unsaved = bool(self.live.unsaved)
        try:
            await self.live.look_again()
            if self._saw_us is None or real_us - self._saw_us >= SAW_EVERY_US:
                self._saw_us = real_us
                await self.live.keeper.saw(self.live.clock.stamp())
        except Refusal as refusal:
            self.troubles.tell("journal", JOURNAL, refusal.message, refusal.remedy)
        else:
            self.troubles.over("journal")
        if unsaved and not self.live.unsaved:
            self.tick()

    async def looked_round(self) -> None:
        """Wait until the look that the last tick began is over."""
        if self._chores is not None:
            await self._chores

    # -- saying something ----------------------------------------------------------------------------------------

    async def say(self, bake: str, intent: Intent) -> Refused | None:
        """Say something to a bake. A refusal is returned; what cannot be stored is kept in memory and told of."""
        before = self.live.state(bake)
        try:
            refused = await self.live.say(bake, intent)
        except Refusal as refusal:
            self.tick()
            return Refused(refusal.message, refusal.remedy)
        if refused is None:
            self.spoken_to = bake
            after = self.live.state(bake)
            if after is not None and after.closed is not None and (before is None or before.closed is None):
                self.in_background(self._back_up())
        self.tick()
        return refused

    async def _back_up(self) -> None:
        """A bake is over: what stands in the journal is copied, and told of only where that fails."""
        failed = await self.live.keeper.back_up()
        if failed:
            self.troubles.tell("backup", ABOUT, failed, until_seen=True)

    def in_background(self, work: Coroutine[Any, Any, None]) -> None:
        """Do something that waits for the disk; keys go on working meanwhile."""
        self.run_worker(work, exit_on_error=True)

    # -- screens -------------------------------------------------------------------------------------------------

    async def on_event(self, event: events.Event) -> None:
        """The palette's own line shows what is pasted as it is: nothing harmful may get that far."""
        if isinstance(event, events.Paste) and isinstance(self.screen, CommandPalette):
            event.text = visible(event.text)
        await super().on_event(event)

    async def action_quit(self) -> None:
        """Leave, from any page; what only memory holds is asked about first."""
        self.bench.action_leave()

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
        """The one instance of a dialog: a new one each time would leave its caches behind. One that broke is remade."""
        found = self._dialogs.get(kind)
        if found in self.broken and found not in self.screen_stack:
            self.uninstall_screen(found)
            self.broken.discard(found)
            found = None
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
