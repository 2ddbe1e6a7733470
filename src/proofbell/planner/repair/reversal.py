"""Mend an order by turning about, one after another, the decisions that press on a bake that is kept too long.

Those decisions are a proof: wherever all of them are kept, that bake is kept too long. So every sound order has at
least one of them the other way round, and where none is open there is no sound order at all.
"""

from __future__ import annotations

from heapq import heappop, heappush

from proofbell.planner import objective
from proofbell.planner.solver.branch_and_bound import Dive, Found, Guide, guide_of
from proofbell.planner.solver.network import HARD
from proofbell.planner.solver.partial_schedule import HANDS, OVEN, Decision, Draft

Fixed = frozenset[Decision]


def sound(found: Found) -> bool:
    """Whether nothing is kept longer than its dough allows."""
    return found.cost.over_s == 0


def pressing(draft: Draft, heavy: int = objective.OVER // 2) -> dict[Decision, int]:
    """The decisions about hands and oven that press on what is broken, and how hard.

    Args:
        draft: settled. Its flow is as steep as the bound that is broken along the way from what breaks it.
        heavy: no decision that presses with less is told.
    """
    flow = draft.timing.flow
    found: dict[Decision, int] = {}
    for about, orders in ((HANDS, draft.hands), (OVEN, draft.oven)):
        for (one, other), link in orders.items():
            press = abs(flow[link]) if link >= 0 else 0
            if press >= heavy:
                found[about, one, other] = press
    return found


def heat_presses(draft: Draft, heavy: int = objective.OVER // 2) -> bool:
    """Whether what was decided about keeping the oven hot presses as hard: that is not turned about here."""
    flow = draft.timing.flow
    links = (link for _, *two, _ in draft.hot.values() for link in two if link >= 0)
    return any(abs(flow[link]) >= heavy for link in links)


class Turning:
    """A search over orders that differ from one in few decisions; the least unsound is gone on from.

    Attributes:
        best: the cheapest timetable so far.
        hopeless: whether it is shown that no order is sound.
    """

    def __init__(self, draft: Draft, found: Found) -> None:
        """Begin.

        Args:
            draft: of the problem; `run` leaves it in any state.
            found: an unsound timetable.
        """
        self.draft = draft
        self.best = found
        self.hopeless = False
        self.all_seen = True
        self.seen = {found.times}
        self.open: list[tuple[int, int, Found, Fixed]] = [(found.cost.total, 0, found, frozenset())]
        self.made = 0
        self.base = found
        self.fixed: Fixed = frozenset()
        self.guide: Guide | None = None
        self.to_turn: list[Decision] = []

    def run(self, turns: int) -> None:
        """Turn about so many decisions at most; end when a sound order is found, or none is left to look at."""
        while not sound(self.best):
            if self.to_turn:
                if not turns:
                    return
                turns -= 1
                self._turn(self.to_turn.pop())
            elif self.open:
                self._go_on_from(*heappop(self.open)[2:])
            else:
                self.hopeless = self.all_seen
                return

    def _go_on_from(self, base: Found, fixed: Fixed) -> None:
        self.draft.restore(base.kept)
        self.base, self.fixed, self.guide = base, fixed, guide_of(self.draft)
        press = pressing(self.draft)
        self.all_seen &= not heat_presses(self.draft)
        open_ = [decision for decision in press if decision not in fixed and self._may_turn(decision)]
        self.to_turn = sorted(open_, key=lambda decision: (press[decision], decision))

    def _turn(self, decision: Decision) -> None:
        draft = self.draft
        draft.restore(self.base.kept)
        draft.turn(decision)
        self.made += 1
        about, one, other = decision
        fixed = self.fixed | {(about, other, one)}
        if draft.cost() >= HARD:
            press = pressing(draft, HARD // 2)
            # Looking at them may itself show that not all is seen: that must not be overwritten here.
            others = any(more not in fixed and self._may_turn(more) for more in press)
            self.all_seen &= not (others or heat_presses(draft, HARD // 2))
            return
        found = Dive(draft, HARD, 0, self.guide, heats=False).run()
        if found is None or found.times in self.seen:
            self.all_seen = False
            return
        self.seen.add(found.times)
        heappush(self.open, (found.cost.total, self.made, found, fixed))
        self.best = min(self.best, found, key=lambda one: one.cost.total)

    def _may_turn(self, decision: Decision) -> bool:
        """Whether the other order is open; what has begun goes first."""
        about, one, other = decision
        uses = self.draft.tasks if about == HANDS else self.draft.uses
        together = self.draft.problem.capacity.people > 1 if about == HANDS else self.draft.facts.together[one][other]
        # Where both may be at one time, the other order is not the only other way.
        self.all_seen &= not together
        return not uses[one].begun
