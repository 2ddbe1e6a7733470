"""``proofbell plan``: start times so that everything is ready when wanted and nothing clashes."""

from __future__ import annotations

import argparse
from pathlib import Path

from proofbell import places
from proofbell.bake.letters import LETTERS
from proofbell.cli.arguments import values
from proofbell.cli.arguments.planned import planned
from proofbell.cli.arguments.reading import read_all
from proofbell.cli.printed.plan_text import as_calendar, as_plain, as_text
from proofbell.cli.printed.printing import print_json
from proofbell.cli.printed.say import remark
from proofbell.errors import Failure
from proofbell.journal.files.copying import whole_file
from proofbell.kitchen.today import Today
from proofbell.planner.clashes import clashes_of
from proofbell.quantities import Dimension
from proofbell.visible import visible

HELP = "start times so that everything is ready when wanted and nothing clashes"

EXAMPLE = 'proofbell plan harbour-knots quay-pan-loaf --ready "tomorrow 07:30"'


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
    parser.add_argument("--overwrite", action="store_true", help="let --ics replace a file that is there")
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def run(args: argparse.Namespace) -> int:
    """Print the plan. 0: it holds; 1: it cannot be done as wanted, and the clashes say why."""
    formulas = read_all(args.formula)
    today = Today(
        values.quantity(args.room, Dimension.TEMPERATURE, "--room"),
        fridge_c=values.quantity(args.fridge, Dimension.TEMPERATURE, "--fridge"),
    )
    made = planned(formulas, args.ready or [], args.start, today, awake=args.awake)
    found, table = made.plan, made.table
    if args.ics:
        # First: whoever reads only the beginning of what is printed has the file all the same.
        _write(args.ics, as_calendar(table, made.kitchen.oven, made.now.wall_us), overwrite=args.overwrite)
        if not args.json:
            remark(f"The calendar is in {visible(str(args.ics))}.")
    if args.json:
        written = dict(zip(LETTERS, formulas, strict=False))
        print_json(as_plain(found, table, made.origin_us, made.kitchen, made.learned, written, made.placed))
    else:
        print(as_text(found, table, made.origin_us, made.kitchen, made.now, made.learned, made.placed))
    return 0 if found.feasible and not clashes_of(found) else 1


def _write(path: Path, text: str, *, overwrite: bool) -> None:
    try:
        with whole_file(path, overwrite=overwrite) as file:
            file.write(text.encode("utf-8"))
    except OSError as error:
        raise Failure(
            f"{path} cannot be written: {error.strerror}.", "Give another name or folder.", status=1
        ) from error
