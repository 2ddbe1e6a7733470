"""Timers of the baker's own: a name and a length, beside all doughs. Each rings once, until it is answered."""

from __future__ import annotations

from typing import Literal

from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.intents import Refused, said
from proofbell.bake.stamp import Stamp, Timeline
from proofbell.bake.tasks import PromptId
from proofbell.frozen import dataclass

LETTER = "t"
"""What stands for a timer where a dough has its letter: the key that sets it."""

MOST_NAME = 30
"""As many letters as a line of what comes up has room for."""

LONGEST_S = 24 * 3600.0

MOST = 9
"""So many run at once: each has a digit in the list."""

Over = Literal["answered", "stopped"]
"""How a timer ended: somebody answered it when it rang, or stopped it before."""


@dataclass(frozen=True, slots=True)
class Timer:
    """One that runs. ``bake``: in whose log it stands; empty for none."""

    id: str
    name: str
    length_s: float
    set_at: Stamp
    bake: str = ""

    def left_s(self, now: Stamp) -> float:
        """What is left of it (s); less than nothing once it rings. No clock that is set moves it."""
        return self.length_s - Timeline(self.set_at).at(now) / 1_000_000

    def due_us(self, now: Stamp) -> int:
        """When it rings (UTC, µs), as the clock stands now."""
        return now.wall_us + round(self.left_s(now) * 1_000_000)

    @property
    def prompt(self) -> Prompt:
        return Prompt(PromptId("timer"), self.length_s, self.name)


def timer_refused(name: str, length_s: float, running: int) -> Refused | None:
    """Why there can be no such timer; None when there can."""
    if running >= MOST:
        return Refused(f"{MOST} timers run already.", "Stop one first.")
    if len(name) > MOST_NAME:
        return Refused("That name is too long.", f"At most {MOST_NAME} letters: a word or three.")
    if not 1 <= length_s <= LONGEST_S:
        return Refused("A timer runs for a second to 24 hours.", "Give a length between the two.")
    return None


def timer_name(typed: str) -> str:
    """The name as it is kept: on one line; ``timer`` for none."""
    return " ".join(said(typed).split()) or "timer"
