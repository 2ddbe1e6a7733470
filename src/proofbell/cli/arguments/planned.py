"""A plan for the formulas that a command names, with what was weighed out for it: for ``plan`` and for ``shop``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from proofbell import places
from proofbell.bake.decisions.as_opened import as_opened, halves, in_its_places
from proofbell.bake.events import LETTERS
from proofbell.bake.fermenting.place_words import places_told
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import Timetable, timetable
from proofbell.cli.arguments.plan_asked import Asked
from proofbell.cli.arguments.reading import read_all
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.clock import WallClock
from proofbell.dough.weights import SizeWish
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.journal.learning.recall import recalled_all
from proofbell.journal.learning.use import Use
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Kitchen, Today
from proofbell.moment_text import whole_minute_us
from proofbell.nights import nights
from proofbell.planner.effort import STEPS, steps_for
from proofbell.planner.plan import Plan
from proofbell.planner.search import plan as best_plan


@dataclass(frozen=True, slots=True)
class Planned:
    """The plan and its table; each formula's weigh-out and kitchen, and what is told of its places and of the past.

    ``asked`` is what it was made for, ``origin_us`` the plan's second 0, UTC µs.
    """

    asked: Asked
    formulas: tuple[Formula, ...]
    origin_us: int
    kitchen: Kitchen
    plan: Plan
    table: Timetable
    weighed: tuple[WeighOut, ...]
    kitchens: tuple[Kitchen, ...]
    placed: tuple[str, ...]
    learned: tuple[str, ...]


def moment() -> tuple[Stamp, datetime]:
    """Now, and as the clock on the kitchen's wall shows it."""
    now = WallClock().stamp()
    return now, datetime.fromtimestamp(now.wall_us / 1_000_000)  # noqa: DTZ006 - clock time on the kitchen's wall


def planned(asked: Asked, today: Today, now: Stamp) -> Planned:
    """Plan what is asked. Raises Failure: it cannot be planned as it was asked for."""
    formulas = tuple(read_all(asked.named))
    if len(formulas) > len(LETTERS):
        raise Failure(f"{len(formulas)} bakes are more than the bench holds.", "Plan at most twelve at once.")
    origin_us = whole_minute_us(now.wall_us if asked.start_us is None else asked.start_us)
    kitchen = load_kitchen(places.kitchen_file())
    if kitchen.learn:
        say_if_busy(places.journal_file())
    learned = recalled_all(places.journal_file(), kitchen, formulas)
    # The oven is one for all of them; each formula has hands times of its own.
    kitchen = today.over(replace(kitchen, oven=learned[0].kitchen.oven, hands=asked.hands or kitchen.hands))
    todays = tuple(today.over(each.kitchen) for each in learned)
    weighed = tuple(
        weigh_out(
            each.weigh_formula,
            here,
            None if pieces is None else SizeWish(pieces=pieces),
            learned_rise_k=each.rise_k,
            learned_rise_range_k=each.rise_range_k,
            learned_loss_percent=each.bake_loss_percent,
        )
        for each, here, pieces in zip(learned, todays, asked.pieces or (None,) * len(formulas), strict=True)
    )
    placed = [
        in_its_places(each.plan_formula, out.batch, here)
        for each, out, here in zip(learned, weighed, todays, strict=True)
    ]
    told = tuple(
        f"{letter}: {words}"
        for letter, formula, out, here in zip(LETTERS, formulas, weighed, todays, strict=False)
        for words in places_told(as_opened(formula, out.batch, here))
    )
    half = [
        tuple(in_its_places(each.plan_formula, part, here) for part in halves(formula, out.batch, here))
        for formula, each, out, here in zip(formulas, learned, weighed, todays, strict=True)
    ]
    wishes = [
        Wish(letter, formula, ready_us, halves=parts)
        for letter, formula, ready_us, parts in zip(LETTERS, placed, asked.ready_us, half, strict=False)
    ]
    wanted_us = max((at_us for at_us in asked.ready_us if at_us is not None), default=None)
    quiet = () if asked.awake else nights(kitchen, origin_us, wanted_us)
    problem = asked.on(problem_of(wishes, kitchen, origin_us, quiet=quiet), formulas)
    found = best_plan(problem, steps_for(problem, STEPS))
    table = timetable(found, origin_us)
    return Planned(asked, formulas, origin_us, kitchen, found, table, weighed, todays, told, _words(learned))


def _words(learned: Sequence[Use]) -> tuple[str, ...]:
    """Which figures were learned from past bakes, each once."""
    return tuple(dict.fromkeys(words for each in learned for words in each.plan_words))
