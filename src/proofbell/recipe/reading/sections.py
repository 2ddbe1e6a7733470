"""A recipe taken apart: title, yield, headings, ingredient lines, steps. What fits nowhere is kept as unread."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from proofbell.recipe.model import Item, Section, Sheet, Unread
from proofbell.recipe.reading.fed_first import fed
from proofbell.recipe.reading.headings import LIST, METHOD, heading
from proofbell.recipe.reading.lengths import heats_in, hour_s, temperature_in
from proofbell.recipe.reading.line import BULLET, read_line
from proofbell.recipe.reading.made_first import given_back, in_one_line, labelled
from proofbell.recipe.reading.mentions import mentions
from proofbell.recipe.reading.missed_heading import parted
from proofbell.recipe.reading.numbers import NUMBER, amount_at, amounts_in, count_at, number, plain
from proofbell.recipe.reading.steps import read_steps
from proofbell.recipe.reading.toppings import nothing_under, says_its_use, told_on_top
from proofbell.recipe.tables.equipment import is_equipment, without_lead
from proofbell.visible import harmful_places

_YIELD = re.compile(
    rf"(?i)\b(?:makes?|yields?|serves|enough for|quantity|portions?)\b\W*(?:about |approx\.? )?(?P<n>{NUMBER})\b"
    rf"|^\(?(?P<m>{NUMBER})\s+(?:\w+ )?"
    r"(?:loaf|loaves|rolls?|buns?|knots?|baguettes?|pieces|plaits?|pittas?|baps?|bagels?|flatbreads?|sticks)\b"
)
_YIELD_INSIDE = re.compile(
    rf"(?i)\((?P<m>{NUMBER})\s+(?:\w+ )?(?:loaf|loaves|rolls?|buns?|knots?|baguettes?|pieces|plaits?|pittas?)\)"
)
_YIELD_END = re.compile(r"\s-\s(?P<m>\d{1,3})$")
_EACH = re.compile(
    r"(?i)(?P<n>\d+)\s*(?:x|pieces (?:of|at)|(?:loaves|rolls|balls|buns|baguettes|rounds) (?:of|at))"
    r"\s*(?P<g>\d+(?:\.\d+)?)\s*(?P<u>g|kg)\b"
)
_CLOCK = re.compile(
    r"(?i)^(?P<a>\d{1,2}(?:[.:]\d{2})?\s*(?:am|pm)?)(?:\s*-\s*(?P<b>\d{1,2}(?:[.:]\d{2})?\s*(?:am"
    r"|pm)?))?\s*(?:-|:)\s+(?P<rest>[A-Za-z0-9].*)$"
)
_NUMBERED = re.compile(r"(?i)^(?:step\s*)?\d{1,2}\s*[.):]\s+(?=[A-Za-z])|^step\s+\d+\W+")
_LABEL = re.compile(r"^[A-Z][^.:\d]{2,40}:\s+(?=[A-Z])")
_DDT = re.compile(r"(?i)\b(?:DDT|(?:desired |final |finished )?dough temp\w*)\b[^.\d]*(?P<said>\d+[^.;,]*)")
_TIN = re.compile(
    rf"(?i)(?:\d+(?:\.\d+)?\s*(?:x|by)\s*\d+(?:\.\d+)?[- ]*(?:cm|inch(?:es)?|in\b|\")?|{NUMBER}\s*-?(?:lb"
    rf"|kg|g|litre|l))\s*(?:\w+ )?(?:loaf )?(?:tins?|pans?)\b"
)
_DAY = re.compile(r"(?i)^(?:the )?(?:next|following|same) (?:day|morning|evening)$|^day \w+$")
_FEED: Final = re.compile(
    r"(?i)^(?:(?:mix|make|stir|set|start) (?:up )?the )?(?:feed|refresh|build|levain|poolish|biga|sponge|starter)\b"
)
_LONGEST_ITEM: Final = 14
_LONGEST_LINE: Final = 400
"""Letters in a line of a list; what is longer is the method's."""


def take_apart(text: str) -> Sheet:
    """The recipe in sections. Characters that no terminal should be given are spaces."""
    sheet = Sheet(sections=[Section()])
    harmful = {index for index, _ in harmful_places(text, breaks=True)}
    clean = "".join(" " if index in harmful else letter for index, letter in enumerate(text))
    said_in_steps: list[tuple[int, Section, list[Item]]] = []
    heads: list[tuple[int, Section]] = []
    in_method = False
    lines = clean.split("\n")
    for line, raw in enumerate(lines, start=1):
        said = plain(raw).strip("*#_ ")
        whole, said = said, without_lead(said) or said
        if not said:
            continue
        if (
            not sheet.name
            and amount_at(BULLET.sub("", said)) is None
            and not LIST.match(said)
            and not METHOD.match(said)
        ):
            _title(said, sheet)
            continue
        if METHOD.match(said) or LIST.match(said):
            in_method = bool(METHOD.match(said))
            if in_method:
                sheet.sections.append(Section())
            continue
        if not in_method and _told_whole(BULLET.sub("", said), line, lines[line:], sheet):
            continue
        if (head := heading(BULLET.sub("", said))) is not None and not in_method:
            sheet.sections.append(head)
            heads.append((line, head))
            continue
        if _is_yield(said) and not in_method and whole == said:
            _yield(said, sheet)
            continue
        if not in_method and len(said) <= _LONGEST_LINE and is_equipment(BULLET.sub("", said), led=whole != said):
            tin = _TIN.search(said)
            sheet.tin = sheet.tin or (tin[0] if tin else "")
            sheet.unread.append(Unread(line, f"{whole}: a thing of the kitchen, no ingredient"))
            continue
        if not in_method and _is_item(said):
            items = read_line(said, line)
            sheet.listed += items
            sheet.sections[-1].items += _on_section(items, sheet.sections[-1])
            sheet.unread += [] if items else [Unread(line, said)]
            continue
        _steps(said, line, sheet, said_in_steps, in_method=in_method)
    sheet.unread += nothing_under(heads)
    _take_mentions(sheet, said_in_steps)
    sheet.sections = parted(sheet)
    given_back(sheet.sections)
    fed(sheet.sections, sheet.listed)
    return sheet


def _told_whole(said: str, line: int, after: Sequence[str], sheet: Sheet) -> bool:
    """Take a line that has its own heading: what goes on top, or a preferment. Whether it was one."""
    tops = told_on_top(said, line, after)
    made = None if tops else in_one_line(said, line)
    sheet.listed += tops if made is None else made.items
    sheet.sections[-1].items += tops
    sheet.sections += [] if made is None else [made, Section()]
    return bool(tops) or made is not None


def _title(said: str, sheet: Sheet) -> None:
    sheet.name = re.sub(r"\s*\(.*?\)\s*$|,\s*\d+\s*x.*$|\s+-\s+\d+$", "", said).strip(" :-,") or said
    sheet.name = sheet.name.capitalize() if sheet.name.isupper() else sheet.name
    _yield(said, sheet)


def _is_yield(said: str) -> bool:
    return (
        len(said) < 60
        and (_YIELD.search(said) is not None or _EACH.search(said) is not None)
        and not amounts_in(said[:6])
    )


def _yield(said: str, sheet: Sheet) -> None:
    each = _EACH.search(said)
    if each is not None:
        sheet.pieces = int(each["n"])
        sheet.piece_g = float(each["g"]) * (1000 if each["u"].lower() == "kg" else 1)
        return
    found = _YIELD.search(said) or _YIELD_INSIDE.search(said) or _YIELD_END.search(said)
    if found is not None:
        groups = found.groupdict()
        count = number(groups.get("n") or groups["m"])
        sheet.pieces = round(count) if 1 <= count <= 500 else sheet.pieces
    tin = _TIN.search(said)
    sheet.tin = sheet.tin or (tin[0] if tin else "")


def _is_item(said: str) -> bool:
    """Whether a line is an ingredient rather than a step: it begins with an amount, or is a short known name."""
    bare = BULLET.sub("", said)
    if len(bare) > _LONGEST_LINE or _CLOCK.match(bare) or _NUMBERED.match(bare):
        return False
    if amount_at(bare) is not None:
        return len(bare.split()) <= 2 * _LONGEST_ITEM
    found = read_line(bare, 0)
    if not found or len(bare.split()) > _LONGEST_ITEM:
        return False
    if count_at(bare) is not None:
        return bool(found[0].ware or found[0].amounts)
    return (says_its_use(bare) or not _is_step(bare)) and (". " not in bare)


def _is_step(bare: str) -> bool:
    """A line that begins by saying what to do, not "beaten egg, to glaze" or "oil, for greasing"."""
    steps, _ = read_steps(bare, 0)
    first = re.match(r"(?i)(?:salt|oil|butter|flour|water|milk|egg|beaten|extra|a little|pinch|melted|all of)\b", bare)
    return bool(steps) and first is None and not (amounts_in(bare) and len(bare.split()) <= 7 and not steps[0].seconds)


def _on_section(items: list[Item], section: Section) -> list[Item]:
    return [replace(item, use="finish") if section.use == "finish" and item.use == "dough" else item for item in items]


def _steps(
    said: str, line: int, sheet: Sheet, noted: list[tuple[int, Section, list[Item]]], *, in_method: bool
) -> None:
    bare = _NUMBERED.sub("", BULLET.sub("", said)) if not _CLOCK.match(BULLET.sub("", said)) else BULLET.sub("", said)
    of, bare = labelled(bare, sheet.sections)
    if in_method:
        bare = _LABEL.sub("", bare)
    clock = _CLOCK.match(bare)
    clock_s = None
    if clock is not None:
        hour = hour_s(clock["a"])
        if hour is not None:
            clock_s, bare = hour[0] + (0.25 if hour[1] else 0.0), clock["rest"]
            feeds = _FEED.match(bare) is not None and len(mentions(bare, line)) > 1
            if feeds:
                sheet.sections.append(Section("levain", preferment=True))
            elif sheet.sections[-1].preferment or sheet.sections[-1].use == "finish":
                sheet.sections.append(Section())
    section = sheet.sections[-1]
    if section.use == "finish" or (in_method and section.preferment):
        section = Section()
        sheet.sections.append(section)
    for heat, _, _ in heats_in(bare):
        sheet.ovens.append((line, heat))
    found_c = _DDT.search(bare)
    if found_c is not None:
        sheet.dough_c = temperature_in(found_c["said"])
        bare = bare.replace(found_c[0], "").strip(" .")
    tin = _TIN.search(bare)
    sheet.tin = sheet.tin or (tin[0] if tin else "")
    steps, unread = read_steps(bare, line, clock_s=clock_s, section=section.name if section.preferment else of)
    section.steps += steps
    noted.append((line, section, mentions(bare, line)))
    sheet.unread += [Unread(line, each) for each in unread if not mentions(each, line) and not _DAY.match(each)]


def _take_mentions(sheet: Sheet, noted: list[tuple[int, Section, list[Item]]]) -> None:
    """Amounts in sentences count where no list has them: all of them without a list, else what the list lacks."""
    listed = {item.ware.kind for section in sheet.sections for item in section.items if item.ware}
    amount = sum(bool(item.amounts) for section in sheet.sections for item in section.items)
    for _, section, items in noted:
        for item in items:
            if amount < 3 or (item.ware is not None and item.ware.kind not in (*listed, "other")):
                section.items.append(item)
