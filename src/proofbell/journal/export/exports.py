"""Every form a bake can be taken away in. A new one is one file and one line here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from proofbell.bake.steps import ImpossibleError
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.formula.text.guard import bare
from proofbell.formula.text.identity import digest_of
from proofbell.frozen import dataclass
from proofbell.journal.export.export_csv import csv_text
from proofbell.journal.export.export_json import whole_json
from proofbell.journal.export.export_markdown import markdown
from proofbell.journal.export.picture import picture
from proofbell.journal.faults import Problem, unreadable
from proofbell.journal.reviews.review import BakeReview, review
from proofbell.journal.storage.store import Journal
from proofbell.visible import visible


@dataclass(frozen=True, slots=True)
class Form:
    """A form: its name, the ending of its files, and how bakes are written in it, piece by piece.

    ``together``: many bakes make one document; otherwise each needs a file of its own.
    """

    name: str
    ending: str
    write: Callable[[Iterable[BakeReview], str], Iterator[str]]
    together: bool = True


FORMS: dict[str, Form] = {
    form.name: form
    for form in (
        Form("markdown", ".md", lambda bakes, _version: markdown(bakes)),
        Form("csv", ".csv", lambda bakes, _version: csv_text(bakes)),
        Form("json", ".json", whole_json),
        Form("svg", ".svg", lambda bakes, _version: (picture(bake) for bake in bakes), together=False),
    )
}


def form_for(path: Path) -> Form:
    """The form that belongs to a file's ending. Raises Failure: there is none."""
    for form in FORMS.values():
        if path.suffix.casefold() == form.ending:
            return form
    endings = ", ".join(form.ending for form in FORMS.values())
    raise Failure(f'"{visible(path.name)}" has no ending that names a format.', f"End its name in one of {endings}.")


def left_out_words(bakes: Sequence[str]) -> str:
    """Which bakes an export had to leave out, as one sentence; nothing when there are none."""
    if not bakes:
        return ""
    some = ", ".join(visible(bake) for bake in bakes[:5]) + (f" and {len(bakes) - 5} more" if len(bakes) > 5 else "")
    whose = "its beginning" if len(bakes) == 1 else "their beginning"
    return f"Left out, since {whose} cannot be read: {some}. proofbell journal verify says why."


def reviews(
    journal: Journal, bakes: Iterable[str], left_out: Callable[[str], object] = lambda _bake: None
) -> Iterator[BakeReview]:
    """Look back on bakes one at a time, so that ten thousand need no more memory than one.

    A log that is damaged is told as far as it can be trusted; one without a readable beginning is left out, and
    ``left_out`` is told which. Raises Damaged, NewerLog: there are bakes, and of none the beginning can be read.
    """
    some, unread = False, None
    for bake in bakes:
        events, problems = journal.read(bake)
        try:
            looked_at = review(events, problems)
        except ImpossibleError as error:
            left_out(bake)
            unread = unreadable(bake, problems or (Problem(str(error)),))
        else:
            some = True
            yield looked_at
    if unread is not None and not some:
        raise unread


def formula_bytes(bake: str, formula: Formula) -> bytes:
    """Return what stood in the file. Bakes of before this could be asked for have each line end as a line feed.

    Raises Failure: the log holds no text, or another one than was opened.
    """
    # Half a character was in no file.
    data = formula.text.encode(errors="replace")
    digest = digest_of(bare(data.decode()))
    shown = visible(bake, most=80)
    if not data:
        raise Failure(f"The log of {shown} holds no text of its formula.", "Choose another bake of it.", status=1)
    if formula.digest and digest != formula.digest:
        raise Failure(
            f"The formula in the log of {shown} is damaged: it is not the text that was opened.",
            "Choose another bake of it; proofbell journal export shows what is left.",
            status=1,
        )
    return data
