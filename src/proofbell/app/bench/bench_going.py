"""Where the bench's keys lead: another dough, another screen, out of the program."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

from proofbell.app.bench.strips import Strips
from proofbell.bench.agenda import ahead
from proofbell.clock import FastClock
from proofbell.visible import visible
from proofbell.words import counted

if TYPE_CHECKING:
    from proofbell.app.bench.bench_screen import BenchScreen


class BenchGoing:
    """The ways out of the bench. Screens are imported when they are first wanted: the bench paints sooner."""

    @property
    def _here(self) -> BenchScreen:
        return cast("BenchScreen", self)

    def action_next_dough(self) -> None:
        """Go to the next dough that needs something."""
        self._here.take(self._here.board.after(self._here.in_hand))

    def action_dough_after(self) -> None:
        """The dough one row below."""
        self._here.take(self._here.board.beside(self._here.in_hand, 1))

    def action_dough_before(self) -> None:
        """The dough one row above."""
        self._here.take(self._here.board.beside(self._here.in_hand, -1))

    def came_back(self, bake: str | None) -> None:
        """From another screen, perhaps with a bake to take in hand."""
        if bake is not None:
            self._here.in_hand = bake

    async def action_start(self) -> None:
        """Choose a formula and put it on the bench."""
        from proofbell.app.start.start_screen import StartScreen

        here = self._here
        first = not here.live.states
        here.our_app.hold(on=True)
        await here.app.push_screen(StartScreen(here.live, here.our_app.files, first=first), self.came_back)

    async def action_weigh_out(self) -> None:
        """What to weigh for the dough in hand."""
        from proofbell.app.weigh.weigh_screen import WeighScreen

        if self._here.in_hand is not None:
            screen = WeighScreen(self._here.live, self._here.in_hand)
            await self._here.app.push_screen(screen, self.came_back)

    async def action_why(self) -> None:
        """The working of the time that runs."""
        from proofbell.app.weigh.why_screen import WhyScreen

        if self._here.in_hand is not None:
            await self._here.app.push_screen(WhyScreen(self._here.live, self._here.in_hand), self.came_back)

    async def action_far(self) -> None:
        """Show the most urgent dough full-screen."""
        from proofbell.app.bench.far_view import FarView

        screen = self._here.our_app.dialog(FarView)
        await self._here.app.push_screen(screen)

    async def action_log(self) -> None:
        """The log of the dough in hand."""
        from proofbell.app.bench.bake_log import BakeLog

        if self._here.in_hand is not None:
            await self._here.app.push_screen(BakeLog(self._here.live, self._here.in_hand))

    async def action_plan(self) -> None:
        """Plan several doughs."""
        from proofbell.app.plan.plan_screen import PlanScreen

        self._here.our_app.hold(on=True)
        await self._here.app.push_screen(PlanScreen(self._here.live, self._here.our_app.files), self.came_back)

    async def action_journal(self) -> None:
        """Every bake ever made."""
        from proofbell.app.journal.journal_screen import JournalScreen

        if self._here.live.rehearsal:
            self._here.say("A rehearsal keeps no journal; b shows the log of this bake.", wrong=True)
            return
        await self._here.app.push_screen(JournalScreen(self._here.live), self.came_back)

    async def action_kitchen(self) -> None:
        """The facts of this kitchen."""
        from proofbell.app.kitchen.kitchen_screen import KitchenScreen

        here, path = self._here, self._here.our_app.kitchen_file
        if path is None:
            here.say("A rehearsal leaves the kitchen file alone.", wrong=True)
            return
        await here.app.push_screen(KitchenScreen(here.live, path), self.came_back)

    def action_whole_day(self) -> None:
        """Show the strips to the very end, or only the next hours."""
        strips = self._here.query_one(Strips)
        strips.whole = not strips.whole
        strips.draw()

    def action_go_on(self) -> None:
        """In a rehearsal: forward to the next thing that is to do."""
        clock, board = self._here.live.clock, self._here.board
        if not isinstance(clock, FastClock):
            self._here.say("Only a rehearsal can go forward; a real dough takes its time.", wrong=True)
            return
        coming = [one.at_us for one in ahead(self._here.live.states, board) if one.at_us > board.now.wall_us]
        if coming:
            clock.skip((min(coming) - board.now.wall_us) / 1_000_000)
        self._here.our_app.tick()

    def action_help(self) -> None:
        """Every key."""
        self._here.our_app.show_keys("bench")

    def action_trouble(self) -> None:
        """All that stands wrong."""
        self._here.our_app.show_troubles()

    def action_suspend(self) -> None:
        """Back to the shell for a while."""
        self._here.app.action_suspend_process()

    def action_leave(self) -> None:
        """Close the program; the bakes keep running. What only memory holds is asked about first."""
        here = self._here
        if not here.live.unsaved:
            here.app.exit(0)
            return
        aside = here.live.aside
        here.ask(
            "Not all is saved",
            self._leaving(aside),
            lambda: here.app.exit(1),
            lambda: bool(here.live.unsaved) and here.live.aside == aside,
        )

    def _leaving(self, aside: Path | None) -> str:
        """What leaving would mean for what is unsaved, and the question."""
        here = self._here
        count = counted(here.live.unsaved.count(here.live.states), "line")
        if aside is not None:
            where = visible(str(aside))
            return f"Leave now? {count} of the log could not be saved in the journal; all of it is written to {where}."
        return (
            f"{count} of the log could not be saved. When you leave, another place is tried; "
            f"{here.our_app.trouble_key} lets you choose one. Leave now?"
        )
