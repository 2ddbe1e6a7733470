"""Where the bench's keys lead: another dough, another screen, out of the program."""

from __future__ import annotations

import asyncio
from pathlib import Path

from proofbell.app.bench.far.far_view import Answering, FarView
from proofbell.bench.agenda import ahead
from proofbell.visible import visible
from proofbell.words import counted

FOR_THE_NEXT = "The next bake takes the changed file; this one keeps its own text."


class Navigation:
    """The ways out of the bench, and from one dough to another."""

    def __init__(self, far: Answering) -> None:
        self._bench = far.bench
        self._gone_to: tuple[str | None, tuple[str, ...]] | None = None
        self._far = far

    def next_dough(self) -> None:
        """Go to the next dough that needs something; pressed again, on from there, until something else rings."""
        bench, board = self._bench, self._bench.board
        to = board.after(bench.in_hand, on=self._gone_to == (bench.in_hand, board.ringing))
        self._gone_to = to, board.ringing
        bench.take(to)

    def dough_after(self) -> None:
        """The dough one row below."""
        self._bench.take(self._bench.board.beside(self._bench.in_hand, 1))

    def dough_before(self) -> None:
        """The dough one row above."""
        self._bench.take(self._bench.board.beside(self._bench.in_hand, -1))

    def _came_back(self, bake: str | None) -> None:
        """From another screen, perhaps with a bake to take in hand."""
        if bake is not None:
            self._bench.in_hand = bake

    async def start(self) -> None:
        """Choose a formula and put it on the bench."""
        live, host = self._bench.live, self._bench.host
        if live.full is not None:
            self._bench.answer(live.full, "")
            return
        first = not live.states
        host.hold(on=True)
        await host.go(host.pages.start(live, host.files, first=first), self._came_back)

    async def weigh_out(self) -> None:
        """What to weigh for the dough in hand."""
        bench, host = self._bench, self._bench.host
        if bench.in_hand is not None:
            await host.go(host.pages.weigh_out(bench.live, bench.in_hand), self._came_back)

    async def size(self) -> None:
        """Another size for the dough in hand."""
        bench, host = self._bench, self._bench.host
        state = bench.state
        if state is None or state.closed is not None:
            bench.say("There is no dough to give another size.", wrong=True)
            return
        host.hold(on=True)
        await host.go(host.pages.size(bench.live, state.id), lambda words: bench.say(words) if words else None)

    async def edit(self) -> None:
        """Edit the file of the formula in hand, for the next bake."""
        bench, host = self._bench, self._bench.host
        if bench.state is None:
            bench.say(f"No dough is selected; {host.key('bench.start')} lists the formulas.", wrong=True)
            return
        formula = bench.state.formula
        await asyncio.to_thread(host.formulas.look)
        page = host.pages.edit(bench.live, host.formulas.path_of(formula), formula, in_editor=True)
        await host.go(page, lambda path: bench.say(FOR_THE_NEXT if path else ""))

    async def why(self) -> None:
        """The working of the time that runs."""
        bench, host = self._bench, self._bench.host
        if bench.in_hand is not None:
            await host.go(host.pages.why(bench.live, bench.in_hand), self._came_back)

    async def far(self) -> None:
        """Show the most urgent dough full-screen."""
        screen = self._bench.host.dialog(FarView)
        screen.follow(self._far)
        await self._bench.host.go(screen)

    async def log(self) -> None:
        """The log of the dough in hand."""
        bench, host = self._bench, self._bench.host
        if bench.in_hand is not None:
            await host.go(host.pages.log(bench.live, bench.in_hand))

    async def plan(self) -> None:
        """Plan several doughs."""
        host = self._bench.host
        host.hold(on=True)
        await host.go(host.pages.plan(self._bench.live), self._came_back)

    async def journal(self) -> None:
        """Every bake ever made."""
        bench, host = self._bench, self._bench.host
        if bench.live.rehearsal:
            key = bench.host.key("bench.log")
            bench.say(f"A rehearsal keeps no journal; {key} shows the log of this bake.", wrong=True)
            return
        await host.go(host.pages.journal(bench.live), self._came_back)

    async def kitchen(self) -> None:
        """Open the kitchen page."""
        bench, host = self._bench, self._bench.host
        if host.kitchen_file is None:
            bench.say("A rehearsal leaves the kitchen file alone.", wrong=True)
            return
        await host.go(host.pages.kitchen(bench.live, host.kitchen_file), self._came_back)

    def go_on(self) -> None:
        """In a rehearsal: forward to the next thing that is to do; not past a stage that waits for the baker."""
        bench, board = self._bench, self._bench.board
        if bench.live.pace is None:
            bench.say("Only a rehearsal can go forward; a real dough takes its time.", wrong=True)
            return
        waits = next((view for view in board.views if view.waits_for_baker), None)
        if waits is not None:
            bench.take(waits.bake)
            bench.say(f"{waits.letter}: {waits.stage} waits for you: press {bench.host.key('bench.done')}.")
            return
        coming = [one.at_us for one in ahead(bench.live.states, board) if one.at_us > board.now.wall_us]
        if coming:
            bench.live.pace.skip((min(coming) - board.now.wall_us) / 1_000_000)
        bench.host.tick()

    def help(self) -> None:
        """Every key."""
        self._bench.host.show_keys("bench")

    def trouble(self) -> None:
        """Show what is wrong at present."""
        self._bench.host.show_troubles()

    def suspend(self) -> None:
        """Back to the shell for a while."""
        self._bench.host.action_suspend_process()

    def leave(self) -> None:
        """Close the program; the bakes keep running. What only memory holds is asked about first."""
        bench = self._bench
        if not bench.live.unsaved:
            bench.host.leave(0)
            return
        aside = bench.live.aside
        bench.ask(
            "Not all is saved",
            self._leaving(aside),
            lambda: bench.host.leave(1),
            lambda: bool(bench.live.unsaved) and bench.live.aside == aside,
        )

    def _leaving(self, aside: Path | None) -> str:
        """What leaving would mean for what is unsaved, and the question."""
        bench = self._bench
        count = counted(bench.live.unsaved.count(bench.live.states), "line")
        if aside is not None:
            where = visible(str(aside))
            return f"Leave now? {count} of the log could not be saved in the journal; all of it is written to {where}."
        return (
            f"{count} of the log could not be saved. When you leave, another place is tried; "
            f"{bench.host.key('bench.trouble')} lets you choose one. Leave now?"
        )
