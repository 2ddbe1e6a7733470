"""What is guessed of the recipe as a whole and of its stages, with what the baker says in its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, get_args

from proofbell.formula.model import Style
from proofbell.recipe.answers import YES, Answers
from proofbell.recipe.model import ENRICHED_CORE_C, Country, Guess, PartDraft, StageDraft
from proofbell.recipe.reading.country import NAMES, country_of

STYLES: Final[tuple[Style, ...]] = get_args(Style)
_ENRICHED_PERCENT: Final = 17.0
_RYE_PERCENT: Final = 50.0


def whose_measures(text: str, answers: Answers, guesses: list[Guess]) -> tuple[Country, str]:
    """Whose measures are meant: as its words say, or as the baker does."""
    meant, why = country_of(text)
    told = next((each for each in NAMES if each == answers.of(0, "country")), None)
    said = f"read as {NAMES[meant]}: {why}"
    guesses.append(
        Guess(0, "country", told or meant, said, options=tuple(NAMES), takes="choice", said=told or "",
              about="country")
    )  # fmt: skip
    return (meant, why) if told is None else (told, "as told")


def style_of(parts: Sequence[PartDraft], flour: float, guesses: list[Guess], answers: Answers) -> Style:
    """The style that its flour, fat, sugar and egg make it, or that the baker says."""
    told = next((each for each in STYLES if each == answers.of(0, "style")), None)
    style = told or _style(parts, flour)
    why = f"by its flour, fat, sugar and egg: {_rich(parts, flour):.0f} % of the flour"
    guesses.append(Guess(0, "style", style, why, options=STYLES, takes="choice", said=told or "", about="style"))
    return style


def _style(parts: Sequence[PartDraft], flour: float) -> Style:
    """Rye from half of the flour on; enriched where fat, sugar and egg come to 17 %: common practice, no source."""
    rye = sum(part.amount or 0.0 for part in parts if part.kind == "flour" and "rye" in part.contains)
    rye += sum(flour_in(part) for part in parts if part.kind == "preferment" and part.contains == ("rye",))
    if 100 * rye / flour >= _RYE_PERCENT:
        return "rye"
    return "enriched" if _rich(parts, flour) >= _ENRICHED_PERCENT else "lean"


def _rich(parts: Sequence[PartDraft], flour: float) -> float:
    return 100 * sum(part.amount or 0.0 for part in parts if part.kind in ("fat", "sugar", "egg")) / flour


def flour_in(part: PartDraft) -> float:
    """The flour in an ingredient, that of a preferment included; in the amounts' own measure."""
    made_of = part.made_of or {}
    own = part.amount or 0.0 if part.kind == "flour" else 0.0
    return own + made_of.get("flour", 0.0) + made_of.get("starter", 0.0) / 2


def told_c(guess: Guess, usual_c: float, guesses: list[Guess], answers: Answers) -> float:
    """A temperature that is a guess, or what the baker says in its place (°C)."""
    told = answers.number(guess.line, guess.field, "temperature")
    value_c = usual_c if told is None else told
    said = "" if told is None else answers.of(guess.line, guess.field)
    guesses.append(replace(guess, said=said).at(value_c))
    return value_c


def timed(stage: StageDraft, guesses: list[Guess], answers: Answers) -> StageDraft:
    """A stage whose length is a guess, with what the baker says of it."""
    if not stage.guess:
        return stage
    field = f"{stage.name}, time"
    told, said = answers.number(stage.line, field, "time"), answers.of(stage.line, field)
    seconds = stage.seconds if told is None else told
    said = said if told is not None or said == YES else ""
    value = f"{seconds / 60:g} min"
    guesses.append(Guess(stage.line, field, value, stage.guess, takes="time", said=said))
    return replace(stage, seconds=seconds, guess="" if said else stage.guess)


def cored(stage: StageDraft, style: Style, guesses: list[Guess], answers: Answers) -> StageDraft:
    """An enriched dough's bake without a core, with what the baker says of it."""
    if stage.kind != "bake" or stage.core_c is not None or style != "enriched":
        return stage
    why = "not written; usual for an enriched dough"
    guess = Guess(stage.line, f"{stage.name}, core", "", why, takes="temperature", about="core").at(*ENRICHED_CORE_C)
    told = answers.number(stage.line, guess.field, "temperature")
    if told is not None:
        guess = replace(guess, said=answers.of(stage.line, guess.field)).at(told)
    guesses.append(guess)
    return replace(stage, core_c=told)
