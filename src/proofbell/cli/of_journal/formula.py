"""``proofbell journal formula``: the formula of a bake as a file again, byte for byte what was opened."""

from __future__ import annotations

import argparse
import sys

from proofbell import places
from proofbell.cli.arguments.journal_find import find, open_journal
from proofbell.cli.arguments.reading import own_folders
from proofbell.cli.printed.printing import remark
from proofbell.errors import Failure
from proofbell.journal.export.exports import formula_bytes
from proofbell.journal.faults import unreadable
from proofbell.journal.index import as_far_as_it_goes
from proofbell.recipe.own_file import free_place, own_place, write_new
from proofbell.visible import visible


def take_out(args: argparse.Namespace) -> int:
    """Write or print it. Raises `Failure`."""
    out = None if args.out in (None, "-") else free_place(places.path_to_write(args.out))
    with open_journal() as journal:
        bake = find(journal, args.bake)
        state, problems = as_far_as_it_goes(*journal.read(bake))
    if state is None:
        raise unreadable(bake, problems)
    data = formula_bytes(bake, state.formula)
    if args.own:
        out = own_place(own_folders()[0], state.formula.name)
    if out is None:
        _print(data)
        return 0
    write_new(out, data.decode())
    print(f"{visible(str(out), most=300)}: written.")
    if args.own:
        remark(f"to bake it: proofbell {out.stem}")
    return 0


def _print(data: bytes) -> None:
    """A terminal gets nothing that it would obey; what is not one gets every byte."""
    text = data.decode()
    if sys.stdout.isatty():
        print(visible(text, most=len(text), breaks=True), end="")
        return
    try:
        sys.stdout.reconfigure(encoding="utf-8", newline="")  # type: ignore[union-attr]
    except AttributeError as error:
        raise Failure("The file cannot be written to this output.", "Name a file with --out.", status=1) from error
    sys.stdout.write(text)
