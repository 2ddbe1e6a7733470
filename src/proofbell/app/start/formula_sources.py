"""Where the formulas on the start page come from: what is at hand, a file from elsewhere, a recipe, an edit."""

from __future__ import annotations

import asyncio
from pathlib import Path

from textual import on, work
from textual.widgets import Input, Static

from proofbell.app.drawing.content import own
from proofbell.app.fields.field import Field
from proofbell.app.fields.path_field import PathField
from proofbell.app.session.formula_files import read_file
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.session.saving.journal_access import habits_of
from proofbell.app.start.at_hand import Item
from proofbell.app.start.formula_list import FormulaList
from proofbell.app.start.last_bakes import last_bakes
from proofbell.app.start.shelf import Shelf
from proofbell.app.start.start_words import none_at_hand, own_live_in
from proofbell.app.widgets.page import Page
from proofbell.app.widgets.rows import Rows
from proofbell.errors import Failure
from proofbell.journal.learning.habits import Habits
from proofbell.places import own_folders, typed_path


class FormulaSources(Page):
    """A page with the list of formulas and the lines that bring others into it."""

    def __init__(self, live: Live, shelf: Shelf) -> None:
        super().__init__()
        self.live = live
        self._shelf = shelf
        self._shown: Item | None = None
        self._habits: Habits | None = None
        self._touched = False
        """Something was chosen or typed: the cursor stays where it is."""
        self._settled = False
        """All that can come to stand in the list by itself is there."""
        self._asked_to_wait = False

    def choose(self) -> None:
        raise NotImplementedError

    def weigh(self) -> None:
        """Work out anew what the formula under the cursor comes to."""
        raise NotImplementedError

    @work(group="read", exclusive=True, exit_on_error=True)
    async def read_formulas(self) -> None:
        """Read what is at hand, and then what past bakes say of it; the page is there meanwhile."""
        at = self.host.kitchen_file
        try:
            folders = () if at is None else own_folders(self.live.kitchen.formulas, at)
        except Failure as failure:
            folders = ()
            self.refuse(failure)
        async for _ in self._shelf.read(folders):
            if self.left:
                return
            self.show_list()
        if folders and not self._shelf.has_own:
            hint = self.query_one("#own-live-in", Static)
            hint.update(own_live_in(folders[0], self.host.key("start.new")))
            hint.display = True
        await self._remember()
        self._settled = True
        if not self.left and self._asked_to_wait:
            self.answer("")
        if not self.left and self._shown is None:
            self.query_one("#sizes").display = False
        if not self.left and not self._rows.count:
            self._rows.say_when_empty(none_at_hand(self.host.key("start.new"), self.host.key("start.open-file")))

    async def _remember(self) -> None:
        try:
            await self._shelf.recall(await last_bakes(self.live))
            if not self.left:
                self.show_list()
            self._habits = await habits_of(self.live)
        except Failure as failure:
            if not self.left:
                self.refuse(failure)
        if not self.left and self._habits is not None:
            self.weigh()

    @property
    def _rows(self) -> FormulaList:
        return self.query_one("#formulas", FormulaList)

    def show_list(self, *, keep: bool | None = None, file: Path | None = None) -> None:
        """Make the list anew; once something was chosen or typed, the cursor stays where it is."""
        typed = self.query_one("#search", Input).value
        keep = (self._touched or self._rows.moved or not self._rows.has_focus) if keep is None else keep
        self._rows.put(self._shelf.rows(typed), self.live.clock.stamp(), keep=keep, file=file)
        if typed:
            self._rows.say_when_empty(own("No formula fits.\nesc: all of them again"))
        self.choose()

    @on(Rows.Moved, "#formulas")
    def _moved(self) -> None:
        self._touched = True
        self.choose()

    def action_edit(self) -> None:
        self._edit(in_editor=True)

    def action_change(self) -> None:
        self._edit(in_editor=False)

    def _edit(self, *, in_editor: bool) -> None:
        if self._shown is None:
            self.answer("Choose a formula first.", wrong=True)
            return
        file = self._shown.file
        self.host.go(self.host.pages.edit(self.live, file.path, file.formula, in_editor=in_editor), self._back_with)

    def _back_with(self, path: str | None) -> None:
        if path is not None:
            self._take_changed(path)

    @work(group="changed", exclusive=True, exit_on_error=True)
    async def _take_changed(self, path: str) -> None:
        file = await asyncio.to_thread(read_file, Path(path))
        if not self.left:
            self._shelf.changed(file)
            self.query_one("#own-live-in").display = not self._shelf.has_own
            self._touched = True
            self.show_list(keep=True, file=file.path)
            self.answer(f"{file.title}: taken as it is now.")

    def action_search(self) -> None:
        field = self.query_one("#search-field", Field)
        field.display = True
        field.input.select_on_focus = True
        self.set_focus(field.input)
        self._touched = True

    async def action_new(self) -> None:
        at = self.host.kitchen_file
        if at is None:
            self.answer("A rehearsal writes no formulas.", wrong=True)
            return
        try:
            folder = own_folders(self.live.kitchen.formulas, at)[0]
        except Failure as failure:
            self.refuse(failure)
            return
        await self.host.go(self.host.pages.recipe(self.live, folder, self.host.recipe_file, self._made))

    def _made(self, path: Path, still_open: str) -> None:
        """A new formula: it stands in the list, chosen."""
        self._take_in(path, still_open)

    @work(exclusive=True, exit_on_error=True, group="made")
    async def _take_in(self, path: Path, still_open: str) -> None:
        file = await asyncio.to_thread(read_file, path)
        self._shelf.changed(file)
        if self.left:
            return
        self.query_one("#search", Input).value = ""
        for line in ("#search-field", "#own-live-in"):
            self.query_one(line).display = False
        self._touched = True
        self.show_list(keep=False, file=path)
        self._rows.focus()
        self.answer(f"Saved as {path.name}. {still_open}".strip())

    def action_open_file(self) -> None:
        field = self.query_one("#path-field", Field)
        field.display = True
        self.set_focus(field.input)

    @work(group="open", exclusive=True, exit_on_error=True)
    async def _open_path(self) -> None:
        field = self.query_one(PathField)
        await field.looked()
        typed = field.text.strip()
        if not typed:
            field.display = False
            self._rows.focus()
            return
        refused: Failure | None = None
        try:
            file = await asyncio.to_thread(lambda: read_file(typed_path(typed)))
        except Failure as failure:
            refused = failure
        if self.left:
            return
        if refused is not None:
            field.wrong(in_words(refused))
            return
        if file.formula is None and not any(fault.line for fault in file.faults):
            field.wrong(file.faults[0].message)
            return
        self._shelf.open(file)
        self.answer("")
        field.display = False
        field.input.value = ""
        self.show_list(keep=False)
        self._touched = True
        self._rows.focus()
