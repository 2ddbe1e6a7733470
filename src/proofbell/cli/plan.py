"""``proofbell plan``: start times so that everything is ready when wanted and nothing clashes."""

from __future__ import annotations

import argparse
from pathlib import Path

from proofbell import places
from proofbell.bake.events import LETTERS
from proofbell.bake.stamp import Stamp
from proofbell.bench.plan.reason_words import way_out_words
from proofbell.cli.arguments import values
from proofbell.cli.arguments.plan_asked import read_asked, read_more
from proofbell.cli.arguments.planned import Planned, moment, planned
from proofbell.cli.printed.plan_calendar import as_calendar
from proofbell.cli.printed.plan_text import as_plain, as_text
from proofbell.cli.printed.printing import print_json, remark
from proofbell.errors import Failure
from proofbell.journal.files.copying import whole_file
from proofbell.kitchen.model import Today
from proofbell.planner.clashes import WayOut, clashes_of
from proofbell.planner.plan import Plan
from proofbell.planner.reasons import reasons_of, ways_out_of
from proofbell.quantities import Dimension
from proofbell.sheet.sheet import sheet_of
from proofbell.sheet.sheet_page import sheet_page
from proofbell.sheet.sheet_text import sheet_text
from proofbell.visible import visible

EXAMPLE = 'proofbell plan harbour-knots quay-pan-loaf --ready "tomorrow ‹07:30›"'

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
        help='when it is wanted, such as "‹18:30›" or "Sat ‹09:00›"; once for all, or '
        "repeated for each formula in order",
    )
    parser.add_argument("--room", metavar="T", help='room temperature, such as "‹23 °C›" (the kitchen file\'s)')
    parser.add_argument("--fridge", metavar="T", help="fridge temperature (the kitchen file's)")
    parser.add_argument("--start", metavar="WHEN", help="begin no earlier than this (now without it)")
    parser.add_argument("--awake", action="store_true", help="hands at any hour, in the kitchen's quiet ones too")
    parser.add_argument("--hands", metavar="N", help="so many pairs of hands (the kitchen file's)")
    parser.add_argument(
        "--pieces", action="append", metavar="N", help='another number of pieces of one dough: "B = 24"'
    )
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


def run(args: argparse.Namespace) -> int:
    """Print the plan. 0: it holds; 1: it cannot be done as wanted, and the clashes say why."""
    today = Today(
        values.quantity(args.room, Dimension.TEMPERATURE, "--room"),
        fridge_c=values.quantity(args.fridge, Dimension.TEMPERATURE, "--fridge"),
    )
    now, here = moment()
    made, taken = planned(read_more(read_asked(args, now, here), args), today, now), None
    if args.take is not None:
        way = _way(made.plan, args.take)
        pieces = [out.batch.pieces for out in made.weighed]
        made = planned(made.asked.taken(way.change, made.origin_us, pieces), today, now)
        taken = (way_out_words(way), made.asked.command)
    _show(args, made, now, taken)
    return 0 if made.plan.feasible and not clashes_of(made.plan) else 1


def _way(plan: Plan, number: int) -> WayOut:
    ways = [way for reason in reasons_of(plan) for way in ways_out_of(plan, reason)]
    if 1 <= number <= len(ways):
        return ways[number - 1]
    if not ways:
        raise Failure("There is no way out to take: nothing is late.", "Leave --take out.")
    raise Failure(f"There is no way out {number}.", f"The plan offers 1 to {len(ways)}.")


def _show(args: argparse.Namespace, made: Planned, now: Stamp, taken: tuple[str, str] | None) -> None:
    found, table, kitchen = made.plan, made.table, made.kitchen
    written = dict(zip(LETTERS, made.formulas, strict=False))
    if args.ics:
        # First: whoever reads only the beginning of what is printed has the file all the same.
        before = _read(args.ics) if args.overwrite else ""
        _write(args.ics, as_calendar(table, kitchen, now.wall_us, before, written), overwrite=args.overwrite)
        if not args.json:
            remark(f"The calendar is in {visible(str(args.ics))}.")
    if args.sheet or args.html:
        doughs = dict(zip(LETTERS, zip(made.formulas, made.weighed, strict=True), strict=False))
        sheet = sheet_of(found, table, made.origin_us, kitchen, doughs)
        if args.html:
            _write(args.html, sheet_page(sheet), overwrite=args.overwrite)
            if not args.json:
                remark(f"The page is in {visible(str(args.html))}.")
    if args.json:
        document = as_plain(found, table, made.origin_us, kitchen, made.learned, written, made.placed)
        print_json(document if taken is None else {**document, "taken": {"words": taken[0], "command": taken[1]}})
        return
    if taken is not None:
        told = f"Taken: {visible(taken[0])}. The command for this plan:\n{visible(taken[1], most=MOST_COMMAND)}\n"
        # What hangs on the wall has no use for a command.
        remark(told) if args.sheet else print(told)
    if args.sheet:
        print(sheet_text(sheet))
    else:
        learned, placed = made.learned, made.placed
        told = as_text(found, table, made.origin_us, kitchen, now, learned, placed, awake=args.awake, formulas=written)
        print(told)


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
