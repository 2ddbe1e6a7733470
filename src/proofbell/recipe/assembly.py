"""From the recipe's text to a formula to be: country, weights, preferments, style, stages, and what is asked."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from proofbell.errors import Failure
from proofbell.formula.model import Style
from proofbell.recipe.added_later import with_stages
from proofbell.recipe.allergens_named import named_elsewhere
from proofbell.recipe.answers import NO_INGREDIENT, Answers, Key
from proofbell.recipe.draft import Draft
from proofbell.recipe.heating import heated
from proofbell.recipe.model import Country, Guess, Item, PartDraft, Section, Sheet, Step, Unread
from proofbell.recipe.naming import Making, unique
from proofbell.recipe.on_top import by_steps
from proofbell.recipe.parts import Amounts, looked_up, part_of, parts_outside, settled
from proofbell.recipe.preferments import Preferment, beside, bought_in, fed_in_words, fits, preferment
from proofbell.recipe.process import stages_of
from proofbell.recipe.reading.numbers import NUMBER, number
from proofbell.recipe.reading.sections import take_apart
from proofbell.recipe.reading.spelling import spelled
from proofbell.recipe.whole import cored, flour_in, style_of, timed, told_c, whose_measures

UNNAMED: Final = "Recipe"
MOST_LETTERS: Final = 64 * 1024
_OVEN_C: Final[dict[Style, float]] = {"lean": 230.0, "enriched": 190.0, "rye": 230.0, "other": 200.0}
_DOUGH_C: Final[dict[Style, float]] = {"lean": 25.0, "enriched": 26.0, "rye": 28.0, "other": 25.0}
"""Where the recipe says none: common practice, no source."""
_INTO = re.compile(
    rf"(?i)\b(?:divide|cut|split|portion|scale|shape|make|mou?ld|form)\w*\b[^.;,]{{0,30}}?\b(?:in"
    rf"|into)\s+(?P<n>{NUMBER})\b"
)
_SHAPED = re.compile(
    rf"(?i)\b(?:shape|form|make|roll|mou?ld)\s+(?:into\s+)?(?P<n>{NUMBER})\s+(?:\w+\s+)?(?:loaves"
    rf"|rolls|balls|buns|pieces|baguettes|rounds)\b"
)
_STRANDS = re.compile(r"(?i)\b(?:plait|braid|ropes?|strands?)\b")
_HALVES = re.compile(r"(?i)\b(?:halve|in half|in two)\b")


def read_recipe(
    text: str, country: Country | None = None, name: str = "", said: Mapping[Key, str] | None = None
) -> Draft:
    """Return the formula that a recipe's text comes to. ``country`` overrides what its words say.

    ``said`` are the baker's answers to its guesses; one that fits no guess of this text changes nothing. Raises
    Failure: the text is far too long, or no flour with an amount is in it.
    """
    if len(text) > MOST_LETTERS:
        raise Failure("This is too long for a recipe.", f"Keep to {MOST_LETTERS // 1024} KiB.")
    answers = Answers.to(text, said)
    gone = answers.left_out()
    read = "\n".join("" if number in gone else line for number, line in enumerate(text.split("\n"), 1))
    read, spelt = spelled(read)
    sheet = take_apart(read)
    guesses: list[Guess] = [*sheet.guesses, *spelt, *_gone(gone, answers)]
    may_go = _may_go(sheet)
    meant, why = whose_measures(text, answers, guesses) if country is None else (country, "as asked for")
    steps = [step for section in sheet.sections if not section.preferment for step in section.steps]
    by_steps(sheet, steps, Amounts.of(sheet, meant, answers), guesses, answers)
    amounts = Amounts.of(sheet, meant, answers)
    guesses += amounts.guesses
    parts, makers, unread = _dough(sheet, amounts, guesses, answers)
    flour = sum(flour_in(part) for part in parts)
    if flour <= 0:
        raise Failure(
            "No flour with an amount was found, so this makes no formula.",
            'Give each ingredient a line of its own, such as "500 g strong white flour".',
        )
    in_percent = amounts.in_percent and abs(flour - 100) <= 0.05
    if amounts.in_percent and not in_percent:
        guesses.append(
            Guess(0, "flour", f"{flour:g} %", "the flours do not add up to 100 %: percent read as parts", ask=True)
        )
        parts = [_scaled(part, 10.0) for part in parts]
        flour *= 10
    left_out = tuple(looked_up(each, [], answers) for each in parts if each.amount is None and each.kind != "salt")
    unread += [Unread(part.line, f"{part.name}: no amount") for part in left_out]
    parts = settled(parts, flour, guesses, answers, in_percent=in_percent)
    guesses += _hydration(parts, flour, amounts.flour_off_g)
    style = style_of(parts, flour, guesses, answers)
    pieces = sheet.pieces or _pieces(steps)
    each_g = sheet.piece_g if in_percent else sum(part.amount or 0.0 for part in parts) / (pieces or 1)
    parts += parts_outside(sheet, amounts, parts, (pieces, each_g) if pieces and each_g else None, guesses, answers)
    parts += named_elsewhere(read, sheet.name, parts, guesses, answers)
    oven_c, oven_said = _oven(sheet, steps, style, guesses, answers)
    stages = [stage for maker in makers for stage in maker.stages]
    stages = unique([*stages, *stages_of(steps, Making(style, pieces, oven_c))])
    stages = [timed(stage, guesses, answers) for stage in heated(stages, steps, guesses)]
    if not any(stage.kind == "bake" for stage in stages):
        guesses.append(Guess(0, "Bake", "", "no bake was found in the recipe", ask=True, about="bake"))
    stages = [cored(stage, style, guesses, answers) for stage in stages]
    parts = with_stages(parts, stages, pieces)
    dough_c = sheet.dough_c
    if dough_c is None:
        guess = Guess(
            0,
            "dough temperature",
            "",
            "not written; usual for this style",
            takes="temperature",
            about="dough temperature",
        )
        dough_c = told_c(guess, _DOUGH_C[style], guesses, answers)
    why_time = "each time taken as right for such a dough, and a quarter to either side as forgiven"
    guesses.append(Guess(0, "proofs", "", why_time, about="proofs").at(dough_c))
    return Draft(
        name=(name or sheet.name or UNNAMED)[:80], style=style, country=meant, country_why=why, in_percent=in_percent,
        parts=tuple(parts), stages=tuple(stages), pieces=pieces, piece_g=sheet.piece_g, oven_c=oven_c,
        oven_said=oven_said, dough_c=dough_c, tin=sheet.tin,
        guesses=tuple(
            replace(guess, may_go=guess.may_go or guess.line in may_go)
            for guess in sorted(dict.fromkeys(map(answers.agreed, guesses)), key=lambda guess: guess.line)
        ),
        unread=(*sheet.unread, *unread), left_out=left_out,
    )  # fmt: skip


def _gone(lines: frozenset[int], answers: Answers) -> list[Guess]:
    """What was said to be no ingredient, so that it can be taken back."""
    return [
        Guess(number, field, "", "left out, as it was said", ask=True, takes="choice", said=answer, may_go=True)
        for number in sorted(lines)
        for (line, field), answer in answers.said.items()
        if answer == NO_INGREDIENT and line == answers.lines[number - 1]
    ]


def _may_go(sheet: Sheet) -> frozenset[int]:
    """Lines that may be said to be no ingredients: all but the only one with flour, without which is no formula."""
    flours = {item.line for item in sheet.listed if item.ware is not None and item.ware.kind == "flour"}
    return frozenset(item.line for item in sheet.listed if len(flours) > 1 or item.line not in flours)


def _dough(
    sheet: Sheet, amounts: Amounts, guesses: list[Guess], answers: Answers
) -> tuple[list[PartDraft], list[Preferment], list[Unread]]:
    """The parts of the dough, the preferments with their stages, and what has no amount."""
    parts: list[PartDraft] = []
    makers: list[Preferment] = []
    unmade: list[Section] = []
    unread: list[Unread] = []
    taken = [
        item for section in sheet.sections if not section.preferment for item in section.items if _is_preferment(item)
    ]
    for index, section in enumerate(sheet.sections):
        if section.preferment:
            maker = _made(section, sheet.sections[index + 1 :], amounts, taken)
            if maker is not None:
                others = [item for item in section.items if item.use == "dough" and not fits(item)]
                makers.append(maker)
                guesses += [*maker.guesses, *beside(others, section.name)]
                parts += [maker.part, *(part_of(item, amounts) for item in others)]
            else:
                unmade.append(section)
            continue
        unmade.append(section)
    for section in unmade:
        for item in section.items:
            if item.use != "dough":
                continue
            if _is_preferment(item):
                if item in taken or section.preferment:
                    amount = amounts.of_item(item)
                    if amount is None:
                        unread.append(Unread(item.line, item.name))
                        continue
                    part, guess = bought_in(item, amount, answers)
                    parts.append(part)
                    guesses.append(guess)
                continue
            parts.append(part_of(item, amounts))
    return parts, makers, unread


def _made(section: Section, later: Sequence[Section], amounts: Amounts, taken: list[Item]) -> Preferment | None:
    known = [(item, amount) for item in section.items if fits(item) and (amount := amounts.of_item(item)) is not None]
    used = next((item for item in taken if section.name in item.name.lower()), taken[0] if taken else None)
    clock_s = next((step.clock_s for each in later for step in each.steps if step.clock_s is not None), None)
    used_g = amounts.of_item(used) if used is not None else None
    found = None
    in_words = section.steps and {item.line for item, _ in known} <= {step.line for step in section.steps}
    if in_words and used is not None and used_g is not None:
        found = fed_in_words(section, known, (used, used_g), clock_s)
    if found is None and known:
        found = preferment(section, known, (used, used_g) if used is not None else None, clock_s)
    if found is not None and used is not None:
        taken.remove(used)
    return found


def _hydration(parts: Sequence[PartDraft], flour: float, off_g: tuple[float, float]) -> list[Guess]:
    """How far the hydration is open where the flour was measured by volume or is given as a range."""
    less, more = off_g
    poured = sum(part.amount or 0.0 for part in parts if part.kind in ("water", "milk"))
    poured += sum((part.made_of or {}).get("water", 0.0) for part in parts)
    poured += sum((part.made_of or {}).get("starter", 0.0) / 2 for part in parts)
    if (less + more) / flour < 0.05 or not 0 < less < flour:
        return []
    low, high = 100 * poured / (flour + more), 100 * poured / (flour - less)
    why = f"{low:.0f} to {high:.0f} % by how much flour there really is; a scale is better"
    return [Guess(0, "hydration", f"{100 * poured / flour:.0f} %", why, ask=True, takes="nothing")]


def _is_preferment(item: Item) -> bool:
    return item.ware is not None and item.ware.kind == "preferment"


def _scaled(part: PartDraft, times: float) -> PartDraft:
    made_of = {key: value * times for key, value in part.made_of.items()} if part.made_of else None
    return replace(part, amount=None if part.amount is None else part.amount * times, made_of=made_of)


def _pieces(steps: Sequence[Step]) -> int | None:
    said = ". ".join(step.text for step in steps if step.act in ("divide", "shape"))
    found = _SHAPED.search(said) or (None if _STRANDS.search(said) else _INTO.search(said))
    if found is not None and 1 < number(found["n"]) <= 500:
        return round(number(found["n"]))
    each = re.search(r"\b(?P<n>\d{1,3}) (?:x|pieces)\b", said)
    if each is not None:
        return int(each["n"])
    if _HALVES.search(said) and not _STRANDS.search(said):
        return 2
    return 1 if re.search(r"(?i)\b(?:a|one|the) (?:loaf|log|ball|round|plait)\b", said) else None


def _oven(
    sheet: Sheet, steps: Sequence[Step], style: Style, guesses: list[Guess], answers: Answers
) -> tuple[float | None, str]:
    """The heat of the first bake: its own, else the one the oven was set to, else the usual one."""
    bakes = [step for step in steps if step.act == "bake"]
    own = next((phase.oven_c for step in bakes for phase in step.phases if phase.oven_c is not None), None)
    first = next((phase.oven_c for step in bakes for phase in step.phases), None)
    set_to = next((heat for _, heat in sheet.ovens), None)
    if first is None and set_to is not None:
        return set_to.oven_c, set_to.said
    if own is not None:
        return own, next((heat.said for _, heat in sheet.ovens if heat.oven_c == own), "")
    if set_to is not None:
        return set_to.oven_c, set_to.said
    if bakes:
        why = "not written; usual for this style"
        guess = Guess(
            bakes[0].line, "oven temperature", "", why, ask=True, takes="temperature", about="oven temperature"
        )
        return told_c(guess, _OVEN_C[style], guesses, answers), ""
    return None, ""
