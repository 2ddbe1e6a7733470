"""The bakes of the bench by their ids, and what is to be told of them. Whoever changes one holds the lock meanwhile."""

from __future__ import annotations

import asyncio
from collections.abc import Container
from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.doubt import ran_on_s
from proofbell.bake.events import is_letter
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.board import board
from proofbell.journal.faults import LetterTaken
from proofbell.journal.reviews.wording import value_words

MOST_AWAY = 12
"""So many that were put away are still known: an undo brings one back, a page that shows one goes on."""


class BenchStates:
    """All live bakes, those just finished included; of those put away the newest are known, and not shown."""

    def __init__(self) -> None:
        self._states: dict[str, BakeState] = {}
        self._news: list[str] = []
        self._new_letters: dict[str, str] = {}
        self.one_at_a_time = asyncio.Lock()

    @property
    def all(self) -> tuple[BakeState, ...]:
        """In order of letters."""
        return tuple(sorted(self._states.values(), key=lambda state: (state.letter, state.id)))

    def shown(self, unsaved: Container[str]) -> tuple[BakeState, ...]:
        """Those that stand on the bench, in order of letters: one that was put away only while it is ``unsaved``."""
        return tuple(state for state in self.all if not state.away or state.id in unsaved)

    def get(self, bake: str) -> BakeState | None:
        return self._states.get(bake)

    def known(self, bake: str) -> BakeState:
        return self._states[bake]

    def add(self, state: BakeState) -> None:
        self._states.setdefault(state.id, state)

    def put(self, state: BakeState) -> None:
        """Put a bake there, in place of what it was before; the preferment that is in hand stays so while it runs."""
        before = self._states.get(state.id)
        if before is not None and before.in_hand in state.running:
            state = replace(state, in_hand=before.in_hand)
        self._states[state.id] = state

    def take_stage(self, bake: str, stage: int) -> None:
        """Take one of the stages that run in hand. Nothing happened to the dough: no log tells of it."""
        self._states[bake] = replace(self._states[bake], in_hand=stage)

    def forget_old(self, unsaved: Container[str]) -> None:
        """Keep no more than ``MOST_AWAY`` of those that were put away and are on the disk."""
        away = [state for state in self._states.values() if state.away and state.id not in unsaved]
        for state in sorted(away, key=lambda each: each.last.stamp.wall_us)[:-MOST_AWAY]:
            del self._states[state.id]

    def letters(self, but: str) -> set[str]:
        """The letters of the live bakes, but for one of them."""
        return {state.letter for state in self._states.values() if state.id != but and state.closed is None}

    def take_over(self, state: BakeState) -> None:
        """Put a bake there as another program has left it; readings among what is new are told of."""
        before = self._states.get(state.id)
        self.put(state)
        if before is not None:
            self.tell(*(f"{state.letter}: {words} came in." for words in _readings_since(before, state)))

    def refuse_two(self, before: BakeState | None, after: BakeState | None) -> None:
        """Two bakes on the bench never come to have one letter, whoever keeps them.

        Raises:
            LetterTaken: they would.
        """
        if after is None or after.closed is not None:
            return
        if before is not None and before.closed is None and before.letter == after.letter:
            return
        others = self.letters(but=after.id)
        if after.letter in others:
            raise LetterTaken(after.id, after.letter, frozenset(others))

    # -- what is to be told --------------------------------------------------------------------------------------

    def tell(self, *words: str) -> None:
        """Keep words until somebody asks for news."""
        self._news += words

    def tell_letter(self, before: BakeState | None, after: BakeState) -> None:
        """Keep it when a bake goes by another letter than before."""
        if before is not None and before.letter != after.letter:
            words = f"now has the letter {after.letter}: {taken_words(before.letter)}."
            self._new_letters[after.id] = f"{after.formula.name} {words}"

    def news(self) -> tuple[str, ...]:
        """What was to be told since this was last asked; each once."""
        told_now, self._news = tuple(self._news), []
        return told_now

    def new_letters(self) -> dict[str, str]:
        """The bakes with another letter since this was last asked, each with words for it."""
        told, self._new_letters = self._new_letters, {}
        return told


def taken_words(letter: str) -> str:
    """Why a bake does not keep its letter."""
    return f"{letter} is taken" if is_letter(letter) else "its log names none"


def _readings_since(before: BakeState, after: BakeState) -> list[str]:
    """``dough temperature 26.5 °C``, for each reading that ``before`` did not know."""
    known = {reading.number for reading in before.readings}
    new = [reading for reading in after.readings if reading.number not in known]
    return [f"{reading.what} {value_words(reading.what, reading.value, reading.eye)}" for reading in new]


def came_back(state: BakeState, seen: Stamp, now: Stamp) -> intents.Back:
    """What is said to a bake when the program is back at ``now``, having been ``seen`` last.

    It ran at the bake's last event too, which may be later: the clock may have been set between the two.
    """
    last = state.timeline.anchor
    if last.boot_id == seen.boot_id and last.boot_us > seen.boot_us:
        seen = last
    since = replace(state.timeline, anchor=seen, run_us=0)
    return intents.Back(since.at(now) / 1_000_000, ran_s=ran_on_s(state, seen, now))


def is_sound(state: BakeState, now: Stamp) -> bool:
    """Whether a bake can be shown; one that cannot hides no other."""
    try:
        board([state], now)
    except Exception:  # noqa: BLE001 - whatever it is, the other doughs are shown
        return False
    return True
