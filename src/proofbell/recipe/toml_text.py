"""The formula to be as a TOML file that bakers read: weights as written, each guess a comment beside its value."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Final

from proofbell.recipe.draft import Draft
from proofbell.recipe.model import ENRICHED_CORE_C, BakePhase, Guess, PartDraft, StageDraft
from proofbell.recipe.reading.country import NAMES

_CORE_ABOVE_K: Final = 3.0
_LIVELY_S: Final = 30 * 60.0
"""A shorter proof stays as it is written."""


def toml_text(draft: Draft) -> str:
    """The file. `proofbell check` accepts it; whoever wants it otherwise edits it."""
    lines = [f"# Read from a recipe, {NAMES[draft.country]} measures ({_one_line(draft.country_why)})."]
    lines += ['# What follows "guess:" is not in the recipe: look at it before the first bake.']
    lines += [f"# open, {_place(guess)}: {_one_line(guess.why)}" for guess in draft.open]
    style = _guess("by flour, fat, sugar and egg") if draft.guessed("style") else ""
    lines += ["", f"name  = {_quoted(draft.name)}", f"style = {_quoted(draft.style)}{style}"]
    for table in (_batch(draft), _dough(draft), _oven(draft)):
        lines += ["", *table] if table else []
    for part in draft.dough:
        lines += ["", *_part(part, draft)]
    for part in draft.outside:
        lines += ["", *_outside(part, draft)]
    for stage in draft.stages:
        lines += ["", *_stage(stage, draft)]
    lines += [""] if draft.unread else []
    lines += [f"# not read, line {each.line}: {_one_line(each.text)}" for each in draft.unread]
    return "\n".join(lines) + "\n"


def _batch(draft: Draft) -> list[str]:
    total = sum(part.amount or 0.0 for part in draft.dough)
    tin = f"# tin in the recipe: {_one_line(draft.tin)}; its volume, once known, goes here as tin" if draft.tin else ""
    if draft.in_percent and not (draft.pieces and draft.piece_g):
        return [
            "[batch]",
            'flour = "1000 g"  # guess: the recipe is in percent and gives no size',
            *([tin] if tin else []),
        ]
    if not draft.pieces:
        return [tin] if tin else []
    piece_g = draft.piece_g if draft.in_percent and draft.piece_g else total / draft.pieces
    return ["[batch]", f"pieces = {draft.pieces}", f"piece  = {_quoted(_weight(piece_g))}", *([tin] if tin else [])]


def _dough(draft: Draft) -> list[str]:
    told = draft.guessed("dough temperature")
    lines = [
        "[dough]",
        f"temperature = {_quoted(_degrees(draft.dough_c or 25.0))}" + (_guess("not written") if told else ""),
    ]
    if draft.sourdough:
        lines.append('raising     = "sourdough"')
    return lines


def _oven(draft: Draft) -> list[str]:
    if draft.oven_c is None:
        return []
    told = draft.guessed("oven temperature")
    heat = draft.oven_said or _degrees(draft.oven_c)
    return ["[oven]", f"temperature = {_quoted(heat)}" + (_guess("not written; usual for this style") if told else "")]


def _part(part: PartDraft, draft: Draft) -> list[str]:
    amount = part.amount or 0.0
    said = _guess(part.guess) if part.guess else ""
    said += f"  # {_one_line(part.note)}" if part.note and not said else ""
    lines = ["[[ingredients]]", f"name     = {_quoted(part.name)}"]
    lines.append(
        f"percent  = {amount:.6g}{said}" if draft.in_percent else f"weight   = {_quoted(_weight(amount))}{said}"
    )
    lines.append(f"kind     = {_quoted(part.kind)}")
    if part.form and part.kind == "yeast":
        lines.append(f"form     = {_quoted(part.form)}")
    if part.made_of:
        lines.append(f"made_of  = {_made_of(part)}")
    if part.water_percent is not None:
        lines.append(f'water    = "{part.water_percent:g} %"')
    if part.heat:
        lines.append("heat     = true")
    if part.at:
        lines.append(f"at       = {_quoted(part.at)}")
    if part.kept:
        lines.append(f"from     = {_quoted(part.kept)}")
    lines += _contains(part)
    return lines


def _contains(part: PartDraft) -> list[str]:
    """What is in it, an empty list where it was looked up; nothing as long as nobody has said."""
    if part.unknown or not (part.contains or part.contains_none):
        return []
    return [f"contains = [{', '.join(_quoted(each) for each in part.contains)}]"]


def _made_of(part: PartDraft) -> str:
    """Parts for 100 of flour."""
    parts = part.made_of or {}
    scale = 100 / parts["flour"]
    said = ", ".join(
        f"{name} = {value * scale:.4g}" for name, value in {"water": 0.0, **parts}.items() if value or name == "water"
    )
    form = f', form = "{part.form}"' if part.form and parts.get("yeast") else ""
    called = "" if part.flour_name.casefold() in ("", "flour") else f", flour_name = {_quoted(part.flour_name)}"
    return f"{{ {said}{form}{called} }}"


def _outside(part: PartDraft, draft: Draft) -> list[str]:
    lines = [
        "[[ingredients]]",
        f"name     = {_quoted(part.name)}",
        f"kind     = {_quoted(part.kind)}",
        f"use      = {_quoted(part.use)}",
    ]
    kinds = [stage.kind for stage in draft.stages]
    before = kinds[: kinds.index("bake")] if "bake" in kinds else kinds
    if "bake" not in kinds if part.use == "finish" else "hands" not in before:
        # The format has it before the bake; here nothing is baked that is told of.
        lines.append(f"at       = {_quoted(draft.stages[-1].name)}" + _guess("no bake was found"))
    if part.each_g is not None and draft.pieces:
        lines.append(f'each     = "{part.each_g:g} g"' + _guess("usual on a piece of that size"))
        lines.append("guess    = true")
    else:
        share, grams = part.amount or 1.0, part.amount or part.each_g or 5.0
        lines.append(f"percent  = {share:.6g}" if draft.in_percent else f"weight   = {_quoted(_weight(grams))}")
        why = part.guess if part.amount else "no amount is written"
        lines[-1] += _guess(why) if why else ""
        lines += [] if part.amount else ["guess    = true"]
    lines += _contains(part)
    return lines


def _stage(stage: StageDraft, draft: Draft) -> list[str]:
    lines = ["[[stages]]", f"name    = {_quoted(stage.name)}", f"kind    = {_quoted(stage.kind)}"]
    if stage.made_for is not None:
        lines.append(f"for     = {_quoted(stage.made_for)}")
    phased = len(stage.phases) > 1 or any(phase.steam for phase in stage.phases)
    if phased:
        lines += ["phases  = [", *_phases(stage.phases, stage.seconds), "]"]
    else:
        lines.append(f"time    = {_quoted(_length(stage.seconds))}" + (_guess(stage.guess) if stage.guess else ""))
    lines += _stretch(stage, draft)
    if stage.place_c is not None and stage.kind in ("proof", "chill"):
        lines.append(f"place   = {_quoted(_degrees(stage.place_c))}")
    if stage.kind == "proof" and stage.rise_percent is not None:
        low, high = stage.rise_percent * 0.8, stage.rise_percent * 1.2
        lines.append(f'rise    = {{ wanted = ["{low:.0f} %", "{high:.0f} %"], extend = "10 min", at_most = 3 }}')
    lines += _by_rate(stage, draft)
    lines += _core(stage, draft)
    if stage.loading:
        lines.append(f"loading = {_quoted(_sentence(stage.loading))}")
    if stage.text:
        lines.append(f"text    = {_quoted(_sentence(stage.text)[:1990])}")
    return lines


def _stretch(stage: StageDraft, draft: Draft) -> list[str]:
    """What the dough forgives; for a proof that gives one length, a quarter to either side."""
    if stage.stretch is not None:
        return [f"stretch = [{', '.join(_quoted(_length(each)) for each in stage.stretch)}]"]
    if stage.kind != "proof" or stage.seconds < _LIVELY_S:
        return []
    bounds = [round(stage.seconds * share / 300) * 300.0 for share in (0.75, 1.25)]
    return [
        f"stretch = [{', '.join(_quoted(_length(each)) for each in bounds)}]"
        + _guess_of_proofs(draft, "a quarter to either side")
    ]


def _by_rate(stage: StageDraft, draft: Draft) -> list[str]:
    """A proof goes by the dough's temperature, which is asked for as the first one begins."""
    if stage.kind != "proof" or stage.made_for is not None or stage.seconds < _LIVELY_S or draft.dough_c is None:
        return []
    at = _quoted(_degrees(draft.dough_c))
    why = "the time is right for a dough of the wanted temperature"
    lines = [f'adjust  = {{ by = "rate", at = {at} }}' + _guess_of_proofs(draft, why)]
    if stage.role == "first proof":
        lines.append('checks  = [{ read = "dough temperature", when = "start" }]')
    return lines


def _core(stage: StageDraft, draft: Draft) -> list[str]:
    if stage.core_c is not None:
        return [f'core    = ["{stage.core_c:.1f} °C", "{stage.core_c + _CORE_ABOVE_K:.1f} °C"]']
    if stage.kind == "bake" and draft.style == "enriched":
        said = _guess("usual for an enriched dough") if draft.guessed("core", stage.line) else ""
        return [f'core    = ["{ENRICHED_CORE_C[0]:g} °C", "{ENRICHED_CORE_C[1]:g} °C"]{said}']
    return []


def _phases(phases: Sequence[BakePhase], seconds: float) -> Iterator[str]:
    for phase in phases:
        low, high = phase.seconds if phase.seconds is not None else (seconds, None)
        steam = ", steam = true" if phase.steam else ""
        time = _quoted(_length(low if high is None else (low + high) / 2))
        yield f"  {{ time = {time}, oven = {_quoted(_degrees(phase.oven_c or 200.0))}{steam} }},"


def _degrees(value_c: float) -> str:
    """°C where that is a round figure, else the °F that it was."""
    return (
        f"{value_c:.0f} °C"
        if abs(value_c - round(value_c)) < 0.06
        else (f"{value_c:.1f} °C" if abs(value_c * 2 - round(value_c * 2)) < 0.02 else f"{value_c * 1.8 + 32:.0f} °F")
    )


def _weight(grams: float) -> str:
    digits = 0 if abs(grams - round(grams)) < 0.005 else 1 if grams >= 20 else 2
    return f"{grams:.{digits}f} g"


def _length(seconds: float) -> str:
    minutes = seconds / 60
    if minutes >= 120 and abs(minutes / 60 * 4 - round(minutes / 60 * 4)) < 1e-6:
        return f"{minutes / 60:g} h"
    return f"{minutes:g} min" if abs(minutes * 2 - round(minutes * 2)) < 1e-6 else f"{seconds:.0f} s"


def _sentence(text: str) -> str:
    words = text.strip()
    return words if words.endswith((".", "!", "?")) else f"{words}."


def _guess(why: str) -> str:
    return f"  # guess: {_one_line(why)}"


def _guess_of_proofs(draft: Draft, why: str) -> str:
    return _guess(why) if draft.guessed("proofs") else ""


def _place(guess: Guess) -> str:
    return f"line {guess.line}, {_one_line(guess.field)}" if guess.line else _one_line(guess.field)


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _quoted(text: str) -> str:
    return json.dumps(_one_line(text), ensure_ascii=False)
