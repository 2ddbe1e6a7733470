"""Finds the live bake that a command speaks of: by its letter or name, or the only one there is."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence

from proofbell.bake.fold import fold
from proofbell.bake.state import BakeState
from proofbell.bake.steps import ImpossibleError
from proofbell.errors import Failure
from proofbell.frozen import dataclass
from proofbell.journal.faults import JournalFault, KeptBusy
from proofbell.journal.storage.store import Journal
from proofbell.visible import visible


def add_bake(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--bake", metavar="A", help="the bake's letter, or the beginning of its name; not needed when only one is live"
    )


@dataclass(frozen=True, slots=True)
class LiveBakes:
    """The live bakes, and by its name each that cannot be read."""

    states: Sequence[BakeState]
    unread: Mapping[str, JournalFault]

    def chosen(self, named: str | None) -> BakeState:
        """The one that is named; without a name the only one. Raises Failure: there is none, or more than one."""
        if not self.states:
            raise next(iter(self.unread.values()), None) or no_bake()
        known = listed(self.states)
        if named is None:
            if len(self.states) > 1:
                raise Failure("Several bakes are live.", f"Say which with --bake: {known}.")
            return self.states[0]
        found = self._meant(named.strip())
        if len(found) > 1:
            raise Failure(
                f"{visible(named, most=60)} matches {len(found)} live bakes: {listed(found, by_name=True)}.",
                "Say which with --bake and enough of the name in brackets.",
            )
        if found:
            return found[0]
        hurt = [bake for bake in self.unread if named.strip() and bake.startswith(named.strip())]
        if hurt:
            raise self.unread[hurt[0]]
        also = f" Unreadable: {', '.join(visible(bake) for bake in self.unread)}." if self.unread else ""
        raise Failure(f"There is no live bake {visible(named, most=60)}.", f"Live are: {known}.{also}")

    def _meant(self, named: str) -> list[BakeState]:
        """Those that go by this letter; else the one of this name; else those whose name begins so."""
        by_letter = [state for state in self.states if state.letter == named.upper()]
        whole = [state for state in self.states if state.id == named]
        return by_letter or whole or [state for state in self.states if named and state.id.startswith(named)]


def live_in(journal: Journal) -> LiveBakes:
    """The live bakes of a journal; one that cannot be read keeps nothing from the others.

    Raises KeptBusy: another program keeps the file busy.
    """
    live: list[BakeState] = []
    unread: dict[str, JournalFault] = {}
    for bake in journal.live_bakes():
        try:
            live.append(fold(journal.events_of(bake)))
        except ImpossibleError as error:
            unread[bake] = JournalFault(f"the log of bake {bake} makes no sense: {error}", "journal verify says more")
        except KeptBusy:
            raise
        except JournalFault as fault:
            unread[bake] = fault
    return LiveBakes(live, unread)


def listed(live: Sequence[BakeState], *, by_name: bool = False) -> str:
    """``A Harbour rolls, B Pier loaf``; with their names in the journal where letters do not tell them apart."""
    letters = [state.letter for state in live]
    return ", ".join(
        f"{state.letter} {visible(state.formula.name, most=60)}"
        + (f" ({visible(state.id)})" if by_name or letters.count(state.letter) > 1 else "")
        for state in live
    )


def no_bake() -> Failure:
    return Failure("No bake is live.", "Open the bench with proofbell and begin one.", status=1)
