"""Every form a bake can be taken away in. A new one is one file and one line here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from proofbell.bake.fold import ImpossibleError
from proofbell.journal.export_csv import csv_text
from proofbell.journal.export_json import whole_json
from proofbell.journal.export_markdown import markdown
from proofbell.journal.picture import picture
from proofbell.journal.review import BakeReview, review
from proofbell.journal.store import Journal


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


def reviews(journal: Journal, bakes: Iterable[str]) -> Iterator[BakeReview]:
    """Look back on bakes one at a time, so that ten thousand need no more memory than one.

    A log that is damaged is told as far as it can be trusted; one without a readable beginning is left out.
    """
    for bake in bakes:
        events, problems = journal.read(bake)
        try:
            yield review(events, problems)
        except ImpossibleError:
            continue
