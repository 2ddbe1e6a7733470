"""The facts of this kitchen: look, change one, check the probe."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.field import Field
from proofbell.app.kitchen.probe_screen import ProbeScreen
from proofbell.app.session.live import Live
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import Rows, columns
from proofbell.errors import Failure
from proofbell.kitchen.telling import Told, settings_told, with_unit
from proofbell.places import kitchen_file
from proofbell.words import temperature

UNHEARD = "Not heard? Let alarm, in this list, be a command that plays a sound."


class KitchenScreen(Page):
    """Every setting on a line, with what it is for below; enter changes it in the kitchen file."""

    PAGE = "kitchen"
    CSS_PATH = "kitchen_screen.tcss"

    def __init__(self, live: Live, path: Path | None = None) -> None:
        super().__init__()
        self.live = live
        self._path = kitchen_file() if path is None else path
        self._told: tuple[Told, ...] = settings_told(live.kitchen)

    def heading(self) -> Content:
        return titled(self.live.kitchen.name, f"{temperature(self.live.kitchen.room_c)}   {self._path}")

    def body(self) -> ComposeResult:
        """Settings, what the one under the cursor is for, a line to change it."""
        yield Rows(id="settings")
        yield Static(id="about")
        yield Field("New value", id="value", width=30, enter="write it", passing=True)

    def on_mount(self) -> None:
        self._show(0)

    def _show(self, cursor: int | None = None) -> None:
        rows = self.query_one("#settings", Rows)
        rows.show(len(self._told), self._line, cursor=cursor)
        self._explain(rows.cursor)
        self.retitle()

    def _line(self, index: int, width: int) -> Content:
        told = self._told[index]
        value = outside(told.value) if told.value else own("–", "dim")
        mark = own("default", "dim") if told.ordinary else own("set")
        cells = [(outside(told.key), 17), (value, 22), (mark, 8)]
        if width > 90:
            cells.append((own(told.about, "dim"), 0))
        return columns(cells, width)

    @on(Rows.Moved, "#settings")
    def _moved(self, event: Rows.Moved) -> None:
        self._explain(event.index)

    def _explain(self, index: int) -> None:
        told = self._told[index]
        self.query_one("#about", Static).update(own(f"{told.key}: {told.about} Enter changes it."))

    @on(Rows.Chosen, "#settings")
    def _chosen(self, event: Rows.Chosen) -> None:
        if self.live.rehearsal:
            self.answer("A rehearsal leaves the kitchen file alone.", wrong=True)
            return
        told = self._told[event.index]
        self.query_one("#value-field", Field).ask(told.value, "enter saves it, empty removes it")

    @on(Input.Submitted, "#value")
    async def _submitted(self, event: Input.Submitted) -> None:
        field = self.query_one("#value-field", Field)
        told = self._told[self.query_one("#settings", Rows).cursor]
        try:
            await self._write([(told.key, with_unit(told.key, event.value.strip()))])
        except Failure as failure:
            field.refuse(failure)
            return
        self._done()
        self.answer(f"{told.key} is written into the kitchen file.")

    async def _write(self, values: Sequence[tuple[str, str]]) -> None:
        """Write into the file and show what it says then."""
        await self.live.kitchen_owner.write(self._path, values)
        self._told = settings_told(self.live.kitchen)
        self._show()

    def _done(self) -> None:
        self.query_one("#value-field").display = False
        self.query_one("#settings").focus()

    def action_check_probe(self) -> None:
        self.app.push_screen(ProbeScreen(self.live, self._path), self._after_check)

    def action_ring(self) -> None:
        self.answer(f"{self.host.try_bell()} {UNHEARD}")

    def action_learned(self) -> None:
        self.host.go(self.host.pages.learned(self.live))

    def _after_check(self, written: str | None) -> None:
        if written:
            self._told = settings_told(self.live.kitchen)
            self._show()
            self.answer(written)

    def action_back(self) -> None:
        """Out of the field first, then back."""
        if self.query_one("#value-field").display:
            self._done()
        else:
            self.dismiss(None)
