"""The start of a bake: choose a formula, size it to today, say how warm it is, and begin."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.field import Field
from proofbell.app.session.bake_id import new_bake_id
from proofbell.app.session.choice import Choice, Take
from proofbell.app.session.formula_files import read_file
from proofbell.app.session.journal_access import habits_of
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.start.at_hand import Item
from proofbell.app.start.formula_list import FormulaList
from proofbell.app.start.last_bakes import last_bakes
from proofbell.app.start.shelf import Shelf
from proofbell.app.start.sizing import (
    SIZES,
    Sized,
    hold,
    hold_flour,
    hold_size,
    put_size,
    read_size,
    size_fields,
    size_typed,
    warmth_fields,
)
from proofbell.app.start.start_words import about, comes_to, faults, own_live_in
from proofbell.app.widgets.actions import bindings
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.prose import Prose
from proofbell.app.widgets.rows import Rows
from proofbell.bake.intents import Refused
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.errors import Failure
from proofbell.formula.model import Formula, YeastForm
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.use import Use, use
from proofbell.places import own_folders, typed_path
from proofbell.words import temperature

NOT_YET = "Nothing to begin yet: choose a formula and correct its size."

_YEASTS: tuple[YeastForm | None, ...] = (None, "fresh", "active dry", "instant")


class StartScreen(Page):
    """Formulas on the left; the one under the cursor, its size and what it comes to on the right.

    Dismisses with the new bake's id, or None. With ``take`` the choice is handed there instead of onto the bench.
    """

    PAGE = "start"
    CSS_PATH = "start_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("start")]

    def __init__(self, live: Live, files: Sequence[Path], *, first: bool = False, take: Take | None = None) -> None:
        super().__init__()
        self.live = live
        self._shelf = Shelf(files)
        self._again_size: tuple[str, ...] = ()
        self._touched = False
        self._first = first
        self._take = take
        if take is not None:
            self.row_words = {"start.begin": "into the plan"}
        self._shown: Item | None = None
        self._yeast: YeastForm | None = None
        self._habits: Habits | None = None
        self._ready: tuple[WeighOut, Use] | None = None
        self._fields = {field.input.id or "": field for field in (*size_fields(), *warmth_fields())}

    def heading(self) -> Content:
        """The kitchen stands behind the title."""
        words = "No dough yet: choose a formula" if self._first else "Add a bake"
        words = words if self._take is None else "Into the plan"
        return titled(words, f"kitchen {temperature(self.live.kitchen.room_c)}")

    def body(self) -> ComposeResult:
        """List, and the one that is chosen."""
        with Horizontal(id="start"):
            yield FormulaList()
            with Vertical(id="beside"):
                with VerticalScroll(id="chosen", can_focus=False):
                    yield Static(id="about")
                    yield Static(id="faults")
                    with Vertical(id="sizes"):
                        yield from self._fields.values()
                # What it comes to stays in sight, however far down the fields one is.
                with VerticalScroll(id="result", can_focus=False):
                    yield Prose(id="comes-to")
                yield Button(
                    own("[ Begin: put it on the bench ]" if self._take is None else "[ Into the plan ]"),
                    id="begin",
                    compact=True,
                    disabled=True,
                )
        yield Static(id="own-live-in")
        yield Field("Search", id="search", width=40, hint="name or style", enter="to the list", passing=True)
        yield Field(
            "Open a file", id="path", width=48, hint="such as formulas/mine.toml", enter="open it", passing=True
        )

    def on_mount(self) -> None:
        """Read the formulas; the screen is there meanwhile."""
        for line in ("#path-field", "#search-field", "#own-live-in"):
            self.query_one(line).display = False
        self._read()

    @work(exclusive=True, exit_on_error=True)
    async def _read(self) -> None:
        at = self.host.kitchen_file
        try:
            folders = () if at is None else own_folders(self.live.kitchen.formulas, at)
        except Failure as failure:
            folders = ()
            self.refuse(failure)
        async for _ in self._shelf.read(folders):
            if self.left:
                return
            self._list()
        if folders and not self._shelf.has_own:
            hint = self.query_one("#own-live-in", Static)
            hint.update(own_live_in(folders[0]))
            hint.display = True
        await self._remember()
        if not self.left and not self._rows.count:
            self._rows.say_when_empty(own("No formulas here.\nPress o to open a file."))

    async def _remember(self) -> None:
        """What past bakes have to say."""
        try:
            self._shelf.baked = await last_bakes(self.live)
            if not self.left:
                self._list()
            self._habits = await habits_of(self.live)
        except Failure as failure:
            if not self.left:
                self.refuse(failure)
        if not self.left and self._habits is not None:
            self._weigh()

    @property
    def _rows(self) -> FormulaList:
        return self.query_one("#formulas", FormulaList)

    def _list(self, *, keep: bool | None = None, file: Path | None = None) -> None:
        """Make the list anew; once something was chosen or typed, the cursor stays where it is."""
        typed = self.query_one("#search", Input).value
        keep = (self._touched or not self._rows.has_focus) if keep is None else keep
        self._rows.put(self._shelf.rows(typed), self.live.clock.stamp(), keep=keep, file=file)
        if typed:
            self._rows.say_when_empty(own("No formula fits.\nesc: all of them again"))
        self._choose()

    @on(Rows.Moved, "#formulas")
    def _moved(self) -> None:
        self._touched = True
        self._choose()

    def _choose(self) -> None:
        item = self._rows.item
        if item == self._shown:
            return
        before, self._shown = self._shown, item
        formula = self._formula
        self.query_one("#about", Static).update("" if item is None else about(item, self.live.clock.stamp()))
        found = Content("") if item is None else faults(item.file)
        self.query_one("#faults", Static).update(found)
        self.query_one("#faults").display = bool(found)
        for name in ("#sizes", "#result", "#begin"):
            self.query_one(name).display = formula is not None
        if item is not None and (before is None or before.key != item.key):
            self._size_of(item)
        if formula is not None:
            hold(self._fields, formula, self.live.kitchen)
        self._weigh()

    def _size_of(self, item: Item) -> None:
        """The size of last time for what is baked again; it goes again with the cursor, unless it was changed."""
        if item.again is not None:
            put_size(self._fields, item.again.pieces, item.again.piece_g, item.again.dough_g)
            self._again_size = size_typed(self._fields)
        elif self._again_size and self._again_size == size_typed(self._fields):
            for name in SIZES:
                self._fields[name].input.value = ""

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        if event.input.id == "search":
            self._list(keep=False)
        if event.input.id in self._fields:
            self._weigh()
        if event.input.id == "room":
            hold_flour(self._fields, self.live.kitchen)
        formula = self._formula
        if formula is not None and event.input.id in self._fields:
            hold_size(self._fields, formula)

    @property
    def _formula(self) -> Formula | None:
        return None if self._shown is None else self._shown.file.formula

    def _weigh(self) -> None:
        """Work out what the fields come to, and show it."""
        self._ready = None
        formula = self._formula
        words: list[Content] = []
        sized = read_size(self._fields)
        if formula is not None and sized is not None:
            try:
                known = self._known(formula, sized)
                out = weigh_out(
                    known.weigh_formula,
                    known.kitchen,
                    sized.wish,
                    tin_ml=sized.tin_ml,
                    yeast=self._yeast,
                    learned_rise_k=known.rise_k,
                    learned_rise_range_k=known.rise_range_k,
                    learned_loss_percent=known.bake_loss_percent,
                )
            except Failure as failure:
                words = [outside(f"✗ {failure.message} {failure.remedy}", most=400).stylize("bold $text-error")]
            else:
                self._ready = out, known
                words = comes_to(formula, out, known, self.live.clock.stamp(), self._yeast)
        if sized is None:
            words = [own("✗ Correct the marked field first.", "bold $text-error")]
        self.query_one("#comes-to", Prose).say(words)
        self.call_after_refresh(self._reach)
        self.query_one("#begin", Button).disabled = self._ready is None

    def _reach(self) -> None:
        """Words that do not all fit can be gone to and scrolled."""
        result = self.query_one("#result", VerticalScroll)
        result.can_focus = result.max_scroll_y > 0

    def _known(self, formula: Formula, sized: Sized) -> Use:
        """What past bakes teach of this formula; nothing, without any."""
        kitchen = sized.today.over(self.live.kitchen)
        return use(self._habits or Habits((), kitchen), kitchen, formula)

    @on(Rows.Chosen, "#formulas")
    def _to_sizes(self) -> None:
        self._touched = True
        if self._formula is not None:
            self._fields["pieces"].input.focus()
        else:
            self.answer("This file has faults: correct it first, or choose another.", wrong=True)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        if event.input.id == "path":
            self._open_path(event.value.strip())
            return
        if event.input.id == "search":
            self._rows.focus()
            return
        names = list(self._fields)
        after = names.index(event.input.id or "") + 1
        if after < len(names):
            self._fields[names[after]].input.focus()
        elif self._ready is not None:
            self.query_one("#begin", Button).focus()
        else:
            self.answer(NOT_YET, wrong=True)

    @on(Button.Pressed, "#begin")
    async def _begin(self) -> None:
        await self.action_begin()

    async def action_begin(self) -> None:
        """Put the bake on the bench."""
        if not self._shelf.whole:
            self.answer("The formulas are still loading: check which one is chosen, then begin.", wrong=True)
            return
        formula = self._formula
        if self._ready is None or formula is None:
            self.answer(NOT_YET, wrong=True)
            return
        out, known = self._ready
        if self._take is not None:
            self._take(Choice(formula, out.batch, known))
            self.dismiss(None)
            return
        bake = new_bake_id(formula.name, self.live.clock.stamp())
        try:
            opened = await self.live.open(bake, formula, out.batch, kitchen=known.kitchen)
        except Failure as failure:
            self.refuse(failure)
            return
        if isinstance(opened, Refused):
            self.refuse(opened)
        else:
            self.dismiss(bake)

    def action_yeast(self) -> None:
        """The next form of yeast; after the last, the formula's own again."""
        self._yeast = _YEASTS[(_YEASTS.index(self._yeast) + 1) % len(_YEASTS)]
        self._weigh()

    def action_edit(self) -> None:
        """Open the chosen formula's file in the editor."""
        self._edit(in_editor=True)

    def action_change(self) -> None:
        """Change figures of the chosen formula."""
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

    @work(exclusive=True, exit_on_error=True)
    async def _take_changed(self, path: str) -> None:
        """Take the file as it is now."""
        file = await asyncio.to_thread(read_file, Path(path))
        if not self.left:
            self._shelf.changed(file)
            self.query_one("#own-live-in").display = not self._shelf.has_own
            self._touched = True
            self._list(keep=True, file=file.path)
            self.answer(f"{file.title}: taken as it is now.")

    def action_search(self) -> None:
        """A line to type on."""
        field = self.query_one("#search-field", Field)
        field.display = True
        field.input.focus()
        self._touched = True

    def action_open_file(self) -> None:
        """Ask for a file."""
        field = self.query_one("#path-field", Field)
        field.display = True
        field.input.focus()

    @work(exclusive=True, exit_on_error=True)
    async def _open_path(self, typed: str) -> None:
        field = self.query_one("#path-field", Field)
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
        field.display = False
        field.input.value = ""
        self._list(keep=False)
        self._touched = True
        self._rows.focus()

    def action_back(self) -> None:
        """Out of the field for a file first, then to the list, then back."""
        if not self.is_mounted:
            # A key may be quicker than the page.
            self.dismiss(None)
            return
        search = self.query_one("#search-field", Field)
        field = self.query_one("#path-field")
        if field.display:
            field.display = False
            self._rows.focus()
        elif search.display:
            search.display = False
            search.input.value = ""
            self._rows.focus()
        elif self.query_one("#begin").has_focus:
            self._rows.focus()
        else:
            self.dismiss(None)
