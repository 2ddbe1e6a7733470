"""``proofbell journal export --format table``: a set of CSV files, for statistics."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import ExitStack
from pathlib import Path

from proofbell.cli.printed.printing import remark
from proofbell.errors import Failure
from proofbell.journal.export.tables import NAMES, dictionary, heads, rows
from proofbell.journal.files.copying import whole_file
from proofbell.journal.files.disk_words import why_not_written
from proofbell.journal.reviews.review import BakeReview
from proofbell.private_folder import make_private_folder
from proofbell.visible import visible


def files_of(to: Path | None, folder: Path | None) -> list[Path]:
    """Where the tables go: ``bakes.csv`` and so on in a folder, or beside each other by a name, as ``year-bakes.csv``.

    Raises:
        Failure: neither is said.
    """
    if folder is not None:
        return [folder / f"{name}.csv" for name in NAMES]
    if to is None:
        raise Failure("Tables are several files.", "Give --folder DIR, or --to NAME for NAME-bakes.csv and so on.")
    stem = to.with_suffix("") if to.suffix.casefold() == ".csv" else to
    return [stem.with_name(f"{stem.name}-{name}.csv") for name in NAMES]


def write_tables(bakes: Iterable[BakeReview], to: Path | None, folder: Path | None, *, overwrite: bool) -> None:
    """Write all of them or none.

    Raises:
        Failure: one is there already, or cannot be written.
    """
    paths = files_of(to, folder)
    try:
        if folder is not None:
            make_private_folder(folder)
        with ExitStack() as stack:
            files = [stack.enter_context(whole_file(path, overwrite=overwrite)) for path in paths]
            for file, text in zip(files, (*heads(), dictionary()), strict=True):
                file.write(text.encode())
            for texts in rows(bakes):
                for file, text in zip(files, texts, strict=False):
                    file.write(text.encode())
    except OSError as error:
        message = f"{visible(str(paths[0]))} and its neighbours cannot be written: {why_not_written(error)}."
        raise Failure(message, "Choose another place.", status=1) from error
    remark(f"written: {', '.join(visible(str(path)) for path in paths)}")
