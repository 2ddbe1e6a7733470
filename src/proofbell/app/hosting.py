"""The app as a host for its screens: dialogs, pages, keys, what is said to a bake. It knows no moment and no alarm."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Coroutine, Iterable, Sequence
from pathlib import Path
from typing import Any, TypeVar

from textual import events
from textual.app import SystemCommand
from textual.await_complete import AwaitComplete
from textual.command import CommandPalette
from textual.screen import Screen
from textual.widget import AwaitMount

from proofbell import places
from proofbell.app.pages import LatePages
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.session.formulas.watch import FormulaWatch
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.session.saving.journal_watch import JournalWatch
from proofbell.app.session.troubles import ABOUT, Troubles
from proofbell.app.terminal.boundary import Boundary
from proofbell.app.terminal.textual_private import Palette
from proofbell.app.widgets.actions import ACTIONS, Action, key_name, of_screen, with_keys
from proofbell.app.widgets.host import Host, HostApp
from proofbell.app.widgets.key_row import KeyRow, KeysDialog
from proofbell.app.widgets.themes import NAMES
from proofbell.app.widgets.trouble_dialog import TroubleDialog
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import Reading
from proofbell.bench.board import Board, Coming
from proofbell.clock import Clock
from proofbell.errors import Failure
from proofbell.visible import visible

AT_THE_KEYS_US = 10_000_000
"""So long after a key the next may come, for what the screen shows now: common practice, no source."""

S = TypeVar("S", bound=Screen[Any])
Result = TypeVar("Result")


class Hosting(Boundary, HostApp):
    """Has the live bakes, and what the screens ask for. ``real`` is the clock that alarms and answers go by."""

    def __init__(
        self,
        live: Live,
        *,
        real: Clock | None = None,
        files: Sequence[Path] = (),
        kitchen_file: Path | None = None,
        journal: Path | None = None,
        ansi_color: bool | None = None,
    ) -> None:
        super().__init__(ansi_color=ansi_color)
        self.live = live
        self.real = real or live.clock
        self.files = tuple(files)
        self.kitchen_file = kitchen_file
        self.recipe_file = None if journal is None else places.recipe_file(journal)
        self.actions: tuple[Action, ...] = ACTIONS
        self.pages = LatePages()
        self.troubles = Troubles()
        self.journal = JournalWatch(live, self.troubles, journal)
        self.formulas = FormulaWatch(files, self._own_folders)
        self.spoken_to: str | None = None
        self._key_us = -AT_THE_KEYS_US

    def _own_folders(self) -> tuple[Path, ...]:
        at = self.kitchen_file
        return () if at is None else places.own_folders(self.live.kitchen.formulas, at)

    @property
    def host(self) -> Host:
        return self

    def tick(self) -> None:
        raise NotImplementedError

    def quiet(self) -> None:
        raise NotImplementedError

    def as_planned(self, board: Board) -> Board:
        """A moment of the bench with what is to come where the plan has it; here nothing plans."""
        return board

    def try_bell(self) -> str:
        """Ring once to hear it; in words, which ways there are."""
        raise NotImplementedError

    def aside(self) -> contextlib.AbstractContextManager[None]:
        """Leave the terminal to another program; here there is none."""
        return contextlib.nullcontext()

    # -- saying something ----------------------------------------------------------------------------------------

    async def say(self, bake: str, intent: Intent) -> Refused | None:
        """Say something to a bake. A refusal is returned; what cannot be stored is kept in memory and told of."""
        before = self.live.state(bake)
        try:
            refused = await self.live.say(bake, intent)
        except Failure as failure:
            self.tick()
            return Refused(failure.message, failure.remedy)
        if refused is None:
            self.spoken_to = bake
            after = self.live.state(bake)
            if after is not None and after.closed is not None and (before is None or before.closed is None):
                self.in_background(self.journal.back_up())
        self.tick()
        return refused

    def in_background(self, work: Coroutine[Any, Any, None]) -> None:
        """Do something that waits for the disk; keys go on working meanwhile."""
        self.run_worker(work, exit_on_error=True)

    def hold(self, *, on: bool) -> None:
        """In a rehearsal the clock waits while a question is on the screen; a real one never does."""
        if self.live.pace is not None:
            self.live.pace.hold(on=on)

    # -- screens -------------------------------------------------------------------------------------------------

    def go(self, page: Screen[Result], then: Callable[[Result | None], None] | None = None) -> AwaitMount:
        """Put a page on top; ``then`` is called with what it was dismissed with."""
        return self.push_screen(page, then)

    def pop_screen(self) -> AwaitComplete:
        """Back by one screen; the bench is never left this way, however often a key bounces."""
        return AwaitComplete() if self.screen is self.ground else super().pop_screen()

    def dialog(self, kind: type[S]) -> S:
        """The one instance of a dialog: a new one each time would leave its caches behind. One that broke is remade."""
        name = kind.__name__
        if self.is_screen_installed(name):
            found = self.get_screen(name, kind)
            if found not in self.broken or found in self.screen_stack:
                return found
            self.uninstall_screen(name)
            self.broken.discard(found)
        made = kind()
        self.install_screen(made, name)
        return made

    def is_open(self, kind: type[Screen[Any]]) -> bool:
        """Whether that dialog is on the screen already; the one instance is never opened twice."""
        return any(screen.__class__ is kind for screen in self.screen_stack)

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
        """Take a reading of a bake, for the check that rings, or in place of another one."""
        if self.is_open(ReadingDialog):
            return
        dialog = self.dialog(ReadingDialog)
        dialog.ask(self.live, bake, ring, corrects, by_itself_us, typed)
        self.push_screen(dialog, then)

    def show_troubles(self) -> None:
        """All that stands wrong, whole; what was only to be read goes when it is closed."""
        dialog = self.dialog(TroubleDialog)
        if self.screen is dialog:
            return
        folder = places.home_folder() or Path.cwd()
        name = f"proofbell-{self.live.clock.stamp().wall_us // 1_000_000}.sqlite"
        dialog.show(self.troubles.all, self.live.write_known if self.live.unsaved else None, str(folder / name))
        self.push_screen(dialog, lambda _: self.troubles.seen())

    # -- keys ----------------------------------------------------------------------------------------------------

    def own_keys(self) -> None:
        """Have the keys that the kitchen wants; the usual ones where it wants something that cannot be."""
        changed = dict(self.live.kitchen.keys)
        try:
            self.actions = with_keys(changed)
        except Failure as failure:
            self.actions, changed = ACTIONS, {}
            self.troubles.tell("keys", ABOUT, f"{in_words(failure)} The usual keys hold", until_seen=True)
        else:
            self.troubles.over("keys")
        self.set_keymap(dict(changed))
        for screen in self.screen_stack:
            for row in screen.query(KeyRow):
                row.draw()

    def key(self, action: str) -> str:
        """The key of an action, as it stands on the key row."""
        return key_name(next(one for one in self.actions if one.id == action).keys[0])

    def show_keys(self, page: str) -> None:
        dialog = self.dialog(KeysDialog)
        if self.screen is not dialog:
            dialog.show(of_screen(page, self.actions))
            self.push_screen(dialog)

    def action_command_palette(self) -> None:
        if not CommandPalette.is_open(self.screen.app):
            self.push_screen(Palette())

    @property
    def at_the_keys(self) -> bool:
        """Whether somebody has pressed a key just now."""
        return self.rests_us < AT_THE_KEYS_US

    @property
    def rests_us(self) -> int:
        """How long ago the last key was pressed (µs of the real clock)."""
        return self.real.stamp().boot_us - self._key_us

    async def on_event(self, event: events.Event) -> None:
        """The palette's own line shows what is pasted as it is: nothing harmful may get that far."""
        if isinstance(event, events.Key):
            self._key_us = self.real.stamp().boot_us
        if isinstance(event, events.Paste) and CommandPalette.is_open(self.screen.app):
            event.text = visible(event.text)
        await super().on_event(event)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The command palette: what the screen's keys do, and the looks."""
        for action in of_screen(screen.name or "", self.actions):
            yield SystemCommand(action.word.capitalize(), action.help, self._runner(screen, action.method))
        for look in NAMES:
            yield SystemCommand(f"Theme: {look}", "Change the colours.", self._changer(look))

    def _runner(self, screen: Screen[Any], method: str) -> Callable[[], Coroutine[Any, Any, None]]:
        async def run() -> None:
            await screen.run_action(method)

        return run

    def _changer(self, name: str) -> Callable[[], None]:
        def change() -> None:
            self.theme = name

        return change
