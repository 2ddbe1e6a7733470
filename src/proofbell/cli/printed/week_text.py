"""What ``proofbell journal week`` prints for people: lines, or a page in Markdown."""

from __future__ import annotations

from collections.abc import Iterator

from proofbell.cli.printed.journal_text import table
from proofbell.journal.course.week import COLUMNS, Week, head, remarks, rows
from proofbell.journal.export.export_markdown import markdown_table, safe
from proofbell.visible import visible


def text_lines(found: Week) -> Iterator[str]:
    """The span, all of it in a line, a row for each formula, what was given up."""
    yield from head(found)
    if found.formulas:
        yield ""
        yield from table(COLUMNS, rows(found))
    if told := remarks(found):
        yield ""
        yield from (visible(words, most=400) for words in told)


def markdown(found: Week) -> str:
    """The same as a CommonMark page with a table."""
    when, all_of_it = head(found)
    parts = [f"# {when}", all_of_it + "."]
    if found.formulas:
        parts.append(markdown_table(COLUMNS, rows(found)))
    if told := remarks(found):
        parts.append("\n".join(f"- {safe(words)}" for words in told))
    return "\n\n".join(parts) + "\n"
