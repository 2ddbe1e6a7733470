"""``proofbell plan``: start times so that everything is ready when wanted and nothing clashes."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from proofbell import places
from proofbell.bake.decisions.as_opened import as_opened, in_its_places
from proofbell.bake.fermenting.place_words import places_told
from proofbell.bake.letters import LETTERS
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.bench.planning_problem import Wish, problem_of
from proofbell.bench.timetable import timetable
from proofbell.bench.way_out_words import way_out_words
from proofbell.cli.arguments import values
from proofbell.cli.arguments.plan_asked import Asked, read_asked
from proofbell.cli.arguments.reading import read_all
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.plan_calendar import as_calendar
from proofbell.cli.printed.plan_text import as_plain, as_text
from proofbell.cli.printed.printing import print_json
from proofbell.cli.printed.say import remark
from proofbell.cli.printed.sheet import sheet_of
from proofbell.cli.printed.sheet_page import sheet_page
from proofbell.cli.printed.sheet_text import sheet_text
from proofbell.clock import WallClock
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.journal.files.copying import whole_file
from proofbell.journal.learning.recall import recalled_all
from proofbell.journal.learning.use import Use
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Kitchen
from proofbell.kitchen.today import Today
from proofbell.moment_text import whole_minute_us
from proofbell.nights import nights
from proofbell.planner.clashes import WayOut, clashes_of
from proofbell.planner.model import Plan, Problem
from proofbell.planner.reasons import reasons_of, ways_out_of
from proofbell.planner.search import plan as best_plan
from proofbell.quantities import Dimension
from proofbell.visible import visible

HELP = "start times so that everything is ready when wanted and nothing clashes"

EXAMPLE = 'proofbell plan harbour-knots quay-pan-loaf --ready "tomorrow 07:30"'

STEPS = {4: 1500, 8: 600, 12: 300}
"""Steps of the search for up to so many bakes: a few seconds on a small machine."""

MOST_COMMAND = 4000

MOST_READ = 4_000_000
"""So much of a calendar file that is replaced is looked at (bytes)."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's arguments."""
    parser.add_argument("formula", nargs="+", metavar="FORMULA", help="formula files, or house formulas' short names")
    parser.add_argument(
        "--ready",
        action="append",
        metavar="WHEN",
        help='when it is wanted, such as 18:30 or "Sat 09:00"; once for all, or repeated for each formula in order',
    )
    parser.add_argument("--room", metavar="T", help='room temperature, such as "23 °C" (the kitchen file\'s)')
    parser.add_argument("--fridge", metavar="T", help="fridge temperature (the kitchen file's)")
    parser.add_argument("--start", metavar="WHEN", help="begin no earlier than this (now without it)")
    parser.add_argument("--awake", action="store_true", help="hands at any hour, in the kitchen's quiet ones too")
    parser.add_argument("--hands", metavar="N", help="so many pairs of hands (the kitchen file's)")
    parser.add_argument(
        "--longer",
        action="append",
        metavar="STAGE",
        help='a stage that may last longer than its dough forgives: "B Final proof = 15 min"',
    )
    parser.add_argument(
        "--take", type=int, metavar="N", help="take the Nth way out that this plan offers: its plan, and its command"
    )
    parser.add_argument(
        "--ics", type=places.path_to_write, metavar="FILE", help="write the plan as a calendar file too"
    )
    parser.add_argument(
        "--sheet", action="store_true", help="the day for the wall: rows to tick, and a card for each dough"
    )
    parser.add_argument(
        "--html", type=places.path_to_write, metavar="FILE", help="write that as a page too, to print on A4 or Letter"
    )
    parser.add_argument("--overwrite", action="store_true", help="let --ics and --html replace a file that is there")
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


@dataclass(frozen=True, slots=True)
class _Planned:
    """A day and all that it was planned from."""

    asked: Asked
    formulas: list[Formula]
    kitchen: Kitchen
    learned: list[Use]
    todays: list[Kitchen]
    told: list[str]
    origin_us: int
    plan: Plan


def run(args: argparse.Namespace) -> int:
    """Print the plan. 0: it holds; 1: it cannot be done as wanted, and the clashes say why."""
    now = WallClock().stamp()
    here = datetime.fromtimestamp(now.wall_us / 1_000_000)  # noqa: DTZ006 - clock time on the kitchen's wall
    if len(args.formula) > len(LETTERS):
        raise Failure(f"{len(args.formula)} bakes are more than the bench holds.", "Plan at most twelve at once.")
    asked = read_asked(args, here, now.wall_us)
    today = Today(
        values.quantity(args.room, Dimension.TEMPERATURE, "--room"),
        fridge_c=values.quantity(args.fridge, Dimension.TEMPERATURE, "--fridge"),
    )
    day, taken = _planned(asked, today, now.wall_us), None
    if args.take is not None:
        way = _way(day.plan, args.take)
        taken = (way_out_words(way), day.asked.taken(way.change, day.origin_us).command)
        day = _planned(day.asked.taken(way.change, day.origin_us), today, now.wall_us)
    _show(args, day, now, taken)
    return 0 if day.plan.feasible and not clashes_of(day.plan) else 1


def _planned(asked: Asked, today: Today, now_us: int) -> _Planned:
    formulas = read_all(asked.named)
    origin_us = whole_minute_us(now_us if asked.start_us is None else asked.start_us)
    kitchen = load_kitchen(places.kitchen_file())
    if kitchen.learn:
        say_if_busy(places.journal_file())
    learned = recalled_all(places.journal_file(), kitchen, formulas)
    # The oven is one for all of them; each formula has hands times of its own.
    kitchen = today.over(replace(kitchen, oven=learned[0].kitchen.oven, hands=asked.hands or kitchen.hands))
    batches = [weigh_out(each.weigh_formula, each.kitchen).batch for each in learned]
    todays = [today.over(each.kitchen) for each in learned]
    placed = [
        in_its_places(each.plan_formula, batch, here)
        for each, batch, here in zip(learned, batches, todays, strict=True)
    ]
    told = [
        f"{letter}: {words}"
        for letter, formula, batch, here in zip(LETTERS, formulas, batches, todays, strict=False)
        for words in places_told(as_opened(formula, batch, here))
    ]
    wishes = [
        Wish(letter, formula, ready_us)
        for letter, formula, ready_us in zip(LETTERS, placed, asked.ready_us, strict=False)
    ]
    wanted_us = max((at_us for at_us in asked.ready_us if at_us is not None), default=None)
    spans = () if "--awake" in asked.rest else nights(kitchen, origin_us, wanted_us)
    problem = asked.on(problem_of(wishes, kitchen, origin_us, quiet=spans), formulas)
    found = best_plan(problem, steps_for(problem))
    return _Planned(asked, formulas, kitchen, learned, todays, told, origin_us, found)


def _way(plan: Plan, number: int) -> WayOut:
    ways = [way for reason in reasons_of(plan) for way in ways_out_of(plan, reason)]
    if 1 <= number <= len(ways):
        return ways[number - 1]
    if not ways:
        raise Failure("There is no way out to take: nothing is late.", "Leave --take out.")
    raise Failure(f"There is no way out {number}.", f"The plan offers 1 to {len(ways)}.")


def _show(args: argparse.Namespace, day: _Planned, now: Stamp, taken: tuple[str, str] | None) -> None:
    table, kitchen = timetable(day.plan, day.origin_us), day.kitchen
    if args.ics:
        # First: whoever reads only the beginning of what is printed has the file all the same.
        before = _read(args.ics) if args.overwrite else ""
        _write(args.ics, as_calendar(table, kitchen, now.wall_us, before), overwrite=args.overwrite)
        if not args.json:
            remark(f"The calendar is in {visible(str(args.ics))}.")
    if args.sheet or args.html:
        weighed = _weighed(day.learned, day.todays)
        sheet = sheet_of(day.plan, table, day.origin_us, kitchen, day.formulas, weighed)
        if args.html:
            _write(args.html, sheet_page(sheet), overwrite=args.overwrite)
            if not args.json:
                remark(f"The page is in {visible(str(args.html))}.")
    if args.json:
        written = dict(zip(LETTERS, day.formulas, strict=False))
        document = as_plain(day.plan, table, day.origin_us, kitchen, _words(day.learned), written, day.told)
        print_json(document if taken is None else {**document, "taken": {"words": taken[0], "command": taken[1]}})
        return
    if taken is not None:
        told = f"Taken: {visible(taken[0])}. The command for this plan:\n{visible(taken[1], most=MOST_COMMAND)}\n"
        # What hangs on the wall has no use for a command.
        remark(told) if args.sheet else print(told)
    if args.sheet:
        print(sheet_text(sheet))
    else:
        print(as_text(day.plan, table, day.origin_us, kitchen, now, _words(day.learned), day.told))


def _weighed(learned: Sequence[Use], todays: Sequence[Kitchen]) -> list[WeighOut]:
    """What is weighed for each, as ``proofbell weigh`` has it."""
    return [
        weigh_out(
            each.weigh_formula,
            here,
            learned_rise_k=each.rise_k,
            learned_rise_range_k=each.rise_range_k,
            learned_loss_percent=each.bake_loss_percent,
        )
        for each, here in zip(learned, todays, strict=True)
    ]


def _words(learned: Sequence[Use]) -> list[str]:
    """Which figures were learned from past bakes, each once."""
    return list(dict.fromkeys(words for each in learned for words in each.plan_words))


def steps_for(problem: Problem) -> int:
    """How long to look for better plans, in steps of the search."""
    count = len(problem.chains)
    return next(steps for most, steps in STEPS.items() if count <= most)


def _read(path: Path) -> str:
    """The file that is to be replaced, as far as it is a text of reasonable size; empty for none."""
    try:
        with path.open("rb") as file:
            return file.read(MOST_READ).decode("utf-8", "replace")
    except OSError:
        return ""


def _write(path: Path, text: str, *, overwrite: bool) -> None:
    try:
        with whole_file(path, overwrite=overwrite) as file:
            file.write(text.encode("utf-8"))
    except OSError as error:
        raise Failure(
            f"{path} cannot be written: {error.strerror}.", "Give another name or folder.", status=1
        ) from error
