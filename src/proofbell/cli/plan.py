"""``proofbell plan``: start times so that everything is ready when wanted and nothing clashes."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from proofbell import places
from proofbell.bake.decisions.as_opened import as_opened, in_its_places
from proofbell.bake.fermenting.place_words import places_told
from proofbell.bake.letters import LETTERS
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.bench.planning_problem import Wish, problem_of
from proofbell.bench.timetable import timetable
from proofbell.cli.arguments import values
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
from proofbell.clock_changes import moment_us, twice_words
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
from proofbell.planner.clashes import clashes_of
from proofbell.planner.model import Problem
from proofbell.planner.search import plan as best_plan
from proofbell.quantities import Dimension
from proofbell.visible import visible

HELP = "start times so that everything is ready when wanted and nothing clashes"

EXAMPLE = 'proofbell plan harbour-knots quay-pan-loaf --ready "tomorrow 07:30"'

STEPS = {4: 1500, 8: 600, 12: 300}
"""Steps of the search for up to so many bakes: a few seconds on a small machine."""

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


def _moment_us(text: str, here: datetime, now_us: int) -> int:
    at_us = moment_us(text, here, now_us)
    if words := twice_words(text, at_us):
        remark(words)
    return at_us


def run(args: argparse.Namespace) -> int:
    """Print the plan. 0: it holds; 1: it cannot be done as wanted, and the clashes say why."""
    now = WallClock().stamp()
    here = datetime.fromtimestamp(now.wall_us / 1_000_000)  # noqa: DTZ006 - clock time on the kitchen's wall
    formulas = read_all(args.formula)
    if len(formulas) > len(LETTERS):
        raise Failure(f"{len(formulas)} bakes are more than the bench holds.", "Plan at most twelve at once.")
    origin_us = whole_minute_us(now.wall_us if args.start is None else _moment_us(args.start, here, now.wall_us))
    wanted = [whole_minute_us(_moment_us(text, here, now.wall_us)) for text in args.ready or []]
    if args.start is not None and wanted and min(wanted) <= origin_us:
        raise Failure(
            f"--start {visible(args.start, most=40)} is not before the --ready time.",
            "Begin earlier, or ask for it later.",
        )
    today = Today(
        values.quantity(args.room, Dimension.TEMPERATURE, "--room"),
        fridge_c=values.quantity(args.fridge, Dimension.TEMPERATURE, "--fridge"),
    )
    kitchen = load_kitchen(places.kitchen_file())
    if kitchen.learn:
        say_if_busy(places.journal_file())
    learned = recalled_all(places.journal_file(), kitchen, formulas)
    # The oven is one for all of them; each formula has hands times of its own.
    kitchen = today.over(replace(kitchen, oven=learned[0].kitchen.oven))
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
    wishes = _wishes(placed, wanted)
    spans = () if args.awake else nights(kitchen, origin_us, max(wanted, default=None))
    problem = problem_of(wishes, kitchen, origin_us, quiet=spans)
    found = best_plan(problem, steps_for(problem))
    table = timetable(found, origin_us)
    if args.ics:
        # First: whoever reads only the beginning of what is printed has the file all the same.
        before = _read(args.ics) if args.overwrite else ""
        _write(args.ics, as_calendar(table, kitchen, now.wall_us, before), overwrite=args.overwrite)
        if not args.json:
            remark(f"The calendar is in {visible(str(args.ics))}.")
    if args.sheet or args.html:
        sheet = sheet_of(found, table, origin_us, kitchen, formulas, _weighed(learned, todays))
        if args.html:
            _write(args.html, sheet_page(sheet), overwrite=args.overwrite)
            if not args.json:
                remark(f"The page is in {visible(str(args.html))}.")
    if args.json:
        written = dict(zip(LETTERS, formulas, strict=False))
        print_json(as_plain(found, table, origin_us, kitchen, _words(learned), written, told))
    elif args.sheet:
        print(sheet_text(sheet))
    else:
        print(as_text(found, table, origin_us, kitchen, now, _words(learned), told))
    return 0 if found.feasible and not clashes_of(found) else 1


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
