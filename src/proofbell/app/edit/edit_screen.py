"""A formula's file in the person's editor, checked when that closes; or one figure after the other changed here."""

from __future__ import annotations

import asyncio
import os
from pathlib import Path

from textual import on, work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input

from proofbell.app.drawing.content import own
from proofbell.app.edit.edit_words import checked, figure_line, flour_g, follows, is_share, outdated, verdict
from proofbell.app.edit.subject import Copy, subject
from proofbell.app.fields.field import Field
from proofbell.app.session.formulas.saving import formula_bytes, new_file, replace_file
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.terminal.editor import SET_ONE, editor_command, run_editor
from proofbell.app.widgets.confirm_dialog import ConfirmDialog, ask_first
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.prose import Prose
from proofbell.app.widgets.rows import Rows
from proofbell.errors import Failure
from proofbell.faults import Fault
from proofbell.formula.editing.amounts import with_amount
from proofbell.formula.editing.figures import Figure, figures, with_figure
from proofbell.formula.model import Formula
from proofbell.formula.read import read_formula
from proofbell.formula.text.guard import decoded
from proofbell.places import own_folders, short
from proofbell.quantities import QuantityError

OR_WEIGHED = ", or its weight in g"
UNREADABLE = "This file cannot be taken apart as it is."


class EditScreen(Page):
    """What is odd or wrong with the file above, its figures below. Nothing is written before it is asked for.

    With ``in_editor`` the editor opens at once, and where all is well after it, the page goes by itself. Dismisses
    with the file's path when the file has changed.
    """

    PAGE = "edit"
    CSS_PATH = "edit_screen.tcss"

    def __init__(self, live: Live, path: Path | None, formula: Formula | None, *, in_editor: bool) -> None:
        super().__init__()
        self.live = live
        self._asked_for = path, formula
        self._in_editor = in_editor
        self._path: Path | None = None
        self._first: bytes | None = None
        self._before = b""
        self._now = b""
        self._formula: Formula | None = formula
        self._faults: tuple[Fault, ...] = ()
        self._figures: tuple[Figure, ...] = ()
        self._written: dict[tuple[str | int, ...], str] = {}

    def heading(self) -> Content:
        name = "" if self._formula is None else f"  {self._formula.name}"
        return titled(f"Edit{name}", "" if self._path is None else short(self._path))

    def body(self) -> ComposeResult:
        with VerticalScroll(id="checked", can_focus=False):
            yield Prose()
        yield Rows(id="figures", empty=own("Reading the file …"))
        yield Field("New value", id="value", width=20, enter="take it", passing=True)

    def on_mount(self) -> None:
        self._begin()

    # -- which file ------------------------------------------------------------------------------------------------

    @work(exclusive=True, exit_on_error=True)
    async def _begin(self) -> None:
        try:
            kitchen = self.host.kitchen_file
            folders = () if kitchen is None else own_folders(self.live.kitchen.formulas, kitchen)
            found = await asyncio.to_thread(subject, *self._asked_for, folders)
        except Failure as failure:
            self._rows.say_when_empty(own("Nothing to edit here."))
            self.refuse(failure)
            return
        if isinstance(found, Copy):
            self._offer(found)
        else:
            await self._open(found)

    def _offer(self, copy: Copy) -> None:
        dialog = self.host.dialog(ConfirmDialog)
        dialog.ask("A copy of your own", copy.question, lambda: True)

        def closed(yes: bool | None) -> None:  # noqa: FBT001 - what a dialog answers
            if yes:
                self._copy(copy)
            else:
                self.dismiss(None)

        self.host.go(dialog, closed)

    @work(exclusive=True, exit_on_error=True)
    async def _copy(self, copy: Copy) -> None:
        try:
            await asyncio.to_thread(new_file, copy.path, copy.data)
        except Failure as failure:
            self._rows.say_when_empty(own("Nothing was copied."))
            self.refuse(failure)
            return
        # Whoever comes back is to see the copy, even if nothing is changed in it.
        self._first = b""
        await self._open(copy.path)

    async def _open(self, path: Path) -> None:
        self._path = path
        if await self._read():
            if self._in_editor:
                await self._edit(path)
            else:
                self.answer(f"To take out a whole ingredient or stage: {self.host.key('edit.editor')}, in the editor.")

    # -- the editor ------------------------------------------------------------------------------------------------

    @work(exclusive=True, exit_on_error=True)
    async def action_editor(self) -> None:
        if self._now != self._before:
            self.answer(f"Write your changes first ({self.host.key('edit.save')}), or leave without them.", wrong=True)
        elif self._path is not None:
            await self._edit(self._path)

    async def _edit(self, path: Path) -> None:
        try:
            command = editor_command(os.environ)
            if not command:
                self.answer(f"No editor is set. {SET_ONE}. Or change figures here.")
                return
            with self.host.aside():
                wrong = await run_editor(command, path)
        except Failure as failure:
            self.refuse(failure)
            return
        finally:
            by_itself, self._in_editor = self._in_editor, False
        if not await self._read():
            return
        if wrong:
            self.answer(wrong, wrong=True)
        elif by_itself and not self._faults:
            self._leave()
        else:
            self.answer(f"Checked: {verdict(self._faults)}.")

    # -- what it holds ---------------------------------------------------------------------------------------------

    @property
    def _rows(self) -> Rows:
        return self.query_one("#figures", Rows)

    @property
    def _refused(self) -> bool:
        return any(fault.is_error for fault in self._faults)

    async def _read(self) -> bool:
        """Read the file anew; whether it could be."""
        if self._path is None:
            return False
        try:
            data = await asyncio.to_thread(formula_bytes, self._path)
        except Failure as failure:
            self.refuse(failure)
            return False
        if self.left:
            return False
        self._first = data if self._first is None else self._first
        self._before = data
        self._written = {one.path: one.written for one in figures(data)}
        self._show(data)
        faulty = {fault.line for fault in self._faults if fault.is_error}
        at = next((index for index, one in enumerate(self._figures) if one.line in faulty), None)
        self._rows.cursor = self._rows.cursor if at is None else at
        return True

    def _show(self, data: bytes) -> None:
        self._now = data
        formula, self._faults = read_formula(data, self._path.name if self._path else "")
        self._formula = formula or self._formula
        self._figures = figures(data)
        found = self.query_one("#checked", VerticalScroll)
        text = decoded(data)[0]
        said = [*checked(self._faults, text), *outdated([one for one in self._figures if self._is_changed(one)], text)]
        found.set_class(bool(said), "-some")
        self.set_class(self._refused, "-faulty")
        self.query_one(Prose).say(said)
        self._rows.say_when_empty(own(UNREADABLE))
        self._rows.show(len(self._figures), self._line)
        self.retitle()
        self.call_after_refresh(self._reach)

    def _reach(self) -> None:
        """Faults that do not all fit can be gone to and scrolled."""
        found = self.query_one("#checked", VerticalScroll)
        found.can_focus = found.max_scroll_y > 0

    def _line(self, index: int, width: int) -> Content:
        one = self._figures[index]
        above = self._figures[index - 1] if index else None
        return figure_line(one, above, changed=self._is_changed(one), width=width)

    def _is_changed(self, one: Figure) -> bool:
        return self._written.get(one.path) != one.written

    # -- one figure ------------------------------------------------------------------------------------------------

    @on(Rows.Chosen, "#figures")
    def _chosen(self) -> None:
        self.action_change()

    def action_change(self) -> None:
        if not self._figures:
            self.answer(
                f"There is nothing to change here. {self.host.key('edit.editor')} opens the editor.", wrong=True
            )
            return
        one = self._figures[self._rows.cursor]
        self.query_one("#value-field", Field).ask(one.written, f"{one.owner}: {one.words}{OR_WEIGHED * is_share(one)}")

    @on(Input.Submitted, "#value")
    def _submitted(self, event: Input.Submitted) -> None:
        one = self._figures[self._rows.cursor]
        try:
            changed = self._with(one, event.value)
        except QuantityError as error:
            self.query_one("#value-field", Field).refuse(error)
            return
        self._put_away()
        before = self._formula
        self._show(changed)
        if self._now == self._before:
            self.answer("All as it stands in the file.")
        elif self._refused:
            self.answer(f"Not written yet: {verdict(self._faults)}. See above.", wrong=True)
        else:
            moved = self._follows(before, one)
            self.answer(f"{moved} Not written yet: {self.host.key('edit.save')} writes it into the file.".strip())

    def _with(self, one: Figure, typed: str) -> bytes:
        all_g = None if self._formula is None else flour_g(self._formula, self.live.kitchen)
        return with_figure(self._now, one, typed) if all_g is None else with_amount(self._now, one, typed, all_g)

    def _follows(self, before: Formula | None, one: Figure) -> str:
        if before is None or self._formula is None or one.path[0] != "ingredients":
            return ""
        return follows(before, self._formula, one.owner, self.live.kitchen)

    def _put_away(self) -> None:
        self.query_one("#value-field").display = False
        self._rows.focus()

    # -- leaving ---------------------------------------------------------------------------------------------------

    @work(exclusive=True, exit_on_error=True)
    async def action_save(self) -> None:
        if self._path is None:
            return
        if self._refused:
            self.answer(f"{verdict(self._faults).capitalize()}: correct what is marked ✗ first.", wrong=True)
            return
        if self._now != self._before:
            try:
                await asyncio.to_thread(replace_file, self._path, self._before, self._now)
            except Failure as failure:
                self.answer(in_words(failure), wrong=True)
                return
            self._before = self._now
        self._leave()

    def _leave(self) -> None:
        changed = self._path is not None and self._first is not None and self._before != self._first
        self.dismiss(str(self._path) if changed else None)

    def action_back(self) -> None:
        """Out of the line first; then back, asking about what is not written."""
        if self.query_one("#value-field").display:
            self._put_away()
        elif self._now == self._before:
            self._leave()
        else:
            ask_first(self.host, "Not written", "Leave without what you changed here?", self._leave)
