"""Items as the ingredients of a formula: amounts in one measure, what is missing asked, no name twice."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from proofbell.formula.foods.composition import composition
from proofbell.formula.foods.contains import must_be_looked_up, usual_words
from proofbell.formula.ingredients import ALLERGENS, FORMS
from proofbell.formula.model import YeastForm
from proofbell.formula.warnings import SALT_PERCENT
from proofbell.frozen import dataclass
from proofbell.recipe.answers import YES, Answers
from proofbell.recipe.model import Country, Guess, Item, PartDraft, Section, Sheet, Takes, Use, Weighed
from proofbell.recipe.reading.grams import NO_AMOUNT, as_answered, weigh

_SALT_PERCENT: Final = 2.0
EACH_G: Final = 3.0
"""What a piece gets of a wash or of seeds where nobody says: common practice, no source."""
_GLAZE_G, _GLAZED_G = 3.0, 75.0
"""Egg on a piece, and that piece (g): common practice, no source."""
_SACHET = re.compile(r"(?i)\bsachets?\b")
NO_ALLERGENS: Final = "none"
_FRESH_FROM_PERCENT: Final = 1.9
_FOR: Final[dict[Use, str]] = {"finish": "for the top", "tin": "for dusting", "dough": ""}


@dataclass(frozen=True, slots=True)
class Amounts:
    """What each item comes to: in g, or with ``in_percent`` in percent of the flour."""

    in_percent: bool
    known: dict[int, float]
    guesses: tuple[Guess, ...]
    told: dict[int, str]
    flour_off_g: tuple[float, float] = (0.0, 0.0)
    """How much less and more flour there may be by how cups were filled."""

    @classmethod
    def of(cls, sheet: Sheet, country: Country, answers: Answers) -> Amounts:
        """The amounts of all items of a recipe; percentages become grams where the flour has grams."""
        items = [item for section in sheet.sections for item in section.items]
        weighed = {id(item): _weighed(item, country, answers) for item in items}
        grams = {key: found.grams for key, found in weighed.items() if found.grams is not None}
        shares = {id(item): each.middle for item in items for each in item.amounts[:1] if each.unit == "%"}
        flour_g = sum(grams.get(id(item), 0.0) for item in items if item.ware and item.ware.kind == "flour")
        in_percent = bool(shares) and not flour_g
        guesses = [guess for found in weighed.values() for guess in found.guesses]
        if in_percent:
            told_shares = [
                (item, answers.number(item.line, item.name, "percent")) for item in items if not item.amounts
            ]
            known = {**shares, **{id(item): share for item, share in told_shares if share is not None}}
            guesses += [
                Guess(item.line, item.name, f"{share:g} %", NO_AMOUNT, ask=True, takes="percent",
                      said=answers.of(item.line, item.name))
                for item, share in told_shares if share is not None
            ]  # fmt: skip
        else:
            known = {**grams, **{key: share * flour_g / 100 for key, share in shares.items() if key not in grams}}
        told = {
            id(item): "; ".join(guess.why for guess in weighed[id(item)].guesses if guess.value and not guess.said)
            for item in items
        }
        cups = [weighed[id(item)] for item in items if item.ware and item.ware.kind == "flour"]
        spans = [(each.low, each.grams, each.high) for each in cups]
        less = sum(grams_ - low for low, grams_, _ in spans if low is not None and grams_ is not None)
        more = sum(high - grams_ for _, grams_, high in spans if high is not None and grams_ is not None)
        return cls(in_percent, known, tuple(guesses), told, (less, more))

    def of_item(self, item: Item) -> float | None:
        """The amount of one item, None where it has none."""
        return self.known.get(id(item))


def _weighed(item: Item, country: Country, answers: Answers) -> Weighed:
    said = answers.of(item.line, item.name) if item.use == "dough" else ""
    return as_answered(item, country, said) if said else weigh(item, country)


def part_of(item: Item, amounts: Amounts) -> PartDraft:
    ware = item.ware
    return PartDraft(
        name=item.name[:60],
        kind=ware.kind if ware else "other",
        amount=amounts.of_item(item),
        contains=ware.contains if ware else (),
        form=ware.form if ware else None,
        water_percent=ware.water_percent if ware else None,
        kept=f"{item.kept_c:.1f} °C".replace(".0 ", " ") if item.kept_c is not None else "",
        use=item.use,
        guess=amounts.told.get(id(item), ""),
        line=item.line,
        note="; ".join(item.note),
    )


def settled(
    parts: Sequence[PartDraft], flour: float, guesses: list[Guess], answers: Answers, *, in_percent: bool
) -> list[PartDraft]:
    """The dough's parts with what was left open: yeast forms, salt "to taste", unknown things, the liquid to heat."""
    found: list[PartDraft] = []
    takes: Takes = "percent" if in_percent else "weight"
    for part in parts:
        settled_part = _yeast(part, flour, guesses, answers) if part.kind == "yeast" else part
        settled_part = looked_up(settled_part, guesses, answers)
        if settled_part.amount is None:
            usual = _SALT_PERCENT * flour / 100 if part.kind == "salt" else None
            if usual is None:
                guesses.append(Guess(part.line, part.name, "", NO_AMOUNT, ask=True, takes=takes))
                continue
            value, why = f"{usual:g} {'%' if in_percent else 'g'}", f"{NO_AMOUNT}: 2 % of the flour taken"
            guesses.append(answers.agreed(Guess(part.line, part.name, value, why, ask=True, takes=takes)))
            told = "" if guesses[-1].said else f"{NO_AMOUNT}: 2 % of the flour"
            settled_part = replace(settled_part, amount=usual, guess=told)
        found.append(settled_part)
    return _heated(_merged(_little_salt(found, flour, guesses, answers, takes)))


def _little_salt(
    parts: list[PartDraft], flour: float, guesses: list[Guess], answers: Answers, takes: Takes
) -> list[PartDraft]:
    """The parts; where salt is named and is hardly any, it is asked about."""
    salts = [part for part in parts if part.kind == "salt" and part.amount]
    share = 100 * sum(part.amount or 0.0 for part in salts) / flour
    if not salts or share >= SALT_PERCENT[0] or any((part.made_of or {}).get("salt") for part in parts):
        return parts
    part, unit = salts[0], "%" if takes == "percent" else "g"
    little = f"only {share:.2g} % of the flour, usual is {_SALT_PERCENT:g} %"
    at = next((n for n, each in enumerate(guesses) if (each.line, each.field) == (part.line, part.name)), None)
    if at is not None:
        guesses[at] = replace(guesses[at], ask=True, why=f"{guesses[at].why}: {little}")
        return parts
    typed, said = answers.number(part.line, part.name, takes), answers.of(part.line, part.name)
    amount = part.amount if typed is None else typed
    kept = said if typed is not None or said == YES else ""
    guesses.append(Guess(part.line, part.name, f"{amount:g} {unit}", little, ask=True, takes=takes, said=kept))
    return [replace(each, amount=amount) if each is part else each for each in parts]


def looked_up(part: PartDraft, guesses: list[Guess], answers: Answers) -> PartDraft:
    """A part with the allergens that the baker found on its packet, where only that can tell what is in it.

    What a mixture usually contains is said as a hint where to look. It counts for nothing.
    """
    found = composition(part.name)
    if (
        part.kind == "preferment"
        or not must_be_looked_up(part.name, part.kind)
        or (part.contains and not found.mixture)
    ):
        return part
    field, usual = f"{part.name}, allergens", usual_words(found)
    why = "made of several things" if found.mixture else "not known here"
    why = "; ".join(each for each in (f"{why}: allergens must be looked up", usual) if each)
    said = answers.of(part.line, field)
    contains = tuple(each for each in said.split(", ") if each in ALLERGENS)
    said = said if contains or said == NO_ALLERGENS else ""
    guesses.append(Guess(part.line, field, "", why, ask=True, options=(NO_ALLERGENS,), takes="allergens", said=said))
    certain = found.certain if not said else ()
    return replace(part, contains=contains or certain, unknown=not said, contains_none=said == NO_ALLERGENS)


def _use_words(section: Section, use: Use, part: PartDraft) -> str:
    if use == "tin" and part.kind == "fat":
        return "for greasing"
    head = section.name.lower().rstrip(":")
    return head if use == "finish" and head.startswith(("for ", "to ")) else _FOR[use]


def _yeast(part: PartDraft, flour: float, guesses: list[Guess], answers: Answers) -> PartDraft:
    if part.form is not None:
        return part
    field = f"{part.name}, form"
    packed = _SACHET.search(answers.key(part.line, field)[0]) is not None
    form: YeastForm = "instant" if packed else "active dry"
    dried = re.search(r"(?i)\bdr(?:y|ied)\b", part.name)
    if not (dried or packed) and part.amount is not None and 100 * part.amount / flour >= _FRESH_FROM_PERCENT:
        form = "fresh"
    why = "form not said: instant in most sachets, active dry in most tins; of active dry a third more is needed"
    said = answers.of(part.line, field)
    form = next((each for each in FORMS if each == said), form)
    said = said if said in (YES, *FORMS) else ""
    guesses.append(Guess(part.line, field, form, why, ask=True, options=FORMS, takes="choice", said=said))
    return replace(part, form=form, guess="; ".join(filter(None, (part.guess, "" if said else "form not said"))))


def _merged(parts: Sequence[PartDraft]) -> list[PartDraft]:
    """One line for each name: flour that is given in two places is added up."""
    merged: dict[str, PartDraft] = {}
    for part in parts:
        key = part.name.casefold()
        before = merged.get(key)
        if before is None:
            merged[key] = part
        elif before.kind == part.kind and part.made_of is None and before.made_of is None:
            merged[key] = replace(
                before,
                amount=(before.amount or 0.0) + (part.amount or 0.0),
                contains=tuple(dict.fromkeys((*before.contains, *part.contains))),
                unknown=before.unknown or part.unknown,
                contains_none=before.contains_none and part.contains_none,
            )
        else:
            merged[f"{key} {part.line}"] = replace(part, name=f"{part.name[:50]} (line {part.line})")
    return list(merged.values())


def _heated(parts: list[PartDraft]) -> list[PartDraft]:
    liquids = [part for part in parts if part.kind in ("water", "milk") and part.amount]
    if not liquids:
        return parts
    most = max(liquids, key=lambda part: part.amount or 0.0)
    return [replace(part, heat=True) if part is most else part for part in parts]


def parts_outside(
    sheet: Sheet,
    amounts: Amounts,
    dough: Sequence[PartDraft],
    pieces: tuple[int, float] | None,
    guesses: list[Guess],
    answers: Answers,
) -> list[PartDraft]:
    """What goes on the piece, the tin or the bench, "plus extra for dusting" among it.

    ``pieces`` are how many, of how much dough each (g).
    """
    names = {part.name.casefold() for part in dough}
    found: list[PartDraft] = []
    for section in sheet.sections:
        for item in section.items:
            uses: list[tuple[Use, float | None]] = []
            if item.use != "dough":
                uses.append((item.use, amounts.of_item(item)))
            if item.extra is not None:
                uses.append((item.extra, None))
            for use, amount in uses:
                part = replace(part_of(item, amounts), use=use, amount=amount)
                if part.kind == "preferment":
                    part = replace(part, kind="other", made_of=None)  # Outside the dough it raises nothing.
                asked = list[Guess]()
                part = looked_up(part, asked, answers)
                if part.name.casefold() in names:
                    part = replace(part, name=f"{part.name[:35]} {_use_words(section, use, part)}"[:60])
                if part.name.casefold() in names:
                    continue
                names.add(part.name.casefold())
                guesses += asked
                if use == "finish" and part.kind == "egg" and pieces:
                    each_g = glaze_g(pieces[1])
                    part = part if amount is not None and amount <= pieces[0] * each_g else replace(part, each_g=each_g)
                on_top = use == "finish" and item.use == "dough"
                told = on_top or (use == "finish" and amount is None and part.kind != "salt")
                if told and pieces and part.each_g is None:
                    part = replace(part, each_g=EACH_G)
                found.append(_for_it(part, guesses, answers, ask=on_top) if amount is None or part.each_g else part)
    return found


def glaze_g(piece_g: float) -> float:
    """Egg (g) on a piece of so much dough: as much on each cm², and the surface grows as the weight to two thirds."""
    return float(max(1, round(_GLAZE_G * (piece_g / _GLAZED_G) ** (2 / 3))))


def _for_it(part: PartDraft, guesses: list[Guess], answers: Answers, *, ask: bool = False) -> PartDraft:
    """What is on the piece or in the tin, of which the recipe does not say how much, or more; all of it can be told."""
    grams = answers.number(part.line, part.name, "weight")
    value = f"{grams:g} g" if grams else f"{part.each_g:g} g a piece" if part.each_g else ""
    said = answers.of(part.line, part.name) if grams else ""
    why = f"{NO_AMOUNT} for it" if part.amount is None else "usual on pieces of that size; the rest of it is left over"
    guesses.append(Guess(part.line, part.name, value, why, ask=ask, takes="weight", said=said))
    return part if grams is None else replace(part, amount=grams, each_g=None)
