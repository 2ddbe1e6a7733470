"""What came of a word that a command said to a bake, and what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proofbell.bake.events import BakeOpened, Event
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.ways_words import batch_words
from proofbell.cli.printed.bench_text import Seen, bake_plain, next_of, next_plain, next_words
from proofbell.cli.printed.printing import print_json
from proofbell.frozen import dataclass
from proofbell.journal.reviews.wording import event_words
from proofbell.visible import visible
from proofbell.words import sentence

TWICE = "that was said a moment ago. A second press within 2 s changes nothing."


@dataclass(frozen=True, slots=True)
class Told:
    """The bake after it, the events that it made (none for a press that came twice), and the bench then."""

    state: BakeState
    events: Sequence[Event]
    seen: Seen

    @property
    def did(self) -> list[str]:
        return [sentence(visible(self._words(event), most=300)) for event in self.events]

    def _words(self, event: Event) -> str:
        if isinstance(event.body, BakeOpened):
            return f"on the bench, {batch_words(self.state.batch)}"
        return event_words(event.body, self.state.formula)


def print_told(told: Told, *, as_json: bool) -> None:
    """In words, or as one JSON document."""
    if as_json:
        print_json(told_plain(told))
    else:
        print(told_text(told))


def told_plain(told: Told) -> dict[str, Any]:
    """The document of ``done --json`` and its neighbours; ``told.schema.json`` describes it."""
    view, coming = told.seen.board.of(told.state.id), next_of(told.seen, told.state.id)
    return {
        "changed": bool(told.events),
        "did": told.did,
        **({} if view is None else bake_plain(told.seen, view)),
        "next": None if coming is None else next_plain(coming),
    }


def told_text(told: Told) -> str:
    """``A  Harbour rolls: Mix ended. First proof began.`` and below it what comes next."""
    name = f"{told.state.letter}  {visible(told.state.formula.name, most=60)}: "
    coming = next_of(told.seen, told.state.id)
    lines = [name + (" ".join(told.did) or TWICE)]
    lines += [] if coming is None else [f"Next  {next_words(coming, told.seen.now)}"]
    return "\n".join(lines)
