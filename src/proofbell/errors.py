"""What a person is told: faults and warnings in a file, and the failure that any command or screen can raise."""

from __future__ import annotations

from typing import Literal

from proofbell.frozen import dataclass

Level = Literal["error", "warning"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of one file.

    ``line`` and ``column`` count from 1 (0: the file as a whole). ``field`` is the path in words,
    such as ``stage 3 "First proof", time``. ``remedy`` says how to put it right.
    """

    level: Level
    message: str
    remedy: str = ""
    field: str = ""
    line: int = 0
    column: int = 0
    length: int = 1

    @property
    def is_error(self) -> bool:
        """Whether the file is refused for it."""
        return self.level == "error"


@dataclass(frozen=True, slots=True)
class Source:
    """The text that faults point into, and the name it goes by on the screen."""

    name: str
    text: str


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
