"""Poolish, sponge and levain: what they are made of, and the stages that make them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from proofbell.formula.foods.composition import composition
from proofbell.formula.model import StageKind
from proofbell.frozen import dataclass
from proofbell.recipe.answers import YES, Answers
from proofbell.recipe.model import Guess, Item, PartDraft, Section, StageDraft, Step
from proofbell.recipe.naming import MINUTE_S
from proofbell.recipe.process import between_s

_STIR_S: Final = 5 * MINUTE_S
_LONGEST_STIR_S: Final = 60 * MINUTE_S
_RIPE_S: Final = {
    "poolish": 14 * 3600.0,
    "biga": 14 * 3600.0,
    "levain": 8 * 3600.0,
    "starter": 8 * 3600.0,
    "sponge": 2 * 3600.0,
}
"""How long one ripens where no time is written: common practice, no source."""
_FED: Final = {"flour": 2.0, "water": 2.0, "starter": 1.0}
"""Parts of a feeding: common practice, no source."""
_LONGEST_NAME: Final = 60
_SORTS: Final = {"flour": "flour", "water": "water", "milk": "water", "yeast": "yeast", "salt": "salt",
                 "preferment": "starter"}  # fmt: skip
"""What a formula's preferment is made of, by the kind of the ingredient."""


@dataclass(frozen=True, slots=True)
class Preferment:
    """One preferment: its amount in the dough, its parts and its stages. Amounts in the recipe's own measure."""

    part: PartDraft
    stages: tuple[StageDraft, ...]
    guesses: tuple[Guess, ...] = ()


def fits(item: Item) -> bool:
    """Whether a formula's preferment can hold it; butter, sugar or egg it cannot."""
    return item.use == "dough" and item.ware is not None and item.ware.kind in _SORTS


def beside(items: Sequence[Item], name: str) -> list[Guess]:
    """What is listed with a preferment that cannot hold it, and is therefore in the dough."""
    why = f"listed with the {name}; in the dough here, as a preferment is flour, water, yeast, starter and salt"
    return [Guess(item.line, f"{item.name}, where", "in the dough", why, ask=True) for item in items]


def preferment(
    section: Section,
    amounts: Sequence[tuple[Item, float]],
    used: tuple[Item, float | None] | None,
    next_clock_s: float | None,
) -> Preferment | None:
    """The preferment that a section makes of what `fits`; ``used`` is the dough's line that takes it, with how much."""
    parts = {"flour": 0.0, "water": 0.0, "yeast": 0.0, "salt": 0.0, "starter": 0.0}
    contains: list[str] = []
    forms = [item.ware.form for item, _ in amounts if item.ware and item.ware.kind == "yeast"]
    for item, amount in amounts:
        parts[_SORTS[item.ware.kind if item.ware else "other"]] += amount
        contains += [each for each in _holds(item) if each not in contains]
    total = sum(parts.values())
    if parts["flour"] <= 0 or total <= 0:
        return None
    name = used[0].name if used is not None and len(used[0].name) > 3 else section.name
    amount = used[1] if used is not None and used[1] is not None else total
    share = amount / total
    line = amounts[0][0].line
    guesses = []
    if parts["starter"]:
        why = "the starter taken as equal weights of flour and water"
        guesses.append(Guess(line, name, f"starter {parts['starter']:g}", why, ask=True))
    why = "a preferment's liquid counts as water"
    guesses += [
        Guess(item.line, f"{item.name}, in the {section.name}", "as water", why, ask=True)
        for item, _ in amounts if item.ware and item.ware.kind == "milk"
    ]  # fmt: skip
    part = PartDraft(
        name=name, kind="preferment", amount=amount, contains=tuple(contains), line=line,
        flour_name=_flours(amounts), form=(forms[0] or "active dry") if forms else None,
        made_of={key: value * share for key, value in parts.items() if value},
    )  # fmt: skip
    return Preferment(part, _stages(section, name, next_clock_s, starter=bool(parts["starter"])), tuple(guesses))


def _holds(item: Item) -> tuple[str, ...]:
    """The allergens of an ingredient; a starter's are those of the flour in its name."""
    if item.ware is None or item.ware.kind == "preferment":
        return composition(item.name).certain
    return item.ware.contains


def _flours(amounts: Sequence[tuple[Item, float]]) -> str:
    """What its flours are called, the most first; as many of them as a name has room for."""
    flours = sorted(
        ((grams, item.name) for item, grams in amounts if item.ware and item.ware.kind == "flour"), reverse=True
    )
    names = list(dict.fromkeys(name for _, name in flours))
    while len(" and ".join(names)) > _LONGEST_NAME:
        names.pop()
    return " and ".join(names)


def fed_in_words(
    section: Section, amounts: Sequence[tuple[Item, float]], used: tuple[Item, float], next_clock_s: float | None
) -> Preferment | None:
    """A starter whose feeding the method tells in part: what its flour and water leave of it was there before.

    Where they are not told either, the feeding is a usual one. Both are asked. None where all is told.
    """
    item, amount = used
    fed = {_SORTS[each.ware.kind]: grams for each, grams in amounts if each.ware is not None}
    rest = amount - sum(fed.values())
    if fed and (len(fed) != len(amounts) or fed.keys() != {"flour", "water"} or rest <= 0):
        return None
    usual = {name: amount * part / sum(_FED.values()) for name, part in _FED.items()}
    made_of = {**fed, "starter": rest} if fed else usual
    why = (
        "nothing says how much of it is fed: what flour and water leave" if fed
        else "nothing says how it is fed: one part of starter to two of flour and two of water taken"
    )  # fmt: skip
    part = PartDraft(
        name=item.name, kind="preferment", amount=amount, contains=_holds(item) or ("wheat",), line=item.line,
        guess=why, made_of=made_of,
    )  # fmt: skip
    value = ", ".join(f"{grams:.0f} g {name}" for name, grams in made_of.items())
    guess = Guess(item.line, item.name, value, why, ask=True)
    return Preferment(part, _stages(section, item.name, next_clock_s, starter=True), (guess,))


def bought_in(item: Item, amount: float, answers: Answers) -> tuple[PartDraft, Guess]:
    """A starter that the recipe does not make: half flour, half water, which must be asked.

    Where its name says of no flour, that is wheat. It can be told how much water there is for 100 of flour, in percent.
    """
    contains = _holds(item) or ("wheat",)
    why = f"nothing says what it is made of: equal weights of {' and '.join(contains)} flour and water taken"
    told = answers.of(item.line, item.name)
    wet = answers.number(item.line, item.name, "percent")
    flour = amount / (1 + (100.0 if wet is None else wet) / 100)
    said = told if wet is not None or told == YES else ""
    part = PartDraft(
        name=item.name, kind="preferment", amount=amount, contains=contains, line=item.line,
        guess="" if said else why, made_of={"flour": flour, "water": amount - flour},
    )  # fmt: skip
    value = "half flour, half water" if wet is None else f"{wet:g} % water to its flour"
    return part, Guess(item.line, item.name, value, why, ask=True, takes="percent", said=said)


def _stages(section: Section, name: str, next_clock_s: float | None, *, starter: bool) -> tuple[StageDraft, ...]:
    """The stirring or feeding, and the ripening."""
    line = section.steps[0].line if section.steps else 0
    stirred = next((step for step in section.steps if step.act in ("mix", "knead")), None)
    timed = stirred.seconds[0] if stirred is not None and stirred.seconds is not None else None
    standing = [step for step in section.steps if step.act in ("proof", "rest", "chill")]
    if stirred is not None and timed is not None and timed > _LONGEST_STIR_S and not standing:
        standing, timed = [stirred], None  # Nobody stirs for hours: the time is that of its ripening.
    told = ". ".join(step.text.rstrip(".") for step in section.steps if step.act in ("mix", "knead"))
    verb = f"Feed the {section.name}" if starter else f"Stir the {section.name}"
    stages = [
        StageDraft(verb, "hands", timed or _STIR_S, None, told,
                   "" if timed else "no time written", line, made_for=name)
    ]  # fmt: skip
    clock_s = next((step.clock_s for step in section.steps if step.clock_s is not None), None)
    if clock_s is not None and next_clock_s is not None and not any(step.seconds for step in standing):
        text = ". ".join(step.text for step in standing)
        stages.append(
            StageDraft(
                section.name.capitalize(),
                "proof",
                between_s(clock_s, next_clock_s),
                None,
                text,
                "",
                line,
                made_for=name,
            )
        )
        return tuple(stages)
    for index, step in enumerate(standing):
        called = section.name.capitalize() if index == 0 else f"{section.name.capitalize()} {index + 1}"
        stages.append(_ripening(step, section, called, name))
    if not standing:
        stages.append(replace(_ripening(None, section, section.name.capitalize(), name), line=line))
    return tuple(stages)


def _ripening(step: Step | None, section: Section, called: str, made_for: str) -> StageDraft:
    usual = _RIPE_S.get(section.name, 12 * 3600.0)
    if step is None or step.seconds is None:
        return StageDraft(called, "proof", usual, None, step.text if step else "", "no time written", made_for=made_for)
    low, high = step.seconds
    kind: StageKind = "chill" if step.act == "chill" else "proof"
    return StageDraft(called, kind, low if high is None else (low + high) / 2, None if high is None else (low, high),
                      step.text, step.guess, step.line, place_c=step.place_c, made_for=made_for)  # fmt: skip
