"""The start of a bake: choose a formula, size it to today, say how warm it is, and begin."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.field import Field
from proofbell.app.fields.line_input import FigureInput
from proofbell.app.fields.path_field import PathField
from proofbell.app.session.choice import Choice, Take
from proofbell.app.session.live import Live
from proofbell.app.start.at_hand import Item
from proofbell.app.start.formula_list import FormulaList
from proofbell.app.start.formula_sources import FormulaSources
from proofbell.app.start.shelf import Shelf
from proofbell.app.start.sizing import (
    SIZES,
    hold,
    hold_dose,
    hold_flour,
    hold_size,
    place_fields,
    put_size,
    read_size,
    size_fields,
    size_typed,
    warmth_fields,
)
from proofbell.app.start.start_words import about, faults
from proofbell.app.start.worked_out import Asked, worked_out
from proofbell.app.widgets.page import titled
from proofbell.app.widgets.prose import Prose
from proofbell.app.widgets.rows import Rows
from proofbell.bake.intents import Refused
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.errors import Failure
from proofbell.formula.model import Formula, YeastForm
from proofbell.journal.bake_id import new_bake_id
from proofbell.journal.learning.use import Use
from proofbell.words import temperature

NOT_YET = "Nothing to begin yet: choose a formula and correct its size."

_YEASTS: tuple[YeastForm | None, ...] = (None, "fresh", "active dry", "instant")


class StartScreen(FormulaSources):
    """Formulas on the left; the one under the cursor, its size and what it comes to on the right.

    Dismisses with the new bake's id, or None. With ``take`` the choice is handed there instead of onto the bench.
    """

    PAGE = "start"
    CSS_PATH = "start_screen.tcss"

    def __init__(self, live: Live, files: Sequence[Path], *, first: bool = False, take: Take | None = None) -> None:
        super().__init__(live, Shelf(files))
        self._again_size: tuple[str, ...] = ()
        self._again_yeast: YeastForm | None = None
        self._first = first
        self._take = take
        if take is not None:
            self.row_words = {"start.begin": "into the plan"}
        self._yeast: YeastForm | None = None
        self._ready: tuple[WeighOut, Use] | None = None
        self._fields = {field.input.id or "": field for field in (*size_fields(), *warmth_fields(), *place_fields())}
        for field in self._fields.values():
            if isinstance(field.input, FigureInput):
                field.input.not_a_figure = self._to_search

    def heading(self) -> Content:
        words = "No dough yet: choose a formula" if self._first else "Add a bake"
        words = words if self._take is None else "Into the plan"
        return titled(words, f"kitchen {temperature(self.live.kitchen.room_c)}")

    def body(self) -> ComposeResult:
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
        yield PathField("Open a file", id="path", hint="such as formulas/mine.toml")

    def on_mount(self) -> None:
        for line in ("#path-field", "#search-field", "#own-live-in"):
            self.query_one(line).display = False
        self.read_formulas()

    def choose(self) -> None:
        item = self._rows.item
        if item == self._shown:
            return
        before, self._shown = self._shown, item
        formula = self._formula
        self.query_one("#about", Static).update("" if item is None else about(item, self.live.clock.stamp()))
        found = Content("") if item is None else faults(item.file)
        self.query_one("#faults", Static).update(found)
        self.query_one("#faults").display = bool(found)
        for name in ("#result", "#begin"):
            self.query_one(name).display = formula is not None
        # Before the first is read its fields take what is typed already.
        self.query_one("#sizes").display = formula is not None or not self._settled
        if item is not None and (before is None or before.key != item.key):
            self._size_of(item, other=before is not None and self._settled)
        if formula is not None:
            hold(self._fields, formula, self.live.kitchen, self._yeast)
        self.weigh()

    def _size_of(self, item: Item, *, other: bool) -> None:
        """Size, tin and yeast of last time for what is baked again; they go with the cursor.

        ``other``: a size was typed for the formula before it, and goes as well.
        """
        if item.again is not None:
            put_size(self._fields, item.again)
            self._again_size = size_typed(self._fields)
            self._yeast = self._again_yeast = item.again.yeast
            return
        if other or (self._again_size and self._again_size == size_typed(self._fields)):
            for name in SIZES:
                self._fields[name].input.value = ""
        if self._yeast == self._again_yeast:
            self._yeast = self._again_yeast = None

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        if event.input.id == "search":
            self.show_list(keep=False)
        if event.input.id in self._fields:
            self.weigh()
        if event.input.id == "room":
            hold_flour(self._fields, self.live.kitchen)
        formula = self._formula
        if formula is not None and event.input.id in self._fields:
            hold_size(self._fields, formula)

    def _to_search(self, letter: str) -> None:
        """A name that is typed into a field for a number is looked for in the list, in place of what was."""
        field = self.query_one("#search-field", Field)
        before = field.text if self.focused is field.input else ""  # keys that came before the field changed
        field.input.select_on_focus = False  # the next letter goes behind this one, not in its place
        field.ask(before + letter)
        field.input.cursor_position = len(field.text)
        self._touched = True

    @property
    def _formula(self) -> Formula | None:
        return None if self._shown is None else self._shown.file.formula

    def weigh(self) -> None:
        """Work out what the fields come to, and show it."""
        self._ready = None
        words: list[Content] = []
        sized = read_size(self._fields)
        if self._formula is not None and sized is not None:
            try:
                asked = Asked(self._formula, sized, self._yeast)
                self._ready, words = worked_out(asked, self.live.kitchen, self._habits, self.live.clock.stamp())
            except Failure as failure:
                words = [outside(f"✗ {failure.message} {failure.remedy}", most=400).stylize("bold $text-error")]
        if sized is None:
            words = [own("✗ Correct the marked field first.", "bold $text-error")]
        self.query_one("#comes-to", Prose).say(words)
        self.call_after_refresh(self._reach)
        self.query_one("#begin", Button).disabled = self._ready is None

    def _reach(self) -> None:
        """Words that do not all fit can be gone to and scrolled."""
        result = self.query_one("#result", VerticalScroll)
        result.can_focus = result.max_scroll_y > 0

    @on(Rows.Chosen, "#formulas")
    def _to_sizes(self) -> None:
        self.action_size()

    def action_size(self) -> None:
        """To the fields of the formula under the cursor, or of the one that is about to be read."""
        if self._formula is not None or (self._shown is None and not self._settled):
            self._touched = True
            # At once: keys may be under way already.
            self.set_focus(self._fields["pieces"].input)
        else:
            self.answer("This file has faults: correct it first, or choose another.", wrong=True)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        if event.input.id == "path":
            self._open_path()
            return
        if event.input.id == "search":
            self._rows.focus()
            return
        names = [name for name, field in self._fields.items() if field.display or name == event.input.id]
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
        if not (self._shelf.whole and (self._settled or self._touched)):
            # What stands on top may still change.
            self._asked_to_wait = True
            self.answer("Still loading: check which formula is chosen, then begin.", wrong=True)
            return
        self._asked_to_wait = False
        if self._ready is None:
            self.answer(NOT_YET, wrong=True)
            return
        out, known = self._ready
        formula = known.formula
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
        if self._formula is not None:
            hold_dose(self._fields, self._formula, self._yeast)
        self.weigh()

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
