"""The failure that any command or screen can raise, in the words that a person is told."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from proofbell.faults import Fault, Source


class Failure(Exception):  # noqa: N818 - what a baker is told, not an error of the program
    """Something was asked that cannot be done; says what and how to put it right, in plain words.

    ``faults`` and ``source`` are set when a file is refused. ``status`` is the exit status of a command:
    1 could not, 2 wrong input.
    """

    def __init__(
        self,
        message: str,
        remedy: str = "",
        *,
        faults: tuple[Fault, ...] = (),
        source: Source | None = None,
        status: int = 2,
    ) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy
        self.faults = faults
        self.source = source
        self.status = status
