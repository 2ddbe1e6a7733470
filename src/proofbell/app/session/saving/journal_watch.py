"""What the program asks of its journal beside what is said to the bakes; what is wrong stands among the troubles."""

from __future__ import annotations

from pathlib import Path

from proofbell.app.session.live import Live
from proofbell.app.session.saving.last_words import left_behind
from proofbell.app.session.troubles import ABOUT, JOURNAL, Troubles
from proofbell.errors import Failure

SAW_EVERY_US = 60_000_000
"""How often the journal is told that the program still runs."""

DAMAGED_REMEDY = (
    "After you quit, run proofbell journal verify to see what is wrong, proofbell journal rescue FILE to save what can "
    "be read, proofbell journal restore to see the backups"
)
"""How a file is put right that was found damaged when it was looked through."""


class JournalWatch:
    """Looks after the journal of a bench; ``file`` is where it lies, None where nothing is kept."""

    def __init__(self, live: Live, troubles: Troubles, file: Path | None) -> None:
        self._live = live
        self._troubles = troubles
        self._file = file
        self._saw_us: int | None = None

    async def take_up(self) -> bool:
        """Try to take up what was live; False: it cannot be read yet."""
        try:
            await self._live.take_up()
        except Failure as failure:
            self._troubles.tell("journal", JOURNAL, failure.message, failure.remedy)
            return False
        self._troubles.over("journal")
        return True

    async def look_for_what_was_left(self) -> None:
        """Tell of what could not be saved when the program last closed."""
        for path in () if self._file is None else left_behind(self._file):
            if await self._live.keeper.holds(path):
                continue
            self._troubles.tell(
                f"left {path}",
                ABOUT,
                f"What could not be saved when Proofbell last closed is in {path}",
                f"Quit and run: proofbell journal restore {path}",
                until_seen=True,
            )

    async def look_through(self) -> bool:
        """Whether it is damaged: that may show in nothing else until it is too late for a backup."""
        damaged = await self._live.keeper.is_damaged()
        if damaged:
            self._troubles.tell(
                "damaged", JOURNAL, "The journal file is damaged; your doughs keep running", DAMAGED_REMEDY
            )
        return damaged

    async def look_round(self, real_us: int) -> None:
        """What another program has added; and each minute, that this one runs."""
        if self._live.phase != "ready":
            return
        try:
            await self._live.look_again()
            if self._saw_us is None or real_us - self._saw_us >= SAW_EVERY_US:
                self._saw_us = real_us
                await self._live.keeper.saw(self._live.clock.stamp())
        except Failure as failure:
            self._troubles.tell("journal", JOURNAL, failure.message, failure.remedy)
        else:
            self._troubles.over("journal")

    async def back_up(self) -> None:
        """A bake is over: what stands in the journal is copied, and told of only where that fails."""
        failed = await self._live.keeper.back_up()
        if failed:
            self._troubles.tell("backup", ABOUT, failed, until_seen=True)
