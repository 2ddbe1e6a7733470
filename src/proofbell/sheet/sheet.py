"""The day for the wall: what stands on it, and its moments as the clock on that wall shows them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby

from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.bench.paper.cards import SheetCard, shared_cautions, sheet_card
from proofbell.bench.paper.rows import Goes, SheetRow, sheet_rows
from proofbell.bench.plan.reason_words import reason_words
from proofbell.bench.plan.timetable import BakeTimes, Timetable
from proofbell.clock import offset_min
from proofbell.clock_changes import changes
from proofbell.dough.safety import Caution
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.journal.reviews.moments import day, local, twice_mark
from proofbell.kitchen.model import Kitchen
from proofbell.planner.plan import Plan
from proofbell.planner.reasons import reasons_of
from proofbell.words import counted, hour_minute

DAY_CHARACTERS = 3
"""So much of a day is its weekday."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything on the sheet.

    ``cautions`` hold for the doughs of their letters (empty: for all). ``trouble``: why not all is as wanted.
    """

    kitchen: str
    bakes: tuple[BakeTimes, ...]
    rows: tuple[SheetRow, ...]
    cards: tuple[SheetCard, ...]
    cautions: tuple[tuple[str, Caution], ...]
    trouble: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """``Sat 5 Dec 2026: 12 doughs, the last ready at 12:20``."""
        begins_us = min([row.at_us for row in self.rows] or [bake.begins_us for bake in self.bakes])
        ready_us = max(bake.ready_us for bake in self.bakes)
        first, last = day_of(begins_us), day_of(ready_us)
        days = last if first == last else f"{_without_common(first, last)} to {last}"
        which = "ready at" if len(self.bakes) == 1 else "the last ready at"
        return f"{days}: {counted(len(self.bakes), 'dough')}, {which} {hour_of(ready_us)}"

    @property
    def days(self) -> Iterator[tuple[str, list[SheetRow]]]:
        for name, rows in groupby(self.rows, key=lambda row: day_of(row.at_us)):
            yield name, list(rows)

    @property
    def several_days(self) -> bool:
        return len({day_of(row.at_us) for row in self.rows}) > 1


def sheet_of(
    plan: Plan,
    table: Timetable,
    origin_us: int,
    kitchen: Kitchen,
    doughs: Mapping[str, tuple[Formula, WeighOut]],
) -> Sheet:
    """The sheet of a plan, with a card for each of the ``doughs``: by their letters, what is weighed for a formula."""
    begins_us = min(bake.hands_from_us for bake in table.bakes)
    notes = [(change.at_us, change.words) for change in changes(begins_us, table.ready_us)]
    return Sheet(
        kitchen.name,
        table.bakes,
        sheet_rows(table, kitchen, notes),
        tuple(sheet_card(bake, *doughs[bake.letter], kitchen) for bake in table.bakes if bake.letter in doughs),
        shared_cautions([(letter, weighed) for letter, (_, weighed) in doughs.items()]),
        tuple(
            reason_words(plan, reason, origin_us, lambda at_us: hour_of(at_us, table.ready_us))
            for reason in reasons_of(plan)
        ),
    )


def day_of(at_us: int) -> str:
    """``Sat 5 Dec 2026``."""
    return day(local(at_us, offset_min(at_us)))


def _without_common(first: str, last: str) -> str:
    """``Fri 4`` of Fri 4 Dec 2026, beside Sat 5 Dec 2026."""
    words, others = first.split(), last.split()
    while words[-1] == others[len(words) - 1]:
        words.pop()
    return " ".join(words)


def hour_of(at_us: int, beside_us: int | None = None) -> str:
    """``11:10``; with the weekday in front when that is not the one of the moment beside it, if one is given."""
    offset = offset_min(at_us)
    words = f"{hour_minute(local(at_us, offset))}{twice_mark(at_us, offset)}"
    other = beside_us is not None and day_of(at_us) != day_of(beside_us)
    return f"{day_of(at_us)[:DAY_CHARACTERS]} {words}" if other else words


def goes_words(goes: Goes, row: SheetRow) -> str:
    """``First proof until 10:04``; with the letter in a row about several doughs."""
    whose = f"{goes.letter} " if len(row.letters) > 1 else ""
    ready = ", ready" if goes.ready else ""
    if goes.stands_until_us is not None:
        ready += f"; it stands until {hour_of(goes.stands_until_us, row.at_us)}"
    return f"{whose}{goes.name} until {hour_of(goes.until_us, row.at_us)}{ready}"


def note_words(row: SheetRow) -> str:
    """``Nobody works until Sat 05:00``."""
    words = ", ".join(row.does)
    return f"{words} until {hour_of(row.until_us, row.at_us)}" if row.until_us > row.at_us else words


def did_words(row: SheetRow) -> tuple[str, str]:
    """What hands do in a row, and what they set the oven to with it; the first of the two with a capital."""
    hands = ", ".join(row.does)
    return (_capital(hands), row.oven) if hands else ("", _capital(row.oven))


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
