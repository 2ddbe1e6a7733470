"""``plan --sheet``: the day for the wall at 80 columns."""

from __future__ import annotations

from collections.abc import Iterator

from proofbell.bench.day_words import late_words
from proofbell.bench.paper.cards import SheetCard
from proofbell.bench.paper.rows import SheetRow
from proofbell.dough.safety import LOCAL_FIRST_FOR_ALL
from proofbell.sheet.sheet import Sheet, did_words, goes_words, hour_of, note_words
from proofbell.visible import visible
from proofbell.words import filled

WIDTH = 80
NAME = 34
WHO = 10
BOX = "[ ]"


def sheet_text(sheet: Sheet) -> str:
    """The day row by row, then a card for each dough."""
    blocks = ["\n".join(_head(sheet))]
    blocks += ["\n".join([*([name] if sheet.several_days else []), *_rows(rows)]) for name, rows in sheet.days]
    blocks += ["\n".join(_card(card, sheet)) for card in sheet.cards]
    if sheet.cautions:
        told = [f"{f'{letters}: ' if letters else ''}{caution.alone}" for letters, caution in sheet.cautions]
        blocks.append("\n".join(["Take care", *(_wrapped(one, "  ") for one in (*told, LOCAL_FIRST_FOR_ALL))]))
    return "\n\n".join(blocks)


def _head(sheet: Sheet) -> Iterator[str]:
    yield _wrapped(sheet.title, "")
    yield visible(sheet.kitchen, most=WIDTH)
    yield ""
    names = [visible(bake.formula, most=NAME) for bake in sheet.bakes]
    widest = max(map(len, names))
    last_us = max(bake.ready_us for bake in sheet.bakes)
    for name, bake in zip(names, sheet.bakes, strict=True):
        yield f"{bake.letter}  {name:<{widest}}  ready {hour_of(bake.ready_us, last_us)}{late_words(bake)}"
    for words in sheet.trouble:
        yield _wrapped(visible(words, most=500), "")


def _rows(rows: list[SheetRow]) -> Iterator[str]:
    clock = max(len(hour_of(row.at_us)) for row in rows)
    letters = max(len(_letters(row)) for row in rows)
    who = max(len(_who(row)) for row in rows)
    for row in rows:
        box = BOX if row.asks else " " * len(BOX)
        lead = (
            f"{box} {hour_of(row.at_us):>{clock}}  {_letters(row):<{letters}}  {_who(row):<{who}}{'  ' if who else ''}"
        )
        if row.kind == "note":
            yield _hung(note_words(row), lead)
            continue
        if row.asks:
            yield _hung(", ".join(part for part in did_words(row) if part), lead)
            lead = " " * len(lead)
        for goes in row.goes:
            yield _hung(goes_words(goes, row), f"{lead}· ")
            lead = " " * len(lead)


def _letters(row: SheetRow) -> str:
    return " ".join(row.letters)


def _who(row: SheetRow) -> str:
    return visible(row.who, most=WHO)


def _card(card: SheetCard, sheet: Sheet) -> Iterator[str]:
    yield f"{card.letter}  {visible(card.name, most=WIDTH - 3)}"
    yield _wrapped(card.makes, "   ")
    for words in (card.dough, *card.mind):
        if words:
            yield _wrapped(words, "   ")
    ready_us = max(bake.ready_us for bake in sheet.bakes)
    widest = max((len(line.weight) for bowl in card.bowls for line in bowl.lines), default=0)
    for bowl in card.bowls:
        by = "" if bowl.by_us is None else f", {hour_of(bowl.by_us, ready_us)}"
        yield _wrapped(f"{bowl.title}{by}", "   ")
        for line in bowl.lines:
            note = f", {line.note}" if line.note else ""
            yield _hung(f"{visible(line.name, most=NAME)}{note}", f"   [ ] {line.weight:>{widest}}  ")
    for words in (*card.checks, card.heats, card.allergens):
        if words:
            yield _wrapped(words, "   ")


def _wrapped(words: str, indent: str) -> str:
    return _filled(words, indent, indent)


def _hung(words: str, lead: str) -> str:
    return _filled(words, lead, " " * len(lead))


def _filled(words: str, first: str, later: str) -> str:
    """Within the width; a number stays with its unit, and what has no break is cut into pieces."""
    return filled(visible(words, most=700), WIDTH, first, later, break_long=True)
