"""``proofbell shop``: what several doughs need together, and once it is known when, what leaves the fridge."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from proofbell import places
from proofbell.bake.events import LETTERS
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.shopping import Shopping, sections, shopping
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.out_of_fridge import Out, notes, out_of_fridge, out_rows
from proofbell.cli.arguments.plan_asked import read_asked
from proofbell.cli.arguments.planned import moment, planned
from proofbell.cli.arguments.reading import read_all
from proofbell.cli.printed.allergens_text import allergen_lines, allergens_plain
from proofbell.cli.printed.bench_text import iso
from proofbell.cli.printed.plan_text import clock_of
from proofbell.cli.printed.printing import print_json
from proofbell.clock import offset_min
from proofbell.formula.model import Formula
from proofbell.journal.reviews.moments import local
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Kitchen, Today
from proofbell.visible import visible
from proofbell.words import hour_minute

EXAMPLE = "proofbell shop harbour-knots quay-pan-loaf"

_NAME_WIDTH = 34


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "formula",
        nargs="+",
        metavar="FORMULA",
        help="a formula file, or a house formula's short name; one named twice is made twice",
    )
    parser.add_argument(
        "--ready", action="append", metavar="WHEN", help="as for plan; then the list says what leaves the fridge when"
    )
    parser.add_argument("--start", metavar="WHEN", help="as for plan: begin no earlier than this")
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def run(args: argparse.Namespace) -> int:
    """Print the list. Raises `Failure` for a formula that cannot be right."""
    formulas = read_all(args.formula)
    if not (args.ready or args.start):
        kitchen = load_kitchen(places.kitchen_file())
        found = shopping([(formula, weigh_out(formula, kitchen)) for formula in formulas])
        if args.json:
            print_json(_as_plain(found, formulas))
        else:
            print("\n\n".join([*_blocks(found), _allergens(formulas, kitchen)]))
        return 0
    now, here = moment()
    made = planned(read_asked(args, now, here), Today(), now)
    found = shopping(list(zip(formulas, made.weighed, strict=True)))
    by_letter = {bake.letter: bake for bake in made.table.bakes}
    times = [by_letter[letter] for letter, _ in zip(LETTERS, formulas, strict=False)]
    outs = out_of_fridge(list(zip(formulas, made.weighed, made.kitchens, times, strict=True)))
    if args.json:
        print_json({**_as_plain(found, formulas), "out_of_fridge": [_out_plain(out) for out in outs]})
    else:
        print("\n\n".join([*_blocks(found), _allergens(formulas, made.kitchen), *_outs(outs, made.kitchen, now)]))
    return 0


def _as_plain(found: Shopping, formulas: Sequence[Formula]) -> dict[str, Any]:
    return {
        "items": [
            {
                "name": item.name,
                "kind": item.kind,
                "grams": round(item.grams, 3),
                "for": list(item.doughs),
                "from_fridge": item.from_fridge,
            }
            for item in found.items
        ],
        "tins": [{"tin_ml": tin_ml, "number": number} for tin_ml, number in found.tins],
        "trays": found.trays,
        "starter_g": round(found.starter_g, 3),
        "allergens": [
            {"formula": name, **allergens_plain(formula)}
            for name, formula in {formula.name: formula for formula in formulas}.items()
        ],
    }


def _out_plain(out: Out) -> dict[str, Any]:
    taken, before = out.taken, out.taken.before
    return {
        "name": taken.name,
        "kind": taken.kind,
        "grams": round(taken.grams, 3),
        "for": taken.dough,
        "letter": out.letter,
        "stage": out.stage,
        "used": iso(out.at_us),
        "out": iso(out.out_us),
        "earliest": iso(out.earliest_us),
        "latest": iso(out.latest_us),
        "how": taken.how,
        "wanted_c": taken.wanted_c,
        "ahead_s": None if before is None else round(before.seconds),
    }


def _blocks(found: Shopping) -> list[str]:
    return [
        "\n".join([section.head, *(_row(row.amount, row.name, row.dough) for row in section.rows)])
        for section in sections(found)
    ]


def _allergens(formulas: Sequence[Formula], kitchen: Kitchen) -> str:
    return "\n".join(allergen_lines(((formula.name, formula) for formula in formulas), kitchen.region, "Allergens, "))


def _row(amount: str, name: str, dough: str) -> str:
    shown = f"{visible(name, most=_NAME_WIDTH):<{_NAME_WIDTH}}  {visible(dough, most=26)}" if dough else visible(name)
    return f"  {amount:>10}  {shown}".rstrip()


def _outs(outs: Sequence[Out], kitchen: Kitchen, now: Stamp) -> list[str]:
    """What leaves the fridge when, and what that rests on."""
    if not outs:
        return ["Nothing comes out of the fridge."]
    rows = out_rows(outs, lambda at: hour_minute(local(at, offset_min(at))), now.wall_us)
    lines = [f"  {clock_of(at, now):>12}  {letter}  {visible(told, most=300)}" for at, letter, told in rows]
    return ["\n".join(["Out of the fridge", *lines]), "\n".join(notes(outs, kitchen))]
