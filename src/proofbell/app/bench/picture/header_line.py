"""The line on top: clock, date, kitchen, oven; and whether this is a rehearsal or something is being saved."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.drawing.content import Piece, apart, own
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.session.local_time import clock_words, date_words
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.oven.now import OvenNow
from proofbell.bench.oven.words import oven_words
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.words import temperature


@dataclass(frozen=True, slots=True)
class Header:
    """What the line says. ``set_to``: what the oven's own dial shows, or is to show.

    ``speed`` is set in a rehearsal; ``held`` while its clock waits, ``key`` goes on while it waits for somebody.
    """

    now: Stamp
    room_c: float
    oven: OvenNow
    set_to: str = ""
    saving: bool = False
    speed: float | None = None
    held: bool = False
    key: str = ""


class HeaderLine(Sheet):
    """Draws the line; what has no room is left out whole, the clock last."""

    DEFAULT_CSS = """
    HeaderLine { height: 1; padding: 0 1; background: $panel; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._header: Header | None = None

    def show(self, header: Header) -> None:
        self._header = header
        self.draw()

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - one line
        """Two groups, to the left and to the right."""
        if self._header is None:
            return Content("")
        one = self._header
        left = [Piece(own(clock_words(one.now), "bold"), 0), Piece(own(date_words(one.now)), 4)]
        if one.saving:
            left.append(Piece(own("saving …", "bold $warning"), 1))
        if one.speed is not None:
            waits = ", waiting for you" if one.held or one.key else ""
            words = f"rehearsal × {one.speed:g}{waits}" + (f": {one.key}" if one.key else "")
            left.append(Piece(own(words, "bold $accent"), 2))
        right = [
            Piece(own(f"kitchen {temperature(one.room_c)}"), 5),
            Piece(own(f"oven {oven_words(one.oven, one.set_to)}"), 3),
        ]
        return apart(left, right, width)


def room_now_c(states: Sequence[BakeState], kitchen: Kitchen) -> float:
    """The newest that is known of the room (°C).

    The last reading of it in a live bake; else what the newest live bake was begun with; else the kitchen file's.
    """
    live = [state for state in states if state.closed is None]
    read = [
        (state.wall_us(reading.at_s), reading.value)
        for state in live
        for reading in state.readings
        if reading.what == "room temperature" and reading.value is not None
    ]
    if read:
        return max(read)[1]
    begun = [(state.wall_us(0.0), state.kitchen.room_c) for state in live]
    return max(begun)[1] if begun else kitchen.room_c
