"""The planner beside an exact constraint solver, on generated kitchens, in one run.

    python -m tests.benchmarks.plan_gap [--bakes 1,2,4] [--kitchens 28] [--solver-seconds 15] [--seconds 0.3,2,8]

Gap: how much dearer our plan is than the solver's, in percent of the solver's total; below nought it is cheaper.
Times differ from machine to machine; the gaps after so many steps of the search do not, nor do the plans.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import math
import random
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter, process_time

from proofbell.bench import objective
from proofbell.bench.model import Cost, Plan, Problem, Times
from proofbell.bench.search import improve
from tests.benchmarks import exact
from tests.benchmarks.kitchens import kitchen, under_way

MOMENTS = (0.3, 0.6, 0.85)
"""Shares of the day at which it is planned again."""

PATIENCE_S = 2.0
"""So long we look for a sound plan at most when planning again."""

Clock = Callable[[], float]


@dataclass(frozen=True, slots=True)
class Seen:
    """A plan of ours: when it came (s after the question) and what it costs."""

    after_s: float
    cost: Cost
    plan: Plan


@dataclass(frozen=True, slots=True)
class Day:
    """One kitchen: what the solver and what we made of it."""

    solver: exact.Answer
    solver_cost: Cost | None
    ours: tuple[Seen, ...]
    replans_s: tuple[float, ...]
    lost: int

    def at(self, seconds: float) -> Cost | None:
        """Our best plan's cost after so many seconds."""
        return next((seen.cost for seen in reversed(self.ours) if seen.after_s <= seconds), None)

    def gap(self, seconds: float) -> float | None:
        """Percent by which ours is dearer then; None where the solver has no plan."""
        if self.solver_cost is None:
            return None
        cost = self.at(seconds)
        if cost is None or cost.over_s:
            return math.inf
        return 100 * (cost.total - self.solver_cost.total) / max(1, self.solver_cost.total)

    @property
    def first_sound_s(self) -> float:
        """When the first sound plan came."""
        return next((seen.after_s for seen in self.ours if not seen.cost.over_s), math.inf)


def plans(problem: Problem, seconds: float, clock: Clock, start: tuple[Times, ...] | None = None) -> Iterable[Seen]:
    """Our plans as they come, for so long."""
    begun = clock()
    for found in improve(problem, start, lambda: clock() - begun >= seconds):
        yield Seen(clock() - begun, found.cost, found)


def replans(problem: Problem, plan: Plan, number: int, clock: Clock) -> tuple[list[float], int]:
    """Seconds to a sound plan at some moments of the day, one thing having gone otherwise; and how many have none.

    Where an overrun leaves no sound plan at all, by the exact solver, the moment is left out.
    """
    rng = random.Random(number)
    begins_s = min(min(times.begins_s) for times in plan.times)
    ends_s = max(times.ready_s for times in plan.times)
    found: list[float] = []
    lost = 0
    for share in MOMENTS:
        now_s = round((begins_s + share * (ends_s - begins_s)) / 60) * 60
        later = under_way(problem, plan.times, now_s, rng)
        sound = next((seen for seen in plans(later, PATIENCE_S, clock) if not seen.cost.over_s), None)
        if sound is not None:
            found.append(sound.after_s)
        elif exact.solve(later, 15.0).times is not None:
            lost += 1
    return found, lost


def key_of(problem: Problem, seconds: float, workers: int) -> str:
    """A name for one question to the solver."""
    weights = [value for name, value in sorted(vars(objective).items()) if name.isupper()]
    return hashlib.sha256(repr((problem, weights, seconds, workers)).encode()).hexdigest()[:40]


def solved(problem: Problem, seconds: float, workers: int, cache: Path | None) -> exact.Answer:
    """The solver's answer, perhaps kept from an earlier run."""
    path = None if cache is None else cache / f"{key_of(problem, seconds, workers)}.json"
    if path is not None and path.exists():
        kept = json.loads(path.read_text(encoding="utf-8"))
        times = kept.pop("times")
        known = times and tuple(Times(letter, tuple(begins), tuple(ends)) for letter, begins, ends in times)
        return exact.Answer(times=known, **kept)
    answer = exact.solve(problem, seconds, workers)
    if path is not None:
        path.parent.mkdir(parents=True, exist_ok=True)
        times = answer.times and [(one.letter, one.begins_s, one.ends_s) for one in answer.times]
        kept = {"status": answer.status, "total": answer.total, "bound": answer.bound, "seconds": answer.seconds}
        path.write_text(json.dumps({**kept, "times": times}), encoding="utf-8")
    return answer


def day_of(number: int, count: int, args: argparse.Namespace, clock: Clock) -> Day:
    """One kitchen, planned by the solver and by us."""
    problem = kitchen(number, count)
    answer = solved(problem, args.solver_seconds, args.workers, args.cache)
    cost = None if answer.times is None else answer.cost(problem)
    ours = tuple(plans(problem, max(args.seconds), clock))
    again, lost = replans(problem, ours[-1].plan, number, clock)
    return Day(answer, cost, ours, tuple(again), lost)


def share(values: Sequence[float], part: float) -> float:
    """The value that this part of all does not exceed (nearest rank)."""
    ranked = sorted(values)
    return ranked[max(0, math.ceil(part * len(ranked)) - 1)] if ranked else math.nan


def heads(seconds: Sequence[float]) -> list[str]:
    """Names of the columns."""
    gaps = [f"gap % {moment:g} s" for moment in seconds]
    return [
        "bakes", "proved", "solver s", "first ms med/worst", *gaps, "late min ours/solver", "later >10%", "unsound",
        "re-plan ms med/95th", "lost",
    ]  # fmt: skip


def row(count: int, days: Sequence[Day], seconds: Sequence[float]) -> list[str]:
    """One line of the table."""
    first = [1000 * day.first_sound_s for day in days]
    cells = [
        str(count),
        f"{sum(day.solver.status == 'optimal' for day in days)}/{len(days)}",
        f"{share([day.solver.seconds for day in days], 0.5):.2f}",
        f"{share(first, 0.5):.1f}/{max(first):.1f}",
    ]
    for moment in seconds:
        gaps = [gap for day in days if (gap := day.gap(moment)) is not None]
        cells.append(f"{share(gaps, 0.5):.1f}/{share(gaps, 0.95):.1f}")
    both = [(day.ours[-1].cost, day.solver_cost) for day in days if day.solver_cost is not None]
    late = [(ours.late_s, theirs.late_s) for ours, theirs in both]
    again = [1000 * seconds for day in days for seconds in day.replans_s]
    return [
        *cells,
        f"{sum(ours for ours, _ in late) / 60:.0f}/{sum(theirs for _, theirs in late) / 60:.0f}",
        str(sum(ours > 1.1 * theirs for ours, theirs in late)),
        str(sum(ours.over_s > 0 for ours, _ in both)),
        f"{share(again, 0.5):.1f}/{share(again, 0.95):.1f}",
        str(sum(day.lost for day in days)),
    ]


def numbers(text: str) -> list[float]:
    """``0.3,2,8``."""
    return sorted(float(part) for part in text.split(","))


def main() -> None:
    """Print the table, row by row."""
    parser = argparse.ArgumentParser(description="The planner beside an exact constraint solver.")
    parser.add_argument("--bakes", type=numbers, default=numbers("1,2,3,4,6,8,10,12"))
    parser.add_argument("--kitchens", type=int, default=28)
    parser.add_argument("--solver-seconds", type=float, default=15.0)
    parser.add_argument("--seconds", type=numbers, default=numbers("0.3,2,8"), help="when our plans are looked at")
    parser.add_argument("--workers", type=int, default=2, help="cores for the solver; ours takes one")
    parser.add_argument("--cache", type=Path, help="a folder that keeps the solver's answers from run to run")
    parser.add_argument("--cpu", action="store_true", help="count our own processor time, for a machine that is shared")
    args = parser.parse_args()
    clock = process_time if args.cpu else perf_counter
    names = heads(args.seconds)
    print(f"{args.kitchens} kitchens a row; solver: CP-SAT, {args.solver_seconds:g} s on {args.workers} cores; ours:")
    print(f"{'processor' if args.cpu else 'wall'} time on one core. Gap and first plan: median/95th or worst.")
    print("  ".join(names), flush=True)
    for count in (int(number) for number in args.bakes):
        days: list[Day] = []
        for number in range(args.kitchens):
            days.append(day_of(number, count, args, clock))
            if sys.stderr.isatty():
                print(f"\r{count} bakes: {number + 1} of {args.kitchens}", end="", file=sys.stderr, flush=True)
        if sys.stderr.isatty():
            print("\r" + " " * 40 + "\r", end="", file=sys.stderr, flush=True)
        cells = row(count, days, args.seconds)
        print("  ".join(cell.rjust(len(name)) for cell, name in zip(cells, names, strict=True)), flush=True)
    print("later >10%: kitchens in which our last plan is later than the solver's by more than a tenth.")
    print("unsound: kitchens in which the solver keeps what the doughs forgive and ours does not; lost: the same after")
    print("a day was planned again at three moments, one thing having gone otherwise each time.")


if __name__ == "__main__":
    main()
