"""What was saved of a damaged journal and what is lost, bake by bake, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.record import Row, from_row
from proofbell.bake.state import BakeState
from proofbell.bake.steps import ImpossibleError
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.journal.recovery.salvage import Log, Salvaged
from proofbell.journal.reviews.moments import clock, day, local
from proofbell.journal.reviews.wording import event_words
from proofbell.plain import PlainError
from proofbell.words import counted

_MOST = 200


@dataclass(frozen=True, slots=True)
class Saved:
    """One bake: how many events of it are saved, which are lost, and in words those that cannot be joined on.

    ``formula`` and ``letter`` are empty when its beginning is lost. ``began_us`` is the moment (UTC) of the earliest
    event that can be read. ``mended`` are the numbers of events in which one bit was turned back. ``newer`` says that
    a newer Proofbell wrote to it, ``live`` that it is on the bench.
    """

    bake: str
    formula: str
    letter: str
    began_us: int
    offset_min: int
    saved: int
    lost: tuple[int, ...] = ()
    not_joined: tuple[str, ...] = ()
    mended: tuple[int, ...] = ()
    live: bool = False

    @property
    def whole(self) -> bool:
        """Whether nothing of it is lost."""
        return not self.lost and not self.not_joined

    @property
    def name(self) -> str:
        """``Harbour knots, bake A of Sat 14 Mar 2026 08:00``."""
        began = local(self.began_us, self.offset_min)
        when = f"{day(began)} {clock(began)}"
        return f"{self.formula}, bake {self.letter} of {when}" if self.formula else f"a bake of {when}"

    def words(self) -> Iterator[str]:
        parts = [f"events 1–{self.saved} saved" if self.saved > 1 else f"event {self.saved} saved"]
        if not self.saved:
            parts = ["nothing saved"]
        if self.lost:
            parts.append(f"{ranges(self.lost)} lost")
        if self.not_joined:
            parts.append(f"{counted(len(self.not_joined), 'later event')} could not be joined on")
        yield f"{self.name} ({self.bake}): {', '.join(parts)}"
        yield from (f"  {line}" for line in self.not_joined)


@dataclass(frozen=True, slots=True)
class Damage:
    """What came out of a damaged journal; ``strays`` are events that belong to no bake that is left, in words.

    ``letters`` are those that live bakes got in the new journal, since another live one had theirs.
    """

    bakes: tuple[Saved, ...]
    strays: tuple[str, ...] = ()
    unreadable: int = 0
    letters: Mapping[str, str] = field(default_factory=dict)

    @property
    def events(self) -> int:
        return sum(bake.saved for bake in self.bakes)

    @property
    def nothing_lost(self) -> bool:
        return not self.strays and not self.unreadable and all(bake.whole for bake in self.bakes)


def damage_of(salvaged: Salvaged) -> Damage:
    """Sum up a salvage: what was saved and what was lost, by bake."""
    strays = tuple(f"{row.bake}, {_event_words(row, None)}" for row in salvaged.unplaced)
    return Damage(tuple(map(saved_of, salvaged.logs)), strays, salvaged.unreadable)


def saved_of(log: Log) -> Saved:
    state = state_of(log)
    first = min((*log.rows[:1], *log.loose), key=lambda row: row.wall_us, default=None)
    saved = Saved(
        bake=log.bake,
        formula="",
        letter="",
        began_us=first.wall_us if first else 0,
        offset_min=first.offset_min if first else 0,
        saved=len(log.rows),
        lost=log.lost,
        not_joined=tuple(_event_words(row, state) for row in log.loose),
        mended=log.mended,
    )
    if state is None:
        return saved
    return replace(
        saved, formula=state.formula.name, letter=state.letter, live=state.closed is None and closing_of(log) is None
    )


def state_of(log: Log) -> BakeState | None:
    """The bake as far as this program can read it; None when not even its beginning can be read."""
    events: list[Event] = []
    for row in log.rows:
        try:
            events.append(from_row(row))
        except PlainError:
            break
    try:
        return fold(events)
    except ImpossibleError:
        return None


def closing_of(log: Log) -> tuple[Row, kinds.BakeClosed] | None:
    """The closing among the events that cannot be joined on, if one stands: then the bake is over."""
    found: tuple[Row, kinds.BakeClosed] | None = None
    for row in log.loose:
        body = _body(row)
        if isinstance(body, kinds.BakeClosed):
            found = (row, body)
        elif found and isinstance(body, kinds.Corrected) and body.undone and found[0].number in body.events:
            found = None
    return found


def ranges(numbers: Sequence[int]) -> str:
    """``event 42``, ``events 42–44 and 47``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs]
    words = said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"
    return ("event " if len(numbers) == 1 else "events ") + words


def _event_words(row: Row, state: BakeState | None) -> str:
    at = local(row.wall_us, row.offset_min)
    return f"event {row.number}, {at:%Y-%m-%d %H:%M:%S}: {_said(row, state.formula if state else None)}"


def _said(row: Row, formula: Formula | None) -> str:
    body = _body(row)
    if isinstance(body, kinds.BakeOpened):
        formula = body.formula
    if body is not None and formula is not None:
        try:
            return event_words(body, formula)[:_MOST]
        except (LookupError, ValueError, TypeError):
            pass
    return f"{row.name} {row.body}"[:_MOST]


def _body(row: Row) -> kinds.Body | None:
    try:
        return from_row(row).body
    except (PlainError, TypeError, ValueError, OverflowError):
        return None


def as_json(damage: Damage) -> dict[str, object]:
    return {
        "bakes": [
            {
                "bake": bake.bake,
                "formula": bake.formula,
                "letter": bake.letter,
                "letter_now": damage.letters.get(bake.bake, bake.letter),
                "began": local(bake.began_us, bake.offset_min).isoformat(timespec="seconds"),
                "live": bake.live,
                "events_saved": bake.saved,
                "events_lost": list(bake.lost),
                "events_mended": list(bake.mended),
                "not_joined": list(bake.not_joined),
            }
            for bake in damage.bakes
        ],
        "events_saved": damage.events,
        "strays": list(damage.strays),
        "unreadable": damage.unreadable,
        "nothing_lost": damage.nothing_lost,
    }
