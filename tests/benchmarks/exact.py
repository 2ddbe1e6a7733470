"""The planner's question put to an exact constraint solver (OR-Tools CP-SAT).

Written from the objective's words, not from the planner's code: it shares with it only the model and the
weights, so that a slip in the one does not hide in the other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from ortools.sat.python import cp_model

from proofbell.planner import objective
from proofbell.planner.plan import Cost, Times
from proofbell.planner.problem import Problem, Step


@dataclass(frozen=True, slots=True)
class Answer:
    """What the solver found.

    Attributes:
        status: "optimal", "feasible", "infeasible" or "unknown".
        total: the best plan's total, in the objective's units.
        bound: no plan is cheaper than this.
        times: the best plan's times, or None.
        seconds: how long it took.
    """

    status: str
    total: int | None
    bound: float
    times: tuple[Times, ...] | None
    seconds: float

    def cost(self, problem: Problem) -> Cost:
        """The solver's plan by the planner's own reckoning."""
        if self.times is None:
            raise ValueError("the solver has no plan")
        return objective.cost_of(problem, self.times)


def unit_s(problem: Problem) -> int:
    """The largest unit of time in which every number of the problem is whole."""
    numbers = [problem.now_s]
    capacity = problem.capacity
    heats = [heat.oven_c for chain in problem.chains for step in chain.steps for heat in step.heats]
    for first in [*heats, capacity.room_c, capacity.oven_c]:
        numbers += [capacity.change_s(first, second) for second in heats]
    for chain in problem.chains:
        numbers += [chain.not_before_s, chain.ready_by_s or 0, chain.latest_s or 0]
        for step in chain.steps:
            numbers += [step.least_s, step.nominal_s, step.most_s, step.hands_s or 0, step.hands_end_s]
            numbers += [step.wait_s, step.begun_s or 0, step.ended_s or 0, step.lag_s]
            numbers += [number for task in step.tasks for number in (task.at_s, task.hands_s)]
            if step.instead is not None:
                numbers += [step.instead.least_s, step.instead.most_s]
            if step.shared:
                numbers += [(step.least_s + step.nominal_s) // 2, (step.nominal_s + step.most_s) // 2]
    numbers += [moment for span in problem.quiet for moment in (*span, objective.EDGE_S)]
    return math.gcd(*numbers) or 1


class Model:
    """One problem as variables and constraints."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.unit = unit_s(problem)
        self.cp = cp_model.CpModel()
        self.now = problem.now_s // self.unit
        known = [chain.ready_by_s or 0 for chain in problem.chains]
        length = sum(
            max(step.most_s, 0 if step.instead is None else step.instead.most_s) + min(step.wait_s, 7200) + 3600
            for chain in problem.chains
            for step in chain.steps
        )
        self.low = min([0, *(step.begun_s or 0 for c in problem.chains for step in c.steps)]) // self.unit
        self.high = (max([problem.now_s, *known]) + length) // self.unit + 1
        self.begin: dict[tuple[int, int], Any] = {}
        self.end: dict[tuple[int, int], Any] = {}
        self.terms: list[Any] = []
        self.instead: dict[tuple[int, int], Any] = {}
        for number in range(len(problem.chains)):
            self.add_chain(number)
        self.add_hands()
        self.add_oven()
        self.cp.minimize(sum(self.terms))

    def var(self, name: str) -> cp_model.IntVar:
        """A moment of time."""
        return self.cp.new_int_var(self.low, self.high, name)

    def excess(self, amount: cp_model.LinearExprT, weight: int) -> None:
        """Count what is above zero of an amount."""
        above = self.cp.new_int_var(0, self.high - self.low, "")
        self.cp.add(above >= amount)
        self.terms.append(weight * above)

    def add_chain(self, number: int) -> None:
        """Lengths, waits and the times around one bake."""
        chain = self.problem.chains[number]
        now_s, unit, cp = self.problem.now_s, self.unit, self.cp
        for at, step in enumerate(chain.steps):
            key = number, at
            if step.ended_s is not None and step.begun_s is not None:
                self.begin[key], self.end[key] = step.begun_s // unit, step.ended_s // unit
                continue
            end = self.end[key] = self.var(f"e{number}.{at}")
            if step.begun_s is not None:
                begin: Any = step.begun_s // unit
            else:
                begin = self.var(f"b{number}.{at}")
                cp.add(begin >= max(self.now, chain.not_before_s // unit if not chain.before(at) else self.now))
            self.begin[key] = begin
            self.add_length(key, step, end - begin)
            if step.begun_s is not None:
                continue
            for one in chain.before(at):
                wait = begin - self.end[number, one]
                cp.add(wait >= 0)
                cp.add(wait <= objective.longest_wait_s(chain.steps[one], now_s) // unit)
                self.terms.append(objective.WAIT * wait)
            if step.since is not None:
                self.add_waiting(number, step.since, chain.steps[step.since], step, begin)
        cp.add_at_most_one([taken for (of, _), taken in self.instead.items() if of == number])
        if chain.steps[-1].ended:
            return
        ready = self.end[number, len(chain.steps) - 1]
        if chain.latest_s is not None:
            cp.add(ready <= chain.latest_s // unit)
        if chain.ready_by_s is None:
            self.excess(ready - self.now, objective.SOON)
        else:
            self.excess(ready - chain.ready_by_s // unit, objective.LATE)
            self.excess(chain.ready_by_s // unit - ready, objective.EARLY)
            fresh_s = objective.fresh_from_s(self.problem, chain)
            if fresh_s is not None:
                self.excess(fresh_s // unit - ready, objective.STALE)

    def add_length(self, key: tuple[int, int], step: Step, length: Any) -> None:  # noqa: ANN401 - the solver's own
        """Least and most of one step, and what it costs to deviate; in another step's place, that one's bounds."""
        cp, unit = self.cp, self.unit
        least_s, most_s = step.bounds_s(self.problem.now_s)
        warm: list[Any] = []
        if step.instead is not None and step.begun_s is None:
            taken = self.instead[key] = cp.new_bool_var("")
            cp.add(length >= step.instead.least_s // unit).only_enforce_if(taken)
            cp.add(length <= step.instead.most_s // unit).only_enforce_if(taken)
            self.terms.append(objective.LONGER // unit * taken)
            warm = [taken.negated()]
        cp.add(length >= least_s // unit).only_enforce_if(warm)
        cp.add(length <= most_s // unit).only_enforce_if(warm)
        if step.flat:
            return
        if step.shared and not step.running:
            self.share(length, least_s, step.nominal_s, most_s, warm)
        elif least_s < most_s or least_s != step.nominal_s:
            weight = objective.CRITICAL if step.critical else objective.OTHER
            for amount in (length - step.nominal_s // unit, step.nominal_s // unit - length):
                above = cp.new_int_var(0, self.high - self.low, "")
                cp.add(above >= amount).only_enforce_if(warm)
                self.terms.append(weight * above)

    def share(self, length: Any, least_s: int, nominal_s: int, most_s: int, warm: list[Any]) -> None:  # noqa: ANN401
        """What a deviation costs that is shared out: the second half of what is allowed three times the first."""
        unit = self.unit
        for amount, half_s in (
            (length - nominal_s // unit, (nominal_s + most_s) // 2 - nominal_s),
            (nominal_s // unit - length, nominal_s - (least_s + nominal_s) // 2),
        ):
            price = self.cp.new_int_var(0, objective.FAR * (self.high - self.low), "")
            self.cp.add(price >= objective.NEAR * amount).only_enforce_if(warm)
            beyond = objective.FAR * amount - (objective.FAR - objective.NEAR) * (half_s // unit)
            self.cp.add(price >= beyond).only_enforce_if(warm)
            self.terms.append(price)

    def add_waiting(self, number: int, since: int, before: Step, step: Step, begin: Any) -> None:  # noqa: ANN401
        """A load goes on proofing until it is loaded; beyond what is forgiven it is a violation."""
        cp, unit = self.cp, self.unit
        length = begin - self.begin[number, since] - step.lag_s // unit
        most_s = before.most_s
        if before.begun_s is not None:
            most_s = max(most_s, self.problem.now_s - before.begun_s - step.lag_s)
        taken = self.instead.get((number, since))
        warm = [] if taken is None else [taken.negated()]
        over = cp.new_int_var(0, self.high - self.low, "")
        cp.add(over >= length - most_s // unit).only_enforce_if(warm)
        if taken is not None and before.instead is not None:
            cp.add(over >= length - before.instead.most_s // unit).only_enforce_if(taken)
        self.terms.append(objective.VIOLATION * over)
        if not before.flat:
            self.share(length, before.least_s, before.nominal_s, most_s, warm)

    def add_hands(self) -> None:
        """No more stages in hand at once than there are people; what has begun is past changing."""
        intervals = []
        for number, chain in enumerate(self.problem.chains):
            for at, step in enumerate(chain.steps):
                if not step.ended:
                    found = self.hands_of(number, at, step)
                    intervals += found
                    for use, interval in enumerate(found):
                        lead_s = 0
                        if step.heats and not use and not step.running:
                            capacity = self.problem.capacity
                            lead_s = capacity.change_s(capacity.room_c, step.heats[0].oven_c)
                        self.add_quiet(interval, lead_s)
        if self.problem.capacity.people == 1:
            self.cp.add_no_overlap(intervals)
        else:
            self.cp.add_cumulative(intervals, [1] * len(intervals), self.problem.capacity.people)

    def add_quiet(self, use: Any, lead_s: int) -> None:  # noqa: ANN401 - the solver's own
        """Before or after each quiet span, and rather not near its edge."""
        cp, unit = self.cp, self.unit
        for begin_s, end_s in self.problem.quiet:
            before = cp.new_bool_var("")
            near = cp.new_int_var(0, objective.EDGE_S // unit, "")
            since = (end_s + lead_s) // unit
            cp.add(use.end_expr() <= begin_s // unit).only_enforce_if(before)
            cp.add(near >= use.end_expr() - (begin_s - objective.EDGE_S) // unit).only_enforce_if(before)
            cp.add(use.start_expr() >= since).only_enforce_if(before.negated())
            edge = since + objective.EDGE_S // unit
            cp.add(near >= edge - use.start_expr()).only_enforce_if(before.negated())
            self.terms.append(objective.EDGE * near)

    def hands_of(self, number: int, at: int, step: Step) -> list[Any]:
        """The intervals in which one step needs hands."""
        begin, end = self.begin[number, at], self.end[number, at]
        name = f"h{number}.{at}"
        found: list[Any] = []
        if step.hands_s is None:
            size = self.cp.new_int_var(0, self.high - self.low, "")
            return [self.cp.new_interval_var(begin, size, end, name)]
        if step.hands_s:
            found.append(self.cp.new_fixed_size_interval_var(begin, step.hands_s // self.unit, name))
        for task in step.tasks:
            task_at = (begin if task.at_s >= 0 else end) + task.at_s // self.unit
            found.append(self.cp.new_fixed_size_interval_var(task_at, task.hands_s // self.unit, name + "t"))
        if step.hands_end_s:
            last = step.hands_end_s // self.unit
            found.append(self.cp.new_fixed_size_interval_var(end - last, last, name + "u"))
        return found

    def add_oven(self) -> None:
        """One heat at a time, so many trays, time to change between heats, and the time the oven is on."""
        problem, capacity, cp = self.problem, self.problem.capacity, self.cp
        uses = [
            (number, at, step)
            for number, chain in enumerate(problem.chains)
            for at, step in enumerate(chain.steps)
            if step.heats and not step.ended
        ]
        shared = False
        first_of: dict[tuple[int, int], Any] = {}
        for left, right in combinations(range(len(uses)), 2):
            one, other = uses[left], uses[right]
            before = cp.new_bool_var(f"o{left}.{right}")
            first_of[left, right], first_of[right, left] = before, before.negated()
            same = (
                len(one[2].heats) == 1
                and len(other[2].heats) == 1
                and one[2].heats[0].oven_c == other[2].heats[0].oven_c
            )
            together = same and one[2].trays + other[2].trays <= capacity.trays
            shared = shared or together
            for (a, b), literal in (((one, other), before), ((other, one), before.negated())):
                if together:
                    cp.add(self.begin[b[:2]] >= self.begin[a[:2]]).only_enforce_if(literal)
                else:
                    change = capacity.change_s(a[2].heats[-1].oven_c, b[2].heats[0].oven_c) // self.unit
                    cp.add(self.begin[b[:2]] >= self.end[a[:2]] + change).only_enforce_if(literal)
        for use in uses:
            if use[2].begun_s is None:
                change = capacity.change_s(capacity.oven_c, use[2].heats[0].oven_c) // self.unit
                cp.add(self.begin[use[:2]] >= self.now + change)
        if shared:
            self.add_trays(uses)
        self.add_oven_time(uses, first_of, shared=shared)

    def add_trays(self, uses: list[tuple[int, int, Step]]) -> None:
        """No more trays at once than fit."""
        intervals = []
        for number, at, _ in uses:
            size = self.cp.new_int_var(0, self.high - self.low, "")
            intervals.append(self.cp.new_interval_var(self.begin[number, at], size, self.end[number, at], ""))
        self.cp.add_cumulative(intervals, [use[2].trays for use in uses], self.problem.capacity.trays)

    def add_oven_time(
        self, uses: list[tuple[int, int, Step]], first_of: dict[tuple[int, int], Any], *, shared: bool
    ) -> None:
        """Each bake's share of the time the oven is on: kept hot from one before it, or heated afresh."""
        capacity, cp = self.problem.capacity, self.cp
        hot_now = capacity.oven_c > capacity.room_c
        followers: dict[int, list[Any]] = {}
        for right, (number, at, step) in enumerate(uses):
            begin, end = self.begin[number, at], self.end[number, at]
            share = cp.new_int_var(0, self.high - self.low, f"on{right}")
            fresh = cp.new_bool_var("")
            heat_up = capacity.change_s(capacity.room_c, step.heats[0].oven_c) // self.unit
            cp.add(share >= end - begin + heat_up).only_enforce_if(fresh)
            if not shared:
                cp.add(share >= end - begin + self.least_change(uses, right))
            choices = [fresh]
            for left, other in enumerate(uses):
                if left != right:
                    kept = cp.new_bool_var("")
                    cp.add_implication(kept, first_of[left, right])
                    cp.add(share >= end - self.end[other[:2]]).only_enforce_if(kept)
                    choices.append(kept)
                    followers.setdefault(left, []).append(kept)
            if hot_now:
                kept = cp.new_bool_var("")
                cp.add(share >= end - self.now).only_enforce_if(kept)
                choices.append(kept)
            cp.add_exactly_one(choices)
            self.terms.append(objective.OVEN * share)
        if not shared:
            # Follows from the rest; said aloud because the solver then proves more.
            for kept_after in followers.values():
                cp.add_at_most_one(kept_after)

    def least_change(self, uses: list[tuple[int, int, Step]], right: int) -> int:
        """The least the oven can be on before one bake, whatever comes before it."""
        capacity = self.problem.capacity
        goal = uses[right][2].heats[0].oven_c
        before = [use[2].heats[-1].oven_c for left, use in enumerate(uses) if left != right]
        before += [capacity.room_c, capacity.oven_c]
        return min(capacity.change_s(heat, goal) for heat in before) // self.unit

    def solve(self, seconds: float, workers: int) -> Answer:
        """Let the solver work for so long.

        Args:
            seconds: at most so many.
            workers: how many cores.
        """
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = seconds
        solver.parameters.num_workers = workers
        solver.parameters.random_seed = 7
        status = solver.solve(self.cp)
        names: dict[Any, str] = {
            cp_model.OPTIMAL: "optimal",
            cp_model.FEASIBLE: "feasible",
            cp_model.INFEASIBLE: "infeasible",
        }
        found = names.get(status, "unknown")
        if found not in {"optimal", "feasible"}:
            return Answer(found, None, 0.0, None, solver.wall_time)
        times = tuple(
            Times(
                chain.letter,
                tuple(self.unit * solver.value(self.begin[number, at]) for at in range(len(chain.steps))),
                tuple(self.unit * solver.value(self.end[number, at]) for at in range(len(chain.steps))),
                tuple(at for (of, at), taken in self.instead.items() if of == number and solver.value(taken)),
            )
            for number, chain in enumerate(self.problem.chains)
        )
        total = round(solver.objective_value) * self.unit
        return Answer(found, total, solver.best_objective_bound * self.unit, times, solver.wall_time)


def solve(problem: Problem, seconds: float = 15.0, workers: int = 2) -> Answer:
    """The solver's best plan within a time.

    Args:
        problem: what to plan.
        seconds: how long it may take.
        workers: how many cores.
    """
    return Model(problem).solve(seconds, workers)
