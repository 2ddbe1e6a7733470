"""How long one answer of the fermentation takes, beside general solvers of differential equations that are as exact."""

from __future__ import annotations

import gc
from collections.abc import Callable
from time import perf_counter, process_time
from typing import Any

from scipy.integrate import solve_ivp

from proofbell.dough.fermenting.path import follow
from proofbell.dough.fermenting.rate import relative_rate
from tests.benchmarks.speed.figures import Figure

CASES = [
    (start_c, place_c, tau_s, 3600.0 * hours)
    for start_c, place_c, tau_s in (
        (25.0, 21.0, 6000.0),
        (28.0, 12.0, 9000.0),
        (24.0, 4.0, 11000.0),
        (8.0, 26.0, 7000.0),
    )
    for hours in (0.4, 1.0, 2.0)
]
"""A dough's warmth, its place's (°C), its time constant (s), the fermentation that is wanted (s at the best rate)."""

LONGEST_S = 20 * 86_400.0
Answer = Callable[[float, float, float, float], float]


def own(start_c: float, place_c: float, tau_s: float, amount_s: float) -> float:
    return follow((), start_c=start_c, place_c=place_c, tau_s=tau_s).seconds_for(amount_s)


def by(method: str, rtol: float) -> Answer:
    """The same by scipy: temperature and amount as two equations, up to where the amount is reached."""

    def answer(start_c: float, place_c: float, tau_s: float, amount_s: float) -> float:
        def change(_t: float, state: list[float]) -> list[float]:
            return [(place_c - state[0]) / tau_s, relative_rate(state[0])]

        def reached(_t: float, state: list[float]) -> float:
            return state[1] - amount_s

        reached.terminal = True  # type: ignore[attr-defined]
        solved: Any = solve_ivp(
            change, (0.0, LONGEST_S), [start_c, 0.0], method=method, rtol=rtol, atol=rtol, events=reached
        )
        return float(solved.t_events[0][0])

    return answer


def answers(runs: int) -> list[Figure]:
    """All cases by turns; each solver at the loosest of its tolerances that is as exact as ours, or exact to 0.1 s."""
    exact = [by("DOP853", 1e-12)(*case) for case in CASES]

    def off_s(answer: Answer) -> float:
        return max(abs(answer(*case) - right) for case, right in zip(CASES, exact, strict=True))

    allowed_s = max(off_s(own), 0.1)
    found: list[tuple[Figure, Answer]] = []
    for method in ("LSODA", "DOP853"):
        tolerances = (10.0**-digits for digits in range(3, 13))
        rtol = next(each for each in tolerances if off_s(by(method, each)) <= allowed_s)
        figure = Figure(f"fermentation, {len(CASES)} answers to {allowed_s:.1g} s", f"{method}, rtol {rtol:.0e}")
        found.append((figure, by(method, rtol)))
    for _ in range(runs):
        for figure, solver in found:
            for answer, samples in ((own, figure.ours), (solver, figure.bare)):
                gc.collect()
                begun, spent = perf_counter(), process_time()
                for case in CASES:
                    answer(*case)
                samples.add(perf_counter() - begun, process_time() - spent)
    return [figure for figure, _ in found]
