"""What can go wrong between a decision and the disk, each in words that say what to do."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.errors import Failure
from proofbell.frozen import dataclass


class JournalFault(Failure):
    """The journal cannot do what was asked; exit status 1."""

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message, remedy, status=1)


class NotAJournal(JournalFault):
    """The file belongs to another program, or is no database at all."""


class CannotOpen(JournalFault):
    """The journal's file or folder cannot be opened or made."""


class FileDamaged(CannotOpen):
    """The file is a journal, but so damaged that it cannot be opened."""


class CannotRead(JournalFault):
    """Nothing can be read at this moment; the lines themselves may be well."""


class KeptBusy(JournalFault):
    """Another program keeps the journal busy: it will be free in a moment."""


class BusyOpening(CannotOpen, KeptBusy):
    """The journal cannot be opened yet, since another program is at it."""


class BusyReading(CannotRead, KeptBusy):
    """The journal cannot be read yet, since another program is at it."""


class NotSaved(JournalFault):
    """An event is certainly not in the journal, and why; the decision may be tried again."""


class ReadingOnly(NotSaved):
    """Something was to be written to a journal that is open for reading only."""


class DiskFull(NotSaved):
    """There is no room left for the event, not even after the reserve was given up."""


class Busy(NotSaved, KeptBusy):
    """Another program did not let go of the journal for as long as one waits for it."""


class WriteProtected(NotSaved):
    """The file or its folder may not be written to."""


class FileGone(NotSaved):
    """The file was removed, or another has its name, or its folder is gone. Close the journal and open it again."""


class DiskFault(NotSaved):
    """The disk reported a fault."""


class SavingUnknown(JournalFault):
    """The disk gave no clear answer and cannot be asked: the event may or may not be there."""


class LetterTaken(JournalFault):
    """A bake was to have a letter that another live one has; nothing was stored. ``taken``: all letters in use."""

    def __init__(self, bake: str, letter: str, taken: frozenset[str]) -> None:
        super().__init__(f"another bake on the bench has the letter {letter}", "give this one another letter")
        self.bake = bake
        self.letter = letter
        self.taken = taken


class StaleDecision(JournalFault):
    """Another window changed this bake first; look at it again, then decide."""

    def __init__(self, bake: str, expected: int, found: int) -> None:
        super().__init__(
            f"bake {bake} has moved on: {found} events are there, {expected} were known here",
            "look at the bake as it is now, then decide again",
        )
        self.bake = bake
        self.expected = expected
        self.found = found


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a log cannot be read from some event on. ``newer``: it is well, but a newer Proofbell wrote it."""

    words: str
    newer: bool = False

    def __str__(self) -> str:
        return self.words

    @property
    def sentence(self) -> str:
        """The problem as a sentence above the part of the log that can be read."""
        if self.newer:
            return (
                f"Not all of this log can be read here: {self.words}. Only what came before is shown; "
                "the newer one shows it all."
            )
        return f"The log is damaged: {self.words}. Only what came before is shown."


class NewerLog(JournalFault):
    """A newer Proofbell has written to this bake: nothing is wrong with it, but it cannot be read to its end here."""

    def __init__(self, bake: str, problem: Problem) -> None:
        super().__init__(
            f"bake {bake}: a newer Proofbell wrote to it",
            f"install that one to go on with it; nothing of it is lost ({problem})",
        )
        self.bake = bake


class Damaged(JournalFault):
    """Stored events do not agree with their digests, or cannot be read."""

    def __init__(self, bake: str, problems: Sequence[Problem | str]) -> None:
        super().__init__(
            f"the log of bake {bake} is damaged: {problems[0]}",
            "keep the file as it is, and compare with the newest backup (proofbell journal verify)",
        )
        self.bake = bake
        self.problems = problems


def unreadable(bake: str, problems: Sequence[Problem]) -> JournalFault:
    """The fault of a bake whose log cannot be read to its end: damaged, or only written by a newer Proofbell."""
    damage = [problem for problem in problems if not problem.newer]
    return Damaged(bake, damage) if damage else NewerLog(bake, problems[0])
