"""How good the planner is beside an exact solver, on generated kitchens: a table.

Run from the project's folder as ``python -m tests.benchmarks.plan_gap``; all of it takes most of an hour on two
cores, because the solver gets 15 s for each kitchen. ``--bakes 1,2,3 --kitchens 4 --seconds 5`` is a short run.
``--days`` takes days with nights, retards, wide batches and two people in place of the kitchens without.

The planner is single-threaded. Its seconds are wall-clock seconds, or with ``--clock cpu`` those of its own
processor time, for a machine that has other work to do. A gap is how much dearer the planner's plan is than the
solver's, both by the planner's reckoning; below zero it is cheaper.
"""

from __future__ import annotations

import argparse
import math
import random
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from proofbell.planner.plan import Plan
from proofbell.planner.problem import Problem
from proofbell.planner.repair.replan import replan
from proofbell.planner.search import Search
from tests.benchmarks import days, exact, kitchens

MOMENTS = 6
"""Re-plans for each kitchen, at moments spread over its day."""


@dataclass
class Row:
    """What was measured for one number of bakes."""

    first_ms: list[float] = field(default_factory=list)
    gaps: dict[float, list[float]] = field(default_factory=dict)
    unsound: int = 0
    late_s: int = 0
    solver_late_s: int = 0
    later: int = 0
    proved: int = 0
    solver_s: list[float] = field(default_factory=list)
    replan_ms: list[float] = field(default_factory=list)
    replans: int = 0
    replan_missed: int = 0


def percentile(values: Sequence[float], share: float) -> float:
    """The value that so large a share of all values does not exceed (nearest rank)."""
    return sorted(values)[max(0, math.ceil(share * len(values)) - 1)]


def planned(
    problem: Problem, marks: Sequence[float], clock: Callable[[], float], row: Row
) -> tuple[Plan, list[int], int]:
    """Let the planner work; its last plan, its total at each mark, and the lateness at the last."""
    began = clock()
    search = Search(problem)
    row.first_ms.append(1000 * (clock() - began))
    sound = search.plan().feasible
    totals = []
    for mark in marks:
        until = began + mark

        def over(until: float = until) -> bool:
            return clock() >= until

        while not search.proved and not over():
            search.step(over)
        totals.append(search.plan().cost.total)
    plan = search.plan()
    if not (sound and plan.feasible):
        row.unsound += 1
    return plan, totals, plan.cost.late_s


def replanned(plan: Plan, number: int, clock: Callable[[], float], row: Row, seconds: float, workers: int) -> None:
    """Re-plan at moments of the day; a first re-plan that is not sound goes to the solver, to see if one exists."""
    rng = random.Random(number)
    first_s = min(times.begins_s[0] for times in plan.times)
    last_s = max(times.ready_s for times in plan.times)
    for _ in range(MOMENTS):
        now_s = rng.randint(first_s // 60, last_s // 60 - 1) * 60
        problem = kitchens.under_way(plan.problem, plan.times, now_s, rng)
        began = clock()
        first = next(replan(problem, plan))
        row.replan_ms.append(1000 * (clock() - began))
        row.replans += 1
        if not first.feasible and exact.solve(problem, seconds, workers).times is not None:
            row.replan_missed += 1


def measured(count: int, options: argparse.Namespace) -> Row:
    """Everything for one number of bakes."""
    clock = time.process_time if options.clock == "cpu" else time.perf_counter
    row = Row(gaps={mark: [] for mark in options.marks})
    for number in range(options.kitchens):
        problem = days.day(number, count) if options.days else kitchens.kitchen(number, count)
        answer = exact.solve(problem, options.seconds, options.workers)
        row.solver_s.append(answer.seconds)
        row.proved += answer.status == "optimal"
        plan, totals, late_s = planned(problem, options.marks, clock, row)
        if answer.times is not None:
            cost = answer.cost(problem)
            for mark, total in zip(options.marks, totals, strict=True):
                row.gaps[mark].append(100 * (total - cost.total) / cost.total)
            row.late_s += late_s
            row.solver_late_s += cost.late_s
            row.later += late_s > 1.1 * cost.late_s
        replanned(plan, number, clock, row, options.seconds, options.workers)
        print(f"\r{count} bakes: {number + 1} of {options.kitchens}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    return row


def heading(options: argparse.Namespace) -> str:
    """The table's first two lines."""
    marks = [f"gap {mark:g} s: median / 95th" for mark in options.marks]
    columns = [
        "bakes",
        f"solver: optimum proved in {options.seconds:g} s",
        "solver: median time",
        "first plan: median / worst",
        *marks,
        "late in all: ours / solver",
        "later by over 10 %",
        "unsound",
        "re-plan: median / 95th / worst",
        "re-plan not sound at once, though possible",
    ]
    return "| " + " | ".join(columns) + " |\n|" + " --- |" * len(columns)


def line(count: int, row: Row, options: argparse.Namespace) -> str:
    """One line of the table."""
    gaps = [
        f"{statistics.median(values):.1f} / {percentile(values, 0.95):.1f} %" if values else "-"
        for values in row.gaps.values()
    ]
    cells = [
        str(count),
        f"{row.proved} of {options.kitchens}",
        f"{statistics.median(row.solver_s):.2f} s",
        f"{statistics.median(row.first_ms):.1f} / {max(row.first_ms):.1f} ms",
        *gaps,
        f"{row.late_s / 60:.0f} / {row.solver_late_s / 60:.0f} min",
        str(row.later),
        str(row.unsound),
        f"{statistics.median(row.replan_ms):.1f} / {percentile(row.replan_ms, 0.95):.1f} / {max(row.replan_ms):.1f} ms",
        f"{row.replan_missed} of {row.replans}",
    ]
    return "| " + " | ".join(cells) + " |"


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--bakes", default="1,2,3,4,6,8,10,12", help="numbers of bakes, with commas")
    parser.add_argument("--kitchens", type=int, default=28, help="kitchens for each number of bakes")
    parser.add_argument("--seconds", type=float, default=15.0, help="the solver's time for each kitchen")
    parser.add_argument("--workers", type=int, default=2, help="the solver's cores")
    parser.add_argument("--marks", default="0.3,2", help="the planner's seconds at which to compare, with commas")
    parser.add_argument("--clock", choices=("wall", "cpu"), default="wall", help="how the planner's time is taken")
    parser.add_argument("--days", action="store_true", help="days with nights, loads, retards and two people")
    options = parser.parse_args()
    options.marks = [float(mark) for mark in options.marks.split(",")]
    print(heading(options))
    for count in [int(part) for part in options.bakes.split(",")]:
        print(line(count, measured(count, options), options), flush=True)


if __name__ == "__main__":
    main()
