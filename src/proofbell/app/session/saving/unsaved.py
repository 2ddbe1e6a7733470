"""Which bakes hold events that are not on the disk yet, and why they are not. Pure."""

from __future__ import annotations

from collections.abc import Iterable

from proofbell.bake.state import BakeState
from proofbell.errors import Failure


class Unsaved:
    """Bakes in the order in which they began to be unsaved, each with the number of its last event that is stored."""

    def __init__(self) -> None:
        self._stored: dict[str, int] = {}
        self.fault: Failure | None = None
        """What keeps them from being stored, as last met."""

    def __bool__(self) -> bool:
        return bool(self._stored)

    def __contains__(self, bake: object) -> bool:
        return bake in self._stored

    @property
    def bakes(self) -> tuple[str, ...]:
        """Their ids; the first is to be stored first."""
        return tuple(self._stored)

    def add(self, bake: str, stored: int, fault: Failure | None = None) -> None:
        """From event ``stored`` on the bake is unsaved; one that is so already stays where it stands."""
        self._stored.setdefault(bake, stored)
        self.fault = fault or self.fault

    def failed(self, fault: Failure) -> None:
        """It was tried again, in vain."""
        self.fault = fault

    def saved(self, bake: str, stored: int, last: int) -> None:
        """The bake is on the disk up to event ``stored``; ``last`` is the newest that is known."""
        if stored >= last:
            self._stored.pop(bake, None)
        elif bake in self._stored:
            self._stored[bake] = stored
        if not self._stored:
            self.fault = None

    def stored(self, state: BakeState) -> int:
        """The number of the bake's last event that is on the disk."""
        return self._stored.get(state.id, state.last.number)

    def count(self, states: Iterable[BakeState]) -> int:
        """How many events are in memory only."""
        return sum(max(0, state.last.number - self.stored(state)) for state in states)
