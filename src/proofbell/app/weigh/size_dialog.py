"""Another size for a bake that is on: typed on one line, shown before it is taken, line by line."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.line_input import LineInput
from proofbell.app.session.kept import kept_words
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.weigh.weigh_words import size_told
from proofbell.app.widgets.host import TROUBLE_KEY, HostedModal
from proofbell.app.widgets.prose import Prose, set_in
from proofbell.app.widgets.rows import Rows, columns
from proofbell.bake.intents import Refused
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.bowls import Vessel, bowl_words
from proofbell.bake.weigh.in_bowl import dough_is
from proofbell.bake.weigh.resizing import Changed, Resizing
from proofbell.bake.weigh.size_typed import read_size
from proofbell.bake.weigh.ways import Way, Ways, ways
from proofbell.bake.weigh.ways_words import DIVIDED, cannot_words, still_to_add, way_words
from proofbell.errors import Failure
from proofbell.quantities import QuantityError
from proofbell.words import as_counted, weight

EXAMPLES = "16   16 x ‹80 g›   ‹80 g› each   ‹1.8 kg› dough   ‹700 g› flour"
FRAME = 9
"""Lines of the dialog that are always there: its edges, what is typed, examples, keys, and what is left free."""


class SizeDialog(HostedModal[str | None]):
    """Enter takes what is shown, esc leaves the size as it is. Dismisses with what to say of it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", "leave"),
        ("up", "way(-1)", "way above"),
        ("down", "way(1)", "way below"),
        ("pageup", "leaf(-1)", "page up"),
        ("pagedown", "leaf(1)", "page down"),
        TROUBLE_KEY,
    ]
    DEFAULT_CSS = """
    SizeDialog { align: center middle; }
    SizeDialog .line { height: 1; }
    SizeDialog .label { width: 10; }
    SizeDialog #size { width: 24; }
    SizeDialog #ways { height: 0; margin-top: 1; }
    SizeDialog #list { height: auto; margin-top: 1; }
    """

    def __init__(self, live: Live, bake: str) -> None:
        super().__init__()
        self._live, self._bake = live, bake
        self._ways = Ways(())
        self._now = self._wrong = Content("")
        self._saving = False

    @property
    def _state(self) -> BakeState | None:
        return self._live.state(self._bake)

    def compose(self) -> ComposeResult:
        """The size as it is, the line to type, the ways to it, what each weighs."""
        with Vertical(classes="dialog"):
            yield Prose(id="now")
            with Horizontal(classes="line"):
                yield Static(own("New size"), classes="label")
                yield LineInput(id="size", max_length=60, compact=True)
            yield Static(own(f"such as {as_counted(EXAMPLES)}", "$quiet"), id="examples")
            yield Prose(id="wrong")
            yield Rows(id="ways")
            with VerticalScroll(id="list"):
                yield Static(id="lines")
            yield Prose(id="notes")
            yield Static(own("enter save   ↑↓ other way   esc cancel"), classes="keys")

    def on_mount(self) -> None:
        """The cursor in the line; of the lists none takes it."""
        state = self._state
        if state is not None:
            self.query_one(".dialog").border_title = outside(f"{state.letter}  {state.formula.name}", most=50)
            self._now = _now_words(state)
            self.query_one("#now", Prose).say([self._now])
        self.query_one("#ways", Rows).can_focus = False
        self.query_one("#list", VerticalScroll).can_focus = False
        self._tell(self._read()[1])
        self.query_one("#size", Input).focus()
        self.call_after_refresh(self._show)

    def on_resize(self) -> None:
        self._show()

    @on(Input.Changed, "#size")
    def _typed(self) -> None:
        self._ways, words = self._read()
        self._tell(words)
        self.query_one("#ways", Rows).cursor = 0
        self._show()

    def _read(self) -> tuple[Ways, str]:
        """The ways to what is typed, and why it cannot be."""
        state, typed = self._state, self.query_one("#size", Input).value
        if state is None or not typed.strip():
            return Ways(()), DIVIDED if state is not None and dough_is(state) == "divided" else ""
        try:
            found = ways(state, read_size(typed))
        except QuantityError as error:
            return Ways(()), in_words(Failure(error.message, error.remedy))
        except Failure as failure:
            return Ways(()), in_words(failure)
        why, otherwise = cannot_words(state, found)
        return found, f"{why} What can be:" if found.all and why else in_words(Refused(why, otherwise))

    def _tell(self, words: str) -> None:
        self._wrong = outside(words, most=400).stylize("bold $warning")
        self.query_one("#wrong", Prose).say([self._wrong])
        self.query_one("#wrong").display = bool(words)

    def _show(self) -> None:
        state, rows, found = self._state, self.query_one("#ways", Rows), self._ways.all
        rows.show(len(found), lambda row, _: outside(way_words(found[row])).stylize("bold"))
        rows.styles.height = len(found)
        width = self.query_one("#examples").content_size.width
        lines: list[Content] = []
        notes: list[Content] = []
        if state is not None and found:
            way = found[rows.cursor].found
            lines, notes = change_lines(state, way, max(20, width - 1)), notes_of(way)
        self.query_one("#lines", Static).update(Content("\n").join(lines))
        self.query_one("#notes", Prose).say(notes)
        for part, there in (("#notes", notes), ("#list", lines), ("#ways", found)):
            self.query_one(part).display = bool(there)
        told = [line for each in (self._now, self._wrong, *notes) if each and width for line in set_in(each, width)]
        room = self.size.height - FRAME - len(told) - len(found)
        self.query_one("#list", VerticalScroll).styles.max_height = max(4, room)

    def action_way(self, by: int) -> None:
        self.query_one("#ways", Rows).cursor += by
        self._show()

    def action_leaf(self, by: int) -> None:
        room = self.query_one("#list", VerticalScroll)
        room.scroll_relative(y=by * max(1, room.size.height - 1), animate=False)

    @on(Rows.Moved, "#ways")
    def _moved(self) -> None:
        self._show()

    @on(Input.Submitted)
    def _entered(self) -> None:
        found = self._ways.all
        if found and not self._saving:
            self._saving = True
            self.host.in_background(self._take(found[self.query_one("#ways", Rows).cursor]))

    async def _take(self, way: Way) -> None:
        try:
            refused = await self.host.say(self._bake, way.intent)
        finally:
            self._saving = False
        if refused is not None:
            self._tell(in_words(refused))
        elif self.app.screen is self:
            state = self._state
            added = " Add to the bowl what is listed." if state is not None and still_to_add(state) else ""
            done = f"Now {way_words(way)}.{added}"
            self.dismiss(kept_words(self._live, self._bake, done))

    def action_leave(self) -> None:
        self.dismiss(None)


def _now_words(state: BakeState) -> Content:
    """The size that holds, and what it still wants added to the bowl."""
    added = still_to_add(state)
    words = f"Now {size_told(state)}."
    return outside(words + (f" Still to add: {added}." if added else ""), most=400)


def change_lines(state: BakeState, found: Resizing, width: int) -> list[Content]:
    """A head, and a line for each thing to weigh, by bowl, in the order of the weigh-out."""
    poured = any(each.in_bowl_g > 0 for each in found.lines)
    lines = [_line(own("into the bowl"), ("now", "then", "there", "add") if poured else ("now", "then"), width, "dim")]
    for number, bowl in enumerate(found.batch.bowls):
        first = found.lines[bowl[0]].line
        if number or first.into or first.use != "dough":
            stages = [stage.name for stage in state.formula.stages]
            vessel: Vessel = "preferment" if first.into else first.use
            lines.append(outside(bowl_words(vessel, first.into, None, first.at, stages)).stylize("bold $accent"))
        for index in bowl:
            each = found.lines[index]
            told = [_told(each, each.before_g), _told(each, each.line.grams)]
            if poured:
                told += [_told(each, each.in_bowl_g), _told(each, each.add_g)]
            lines.append(_line(outside(each.line.name), tuple(told), width, "bold" if each.add_g else "dim"))
    return lines


def _told(changed: Changed, value_g: float) -> str:
    return weight(value_g, min(1.0, changed.step_g)) if value_g > 0 else "–"


def _line(name: Content, told: tuple[str, ...], width: int, style: str) -> Content:
    return columns([(name.stylize(style), 0), *((own(each, style), -9) for each in told)], width)


def notes_of(found: Resizing) -> list[Content]:
    """What the weigh-out of the new size warns of."""
    return [Content.assemble(own("! ", "bold $warning"), outside(each, most=300)) for each in found.warnings][:2]
