"""Two logs of one bake that went on differently from some event on: the other's end put behind the end of ours.

As where a bench went on in memory and wrote that into another file, while somebody else added to the journal.
"""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.decisions.joining import joined, shared
from proofbell.bake.events import Event
from proofbell.bake.fold import apply, fold
from proofbell.bake.record import Row, chained_digest, from_row, to_row
from proofbell.bake.steps import ImpossibleError
from proofbell.journal.faults import JournalFault
from proofbell.journal.reviews.wording import event_words
from proofbell.journal.storage.store import Journal
from proofbell.plain import PlainError


def put_behind(journal: Journal, rows: Sequence[Row]) -> tuple[Row, ...] | None:
    """What is to be added to ``journal`` so that it has what only ``rows``, another log of a bake, say.

    What is not possible any more after what is here becomes a note. Nothing is to be added when they were joined
    before. None: they cannot be joined, since one of them cannot be read to its end, or they share no beginning.
    """
    try:
        ours, theirs = journal.events_of(rows[0].bake), _events(rows)
        count = shared(ours, theirs)
        return _behind(ours, theirs[count:], count) if count else None
    except (JournalFault, PlainError, ImpossibleError):
        return None


def _behind(ours: Sequence[Event], other: Sequence[Event], count: int) -> tuple[Row, ...] | None:
    state = fold(ours[:count])

    def instead(event: Event) -> str:
        return f"Entered in another log of this bake, and no longer possible: {event_words(event.body, state.formula)}"

    for event in ours[count:]:
        state = apply(state, event)
        at = state.last.number
        if at == len(ours) or joined(state, other[:1], instead).last.digest != ours[at].digest:
            continue
        # It was put behind this event before; numbers and digests follow from the events, so they are the same.
        again = joined(state, other, instead).events
        return () if shared(again, ours) == len(again) else None
    return tuple(to_row(event) for event in joined(state, other, instead).events[len(ours) :])


def _events(rows: Sequence[Row]) -> list[Event]:
    """The events of a whole log. Raises PlainError: it is not whole, or cannot be read here."""
    digest = ""
    for number, row in enumerate(rows, start=1):
        if row.number != number or chained_digest(digest, row) != row.digest:
            raise PlainError(f"event {number} of bake {row.bake} does not follow the one before it")
        digest = row.digest
    events = [from_row(row) for row in rows]
    fold(events)
    return events
