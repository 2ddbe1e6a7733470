"""``proofbell shop``: what several doughs need together, summed by ingredient."""

from __future__ import annotations

import argparse

from proofbell import places
from proofbell.bake.weigh.shopping import Needed, Shopping, shopping
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.cli.arguments.reading import read_named
from proofbell.cli.printed.printing import print_json
from proofbell.kitchen.file import load_kitchen
from proofbell.visible import visible
from proofbell.words import weight

HELP = "everything that several doughs need, summed by ingredient"

EXAMPLE = "proofbell shop harbour-knots quay-pan-loaf"

_NAME_WIDTH = 34


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's arguments."""
    parser.add_argument(
        "formula",
        nargs="+",
        metavar="FORMULA",
        help="a formula file, or a house formula's short name; one named twice is made twice",
    )
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def run(args: argparse.Namespace) -> int:
    """Print the list. Raises `Failure` for a formula that cannot be right."""
    kitchen = load_kitchen(places.kitchen_file())
    formulas = [read_named(named) for named in args.formula]
    found = shopping([(formula, weigh_out(formula, kitchen)) for formula in formulas])
    if args.json:
        print_json(
            {
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
            }
        )
    else:
        print(_as_text(found))
    return 0


def _as_text(found: Shopping) -> str:
    shelf = [item for item in found.items if not item.from_fridge]
    cold = [item for item in found.items if item.from_fridge]
    blocks = [_list("To have ready", shelf)] if shelf else []
    blocks += [_list("From the fridge", cold)] if cold else []
    things = [f"  {number} {'tin' if number == 1 else 'tins'} of {tin_ml:.0f} ml" for tin_ml, number in found.tins]
    things.append(f"  {found.trays} oven {'place' if found.trays == 1 else 'places'} over all doughs")
    blocks.append("\n".join(["Tins and trays", *things]))
    if found.starter_g > 0:
        blocks.append(f"Ripe starter: {weight(round(found.starter_g, 1))}. Have more than that, and keep some back.")
    return "\n\n".join(blocks)


def _list(head: str, items: list[Needed]) -> str:
    """The heaviest first; what is measured in grams and tenths is in one column."""
    rows = [
        f"  {weight(round(item.grams, 2)):>10}  {visible(item.name, most=_NAME_WIDTH):<{_NAME_WIDTH}}  {_doughs(item)}"
        for item in sorted(items, key=lambda item: -item.grams)
    ]
    return "\n".join([head, *(row.rstrip() for row in rows)])


def _doughs(item: Needed) -> str:
    """``Harbour knots`` or ``3 doughs``: the names are in the JSON."""
    return visible(item.doughs[0], most=26) if len(item.doughs) == 1 else f"{len(item.doughs)} doughs"
