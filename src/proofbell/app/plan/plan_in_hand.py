"""The plan in hand: what is asked of the day, the best plan found for it so far, and the way out that a key takes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from textual.worker import get_current_worker

from proofbell.app.planning.day_plan import PlanDay
from proofbell.app.planning.plan_search import PlanShown, plans_to_show
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import ahead_us
from proofbell.app.widgets.page import Page
from proofbell.bench.plan.reason_words import way_out_words
from proofbell.clock import running_s
from proofbell.moment_text import whole_minute_us
from proofbell.planner.clashes import WayOut
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Problem
from proofbell.planner.repair.replan import carried_over, relettered

GROUP = "plan"
"""One thread looks for plans at a time: another question ends the search before it."""


UNSURE_S = 1.0
"""So long a first plan that is late is not shown: better ones mostly follow by then. Our own choice."""


class PlanInHand:
    """Looks for plans in a thread of the page, and tells it: ``found`` after each plan, ``searched`` at the end."""

    def __init__(
        self,
        page: Page,
        live: Live,
        found: Callable[[], None],
        searched: Callable[[], None],
        *,
        better_for_s: float | None = None,
    ) -> None:
        self._page = page
        self._live = live
        self._tell_found = found
        self._tell_searched = searched
        self._better_for_s = better_for_s
        self.day = PlanDay(live.kitchen)
        self.standing: PlanShown | None = None
        self.origin_us = 0
        self.searching = False
        self._sure_from_s = 0.0

    @property
    def shown(self) -> Plan | None:
        """The plan to be shown: the best so far, but for a first one that is late, while better ones mostly follow."""
        plan = self.best
        unsure = self.searching and running_s() < self._sure_from_s
        return None if plan is not None and unsure and (plan.cost.late_s or plan.cost.violation_s) else plan

    @property
    def best(self) -> Plan | None:
        """The plan that stands: the best so far."""
        return None if self.standing is None else self.standing.plan

    @property
    def may_begin(self) -> bool:
        """Whether the new doughs may be begun by it."""
        return self.standing is not None and self.standing.may_begin

    @property
    def ways(self) -> tuple[WayOut, ...] | None:
        """The ways out that are known; None while they are still looked for."""
        ways = () if self.standing is None else self.standing.ways
        return None if self.searching and not ways else ways

    @property
    def on_the_bench(self) -> list[str]:
        """The letters of what is live."""
        return [state.letter for state in self._live.states if state.closed is None]

    # -- looking for it ------------------------------------------------------------------------------------------

    def ask(self, day: PlanDay) -> None:
        """Ask for another day."""
        self.day = day
        self.ask_again()

    def ask_again(self, *, same_day: bool = False, begin_with: Plan | None = None) -> None:
        """Ask anew, from this moment.

        Of the same day from the plan that stands, or from one to ``begin_with``: no plan that is shown falls back
        behind what is known already.
        """
        now = self._live.clock.stamp()
        states = [state for state in self._live.states if state.closed is None]
        self.day = self.day.with_bench(states)
        if not self.day.bakes and not states:
            self.standing = None
            self._page.workers.cancel_group(self._page, GROUP)
            self._tell_found()
            return
        before, before_us = self.best, self.origin_us
        self.origin_us, self.searching = whole_minute_us(now.wall_us), True
        if self.standing is not None:
            self.standing = replace(self.standing, ways=(), ways_of=None)
        problem = self.day.problem(self.origin_us, states, ahead_us(now))
        start = before.times if before is not None and before.problem == problem else None
        known = before if same_day and start is None else begin_with
        if known is not None:
            start = carried_over(problem, known, round((before_us - self.origin_us) / 1_000_000))
        if start is None:
            self._sure_from_s = running_s() + UNSURE_S
            self._page.set_timer(UNSURE_S, self._tell_found)
        live, origin_us = frozenset(self.on_the_bench), self.origin_us
        self._in_thread(lambda: self._search(problem, origin_us, start, live))

    def _in_thread(self, work: Callable[[], None]) -> None:
        self._page.run_worker(work, group=GROUP, thread=True, exclusive=True, exit_on_error=True)

    def _search(self, problem: Problem, origin_us: int, start: tuple[Times, ...] | None, live: frozenset[str]) -> None:
        worker, app = get_current_worker(), self._page.app
        for found in plans_to_show(problem, start, live, lambda: not worker.is_cancelled, self._better_for_s):
            app.call_from_thread(self._found, found, origin_us)
        if not worker.is_cancelled:
            app.call_from_thread(self._searched)

    def _found(self, found: PlanShown, origin_us: int) -> None:
        if origin_us == self.origin_us:
            self.standing = found
            self._tell_found()

    def _searched(self) -> None:
        unsure = self.shown is not self.best
        self.searching = False
        if unsure:
            self._tell_found()
        self._tell_searched()

    def hold(self) -> None:
        """End the search: the plan that stands is written down. Its ways out are looked for all the same."""
        standing, origin_us = self.standing, self.origin_us
        if standing is None or not self.searching:
            return

        def look() -> None:
            self._page.app.call_from_thread(self._found, standing.with_its_ways(), origin_us)
            self._page.app.call_from_thread(self._searched)

        self._in_thread(look)

    # -- ways out of what clashes --------------------------------------------------------------------------------

    def take_way(self, number: int) -> None:
        """Take one of the ways out, counted from 0."""
        standing, ways = self.standing, self.ways or ()
        if standing is None or number >= len(ways):
            none = "Still looking for ways out." if self.searching else "Nothing clashes."
            self._page.answer("There is no such way out." if ways else none, wrong=True)
        elif standing.ways_hold:
            self._go(standing, ways[number])
        else:
            # A better plan has come since. It is the one to stand now, and the key is about it.
            self._page.answer("A better plan was found since: looking whether that still helps …")
            self._look_again(standing, ways[number], self.origin_us)

    def _look_again(self, standing: PlanShown, wanted: WayOut, origin_us: int) -> None:
        """Look for the same way out of the plan that stands; the search for better plans ends with that."""

        def look() -> None:
            self._page.app.call_from_thread(self._looked_again, standing.with_its_ways(), wanted, origin_us)

        self._in_thread(look)

    def _looked_again(self, now: PlanShown, wanted: WayOut, origin_us: int) -> None:
        standing = self.standing
        if standing is None or origin_us != self.origin_us:
            self._page.answer("The day was planned anew meanwhile: look again.", wrong=True)
        elif standing.plan is not now.plan:
            # One more was on its way from the search that ended.
            self._look_again(standing, wanted, origin_us)
        else:
            self.standing, self.searching = now, False
            way = now.way_like(wanted.change)
            if way is not None:
                self._go(now, way)
                return
            self._page.answer("The better plan has no such way out: look again.", wrong=True)
            self._tell_found()

    def _go(self, standing: PlanShown, way: WayOut) -> None:
        """Take a way out of the plan that stands."""
        words = way_out_words(way)
        self._page.answer(f"{words[:1].upper()}{words[1:]}.")
        day = self.day.by_way(standing.plan.problem, way, self.origin_us)
        self.day = day.lettered(self.on_the_bench)
        letters = {was.letter: bake.letter for was, bake in zip(day.bakes, self.day.bakes, strict=False)}
        self.ask_again(begin_with=relettered(way.plan, letters))
