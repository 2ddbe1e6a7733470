"""Faults and warnings of a file that a person wrote: what is wrong, where, and how to put it right."""

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
