"""A plan for the formulas that a command names, with what was weighed out for it: for ``plan`` and for ``shop``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from proofbell import places
from proofbell.bake.decisions.as_opened import as_opened, in_its_places
from proofbell.bake.fermenting.place_words import places_told
from proofbell.bake.letters import LETTERS
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.bench.planning_problem import Wish, problem_of
from proofbell.bench.timetable import Timetable, timetable
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.clock import WallClock, utc_us
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.journal.learning.recall import recalled_all
from proofbell.journal.learning.use import Use
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Kitchen
from proofbell.kitchen.today import Today
from proofbell.moment_text import is_span, read_when, whole_minute_us
from proofbell.nights import nights
from proofbell.planner.model import Plan, Problem
from proofbell.planner.search import plan as best_plan
from proofbell.visible import visible

STEPS = {4: 1500, 8: 600, 12: 300}
"""Steps of the search for up to so many bakes: a few seconds on a small machine."""


@dataclass(frozen=True, slots=True)
class Planned:
    """The plan and its table; each formula's weigh-out and kitchen, and what is told of its places and of the past.

    ``origin_us`` is the plan's second 0, UTC µs.
    """

    now: Stamp
    origin_us: int
    kitchen: Kitchen
    plan: Plan
    table: Timetable
    weighed: tuple[WeighOut, ...]
    kitchens: tuple[Kitchen, ...]
    placed: tuple[str, ...]
    learned: tuple[str, ...]


def planned(
    formulas: Sequence[Formula], ready: Sequence[str], start: str | None, today: Today, *, awake: bool = False
) -> Planned:
    """Plan the formulas: each wanted when ``ready`` says, none begun before ``start``, by night if ``awake``.

    Raises:
        Failure: they cannot be planned as it was asked for.
    """
    now = WallClock().stamp()
    here = datetime.fromtimestamp(now.wall_us / 1_000_000)  # noqa: DTZ006 - clock time on the kitchen's wall
    if len(formulas) > len(LETTERS):
        raise Failure(f"{len(formulas)} bakes are more than the bench holds.", "Plan at most twelve at once.")
    origin_us = whole_minute_us(now.wall_us if start is None else _moment_us(start, now, here))
    wanted = [whole_minute_us(_moment_us(text, now, here)) for text in ready]
    if start is not None and wanted and min(wanted) <= origin_us:
        raise Failure(
            f"--start {visible(start, most=40)} is not before the --ready time.",
            "Begin earlier, or ask for it later.",
        )
    kitchen = load_kitchen(places.kitchen_file())
    if kitchen.learn:
        say_if_busy(places.journal_file())
    learned = recalled_all(places.journal_file(), kitchen, formulas)
    # The oven is one for all of them; each formula has hands times of its own.
    kitchen = today.over(replace(kitchen, oven=learned[0].kitchen.oven))
    weighed = tuple(weigh_out(each.weigh_formula, each.kitchen) for each in learned)
    todays = tuple(today.over(each.kitchen) for each in learned)
    placed = [
        in_its_places(each.plan_formula, out.batch, here)
        for each, out, here in zip(learned, weighed, todays, strict=True)
    ]
    told = tuple(
        f"{letter}: {words}"
        for letter, formula, out, here in zip(LETTERS, formulas, weighed, todays, strict=False)
        for words in places_told(as_opened(formula, out.batch, here))
    )
    quiet = () if awake else nights(kitchen, origin_us, max(wanted, default=None))
    problem = problem_of(_wishes(placed, wanted), kitchen, origin_us, quiet=quiet)
    found = best_plan(problem, steps_for(problem))
    return Planned(now, origin_us, kitchen, found, timetable(found, origin_us), weighed, todays, told, _words(learned))


def _moment_us(text: str, now: Stamp, here: datetime) -> int:
    moment = read_when(text, here)
    if is_span(text):
        return now.wall_us + round((moment - here).total_seconds() * 1_000_000)
    return utc_us(moment, now.wall_us)


def _words(learned: Sequence[Use]) -> tuple[str, ...]:
    """Which figures were learned from past bakes, each once."""
    return tuple(dict.fromkeys(words for each in learned for words in each.plan_words))


def steps_for(problem: Problem) -> int:
    """How long to look for better plans, in steps of the search."""
    count = len(problem.chains)
    return next(steps for most, steps in STEPS.items() if count <= most)


def _wishes(formulas: Sequence[Formula], ready: Sequence[int]) -> list[Wish]:
    if len(ready) not in (0, 1, len(formulas)):
        raise Failure(
            f"{len(ready)} times of --ready do not go with {len(formulas)} formulas.",
            "Give it once for all of them, or once for each in order.",
        )
    wanted: list[int | None] = [None] * len(formulas) if not ready else [*ready]
    if len(wanted) < len(formulas):
        wanted *= len(formulas)
    return [
        Wish(letter, formula, ready_us) for letter, formula, ready_us in zip(LETTERS, formulas, wanted, strict=False)
    ]
