"""The letter of a bake that comes from another journal: its own, or a free one when a live bake here has that."""

from __future__ import annotations

import sqlite3

from proofbell.bake.decisions.decide import decide
from proofbell.bake.fold import ImpossibleError, fold
from proofbell.bake.intents import Refused, TakeLetter
from proofbell.bake.letters import LETTERS
from proofbell.bake.record import from_row, to_row
from proofbell.bake.stamp import Stamp
from proofbell.journal.faults import LetterTaken
from proofbell.journal.storage import letters
from proofbell.journal.storage.lines import lines_of
from proofbell.journal.storage.rows import INSERT, values_of
from proofbell.plain import PlainError


class NoLetterLeft(Exception):  # noqa: N818 - it is no mistake of anybody
    """The bake is live, and no letter is free for it."""


def settle_letter(connection: sqlite3.Connection, bake: str, before: str | None, now: Stamp) -> str:
    """Give a bake whose events were just put in a letter of its own, inside the same transaction.

    ``before`` is the letter that it had before. Returns the letter that it goes by from now on, if that is another than
    its events said; nothing as a rule. Raises NoLetterLeft: all are taken; what was put in has to be taken out again.
    """
    try:
        letters.move(connection, bake, before)
    except LetterTaken as taken:
        free = next((letter for letter in LETTERS if letter not in taken.taken), None)
        if free is None:
            raise NoLetterLeft from taken
        _say(connection, bake, TakeLetter(free, f"{taken.letter} was taken"), now)
        letters.move(connection, bake, before)
        return free
    return ""


def _say(connection: sqlite3.Connection, bake: str, intent: TakeLetter, now: Stamp) -> None:
    try:
        decision = decide(fold(map(from_row, lines_of(connection, bake).rows)), intent, now)
    except (PlainError, ImpossibleError) as error:
        # A newer Proofbell wrote to it: its letter can only be settled by that one.
        raise NoLetterLeft from error
    if isinstance(decision, Refused):
        raise NoLetterLeft(decision.message)
    connection.executemany(INSERT, [values_of(to_row(event)) for event in decision])
