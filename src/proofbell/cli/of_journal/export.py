"""``proofbell journal export``: bakes taken away, to standard output, one file, or a folder."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

from proofbell import __version__
from proofbell.cli.arguments.journal_find import all_bakes, find, open_journal, query_of
from proofbell.cli.of_journal.export_tables import files_of, write_tables
from proofbell.cli.printed.journal_progress import Progress
from proofbell.cli.printed.printing import remark
from proofbell.errors import Failure
from proofbell.file_names import file_stem
from proofbell.journal.export.exports import FORMS, Form, form_for, left_out_words, reviews
from proofbell.journal.files.copying import whole_file
from proofbell.journal.files.disk_words import why_not_written
from proofbell.journal.reviews.search import search
from proofbell.journal.storage.store import Journal
from proofbell.private_folder import make_private_folder
from proofbell.visible import visible

WRITTEN = "written"

TABLE = "table"
"""Beside the forms: a set of files for all bakes together."""


def export_bakes(args: argparse.Namespace) -> int:
    """Write the bakes that are named, or that the filters leave, the oldest first."""
    if args.to is not None and args.folder is not None:
        raise Failure("Bakes go to one file or into a folder, not both.", "Leave out --to or --folder.")
    tables = args.format == TABLE
    if tables:
        files_of(args.to, args.folder)
    form = FORMS["csv"] if tables else _form(args.format, args.to)
    with open_journal() as journal:
        if args.bake:
            chosen = list(dict.fromkeys(find(journal, named) for named in args.bake))
        else:
            chosen = [summary.bake for summary in reversed(search(all_bakes(journal), query_of(args)))]
        if tables:
            left_out: list[str] = []
            with Progress(WRITTEN) as progress:
                looked_at = progress.through(reviews(journal, chosen, left_out.append), len(chosen))
                write_tables(looked_at, args.to, args.folder, overwrite=args.overwrite)
            return _told(left_out)
        if args.folder is not None:
            return _into_folder(journal, chosen, form, args.folder, overwrite=args.overwrite)
        if not form.together and len(chosen) != 1:
            raise Failure(f"A picture shows one bake, not {len(chosen)}.", "Name one, or give --folder for all.")
        left_out = []
        if args.to is None:
            for piece in form.write(reviews(journal, chosen, left_out.append), __version__):
                sys.stdout.write(piece)
        else:
            with Progress(WRITTEN) as progress:
                looked_at = progress.through(reviews(journal, chosen, left_out.append), len(chosen))
                write_pieces(args.to, form.write(looked_at, __version__), overwrite=args.overwrite)
    return _told(left_out)


def _form(named: str | None, to: Path | None) -> Form:
    """The form that was named, or that the file's ending says; Markdown on standard output where neither says any.

    Raises Failure: the ending names none, or another than was named.
    """
    if to is None:
        return FORMS[named or "markdown"]
    if named is None:
        return form_for(to)
    others = {form.ending for form in FORMS.values()} - {FORMS[named].ending}
    if to.suffix.casefold() in others:
        remedy = f"End the file in {FORMS[named].ending}, or leave out --format."
        raise Failure(f"--format {named}, but {visible(str(to))} ends as {form_for(to).name} does.", remedy)
    return FORMS[named]


def _told(left_out: Sequence[str]) -> int:
    """Say what is missing from the export. 1: something is, 0: nothing."""
    if left_out:
        remark(f"proofbell: {left_out_words(left_out)}")
    return 1 if left_out else 0


def _into_folder(journal: Journal, chosen: Sequence[str], form: Form, folder: Path, *, overwrite: bool) -> int:
    try:
        make_private_folder(folder)
    except OSError as error:
        message = f"The folder {visible(str(folder))} cannot be made: {why_not_written(error)}."
        raise Failure(message, "Choose another.", status=1) from error
    taken: set[str] = set()
    left_out: list[str] = []
    with Progress(WRITTEN) as progress:
        for looked_at in progress.through(reviews(journal, chosen, left_out.append), len(chosen)):
            stem = _stem(looked_at.state.id, taken)
            write_pieces(folder / (stem + form.ending), form.write([looked_at], __version__), overwrite=overwrite)
    remark(f"{len(taken)} written to {visible(str(folder))}")
    return _told(left_out)


def _stem(bake: str, taken: set[str]) -> str:
    """A file name for a bake, unlike those ``taken`` in this run."""
    head, _, tail = bake.rpartition("-")
    stem = file_stem(head, tail)
    number = 2
    while stem in taken:
        stem = file_stem(head, f"{tail[-12:]}-{number}")
        number += 1
    taken.add(stem)
    return stem


def write_pieces(path: Path, pieces: Iterable[str], *, overwrite: bool) -> None:
    """Write a file, whole or not at all.

    Raises:
        Failure: it is there already, or cannot be written.
    """
    try:
        with whole_file(path, overwrite=overwrite) as file:
            for piece in pieces:
                file.write(piece.encode("utf-8"))
    except OSError as error:
        message = f"{visible(str(path))} cannot be written: {why_not_written(error)}."
        raise Failure(message, "Choose another place.", status=1) from error
