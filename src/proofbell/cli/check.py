"""``proofbell check``: faults and warnings of formula files, with the places where they stand."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from typing import Any

from proofbell import places
from proofbell.cli.arguments.reading import formula_bytes, formula_path, refuse_recipe
from proofbell.cli.printed.printing import print_foreign_json, print_json, remark
from proofbell.errors import Failure
from proofbell.faults import Fault, Source
from proofbell.formula.read import read_formula
from proofbell.formula.report import report
from proofbell.formula.text.guard import decoded
from proofbell.visible import visible
from proofbell.words import counted

EXAMPLE = "proofbell check my-loaf.toml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("formula", nargs="*", metavar="FORMULA", help="a formula file, or a house formula's short name")
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema with which editors check formulas")
    parser.add_argument("--reference", action="store_true", help="print the page for those who write formulas")


def run(args: argparse.Namespace) -> int:
    """Check the files named, or print the schema or the page. 0: all can be baked; 2: at least one is refused."""
    if args.schema:
        from proofbell.formula.read import schema

        print_foreign_json(schema())
        return 0
    if args.reference:
        print(places.reference_page().read_text(encoding="utf-8"), end="")
        return 0
    if not args.formula:
        raise Failure("Nothing to check.", f"Name a formula file, or one of: {', '.join(places.house_formulas())}.")
    found = [_checked(named) for named in args.formula]
    if args.json:
        files = [{"file": source.name, "faults": [_plain(fault) for fault in faults]} for source, faults in found]
        print_json({"files": files})
    else:
        for source, faults in found:
            _say(source, faults)
    return 2 if any(fault.is_error for _, faults in found for fault in faults) else 0


def _checked(named: str) -> tuple[Source, tuple[Fault, ...]]:
    """Read one file; one that is not there is a fault of the file as a whole, so that the others are still read."""
    try:
        path = formula_path(named)
        data = formula_bytes(path)
        refuse_recipe(path, data)
    except Failure as failure:
        return Source(named, ""), (Fault("error", failure.message, failure.remedy),)
    _, faults = read_formula(data, str(path))
    return Source(str(path), decoded(data)[0]), faults


def _plain(fault: Fault) -> dict[str, Any]:
    facts = asdict(fault)
    del facts["length"]
    return facts


def _say(source: Source, faults: tuple[Fault, ...]) -> None:
    """Refusals go to standard error; a file that can be baked goes to standard output, with its warnings."""
    errors = sum(fault.is_error for fault in faults)
    odd = len(faults) - errors
    if faults:
        (remark if errors else print)(report(faults, source))
    name = visible(source.name, most=300)
    if errors:
        remark(f"\n{name}: refused, {counted(errors, 'fault')}.")
    else:
        print(("\n" if faults else "") + f"{name}: ok{', ' + counted(odd, 'warning') if odd else ''}.")
