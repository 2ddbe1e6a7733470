"""Symmetry breaking: chains that are alike in everything go in the order of their letters."""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner.plan import Times
from proofbell.planner.problem import Problem


def break_symmetry(problem: Problem, times: tuple[Times, ...]) -> tuple[Times, ...]:
    """The same timetable, in which of two chains that are alike, and have not begun, the first letter begins first."""
    places: dict[object, list[int]] = {}
    for number, chain in enumerate(problem.chains):
        if not chain.begun:
            places.setdefault(replace(chain, letter=""), []).append(number)
    found = list(times)
    for alike in places.values():
        earliest_first = sorted((times[number] for number in alike), key=lambda one: one.begins_s)
        for number, one in zip(alike, earliest_first, strict=True):
            found[number] = replace(one, letter=problem.chains[number].letter)
    return tuple(found)
