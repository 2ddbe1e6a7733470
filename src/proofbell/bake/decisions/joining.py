"""What one window remembers joined onto what another has stored meanwhile.

While a journal cannot be written, a bake goes on in memory. If somebody else has added to it by the time that it can
be written again, the events in memory follow those in the journal: with new numbers and digests, in their order, as
far as they are still possible.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake.events import Body, Event
from proofbell.bake.fold import apply
from proofbell.bake.record import make_event
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.steps import ImpossibleError


def joined(onto: BakeState, unsaved: Sequence[Event], instead: Callable[[Event], str]) -> BakeState:
    """The state ``onto`` with the events of ``unsaved`` after it.

    One that is not possible any more becomes a note in the words of ``instead``: it was said, and it is not lost.
    """
    state, number_of, decision_of = onto, dict[int, int](), dict[int, int]()
    for event in unsaved:
        number = state.last.number + 1
        number_of[event.number] = number
        decision = decision_of.setdefault(event.decision, number)
        stamp = _not_before(onto.last.stamp, event.stamp)
        body = _renumbered(event.body, number_of)
        try:
            state = apply(state, make_event(state.id, number, decision, stamp, body, state.last.digest))
        except ImpossibleError:
            note = kinds.NoteAdded(instead(event))
            state = apply(state, make_event(state.id, number, number, stamp, note, state.last.digest))
    return state


def shared(first: Sequence[Event], second: Sequence[Event]) -> int:
    """How many events two logs of a bake have in common, from the first on."""
    count = 0
    for one, other in zip(first, second, strict=False):
        if one.digest != other.digest:
            break
        count += 1
    return count


def _renumbered(body: Body, number_of: Mapping[int, int]) -> Body:
    """The body with the new numbers of the events that it names."""
    if isinstance(body, kinds.Corrected):
        return replace(body, events=tuple(number_of.get(number, number) for number in body.events))
    if isinstance(body, kinds.TimeAdjusted) and body.cause is not None:
        return replace(body, cause=number_of.get(body.cause, body.cause))
    if isinstance(body, kinds.TimeRebased):
        return replace(body, since=number_of.get(body.since, body.since))
    return body


def _not_before(last: Stamp, stamp: Stamp) -> Stamp:
    """A bake's time never goes back: what was said before the newest stored event counts from there."""
    if stamp.boot_id == last.boot_id:
        return stamp if stamp.boot_us >= last.boot_us else last
    return stamp if stamp.wall_us >= last.wall_us else last
