"""What the start screen says of a formula, and of what its size comes to. Pure."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.session.formula_files import FormulaFile, where
from proofbell.app.session.local_time import day, with_date
from proofbell.app.start.at_hand import Item, LastBake
from proofbell.bake.decisions.as_opened import as_opened, ready_in_s
from proofbell.bake.fermenting.place_words import places_told
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.made_for import tin_words
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.formula.model import Formula, YeastForm
from proofbell.journal.learning.quantities import QuantityName
from proofbell.journal.learning.use import Use
from proofbell.places import short
from proofbell.words import grams, length, pieces, temperature

MOST_FAULTS = 6


def total_words(formula: Formula) -> str:
    return length(sum(stage.time_s for stage in formula.stages))


def last_size(last: LastBake) -> str:
    """``12 × 75 g``, or its dough."""
    return pieces(last.pieces, last.piece_g) or f"{grams(last.dough_g)} dough"


def last_time(last: LastBake, now: Stamp) -> Content:
    """When it was baked last, at which size, how it came out, and the baker's own words about it."""
    score = "" if last.score is None else f", {last.score:.1f} points of 10"
    lines = [own(f"Last time, {day(last.began_us, now)}: {last_size(last)}{score}", "bold")]
    lines += [outside(f"Your note: {last.note}", most=300)] if last.note else []
    return Content("\n").join(lines)


def own_live_in(folder: Path, key: str) -> Content:
    """What to do while there are no own formulas."""
    where_ = outside(short(folder), most=200)
    return own("Your own formulas live in ") + where_ + own(f": {key} makes one from a recipe")


def none_at_hand(new: str, opens: str) -> Content:
    """What to do where there is no formula at all; with the keys."""
    return own(f"No formulas here.\n{new} makes one from a recipe,\n{opens} opens a file.")


def about(item: Item, now: Stamp) -> Content:
    """Its name, its own words, the bare facts; how it went last time, where it is to be baked again."""
    file = item.file
    formula = file.formula
    if formula is None:
        return outside(file.title).stylize("bold")
    count = len(formula.ingredients) + len(formula.outside)
    facts = f"{formula.style} · {count} ingredients · {len(formula.stages)} stages · {total_words(formula)}"
    parts = [outside(formula.name).stylize("bold"), outside(formula.about, most=200), own(facts, "dim")]
    parts += [own("Yours, in place of the house formula of that name.")] if item.replaces else []
    parts += [last_time(item.again, now)] if item.again is not None else []
    if item.from_log:
        parts.append(own("As it was baked; its file was ") + outside(short(Path(formula.path)), most=200))
    return Content("\n").join(part for part in parts if part)


def faults(file: FormulaFile) -> Content:
    """What is wrong with a file, else what it warns of; nothing when all is well."""
    if file.errors:
        lines = [f"✗ {where(fault)}: {fault.message} {fault.remedy}" for fault in file.errors[:MOST_FAULTS]]
        if len(file.errors) > MOST_FAULTS:
            more = len(file.errors) - MOST_FAULTS
            lines.append(f"… and {more} more: proofbell check {file.path.name} lists them all.")
    else:
        lines = [f"! {fault.message}" for fault in file.warnings[:3]]
    return Content("\n").join(outside(line, most=500) for line in lines)


def comes_to(formula: Formula, out: WeighOut, known: Use, now: Stamp, yeast: YeastForm | None) -> list[Content]:
    """Size, liquid and hour; what past bakes showed stands below the number that it changed.

    ``yeast`` is the form that was asked for in place of the formula's own.
    """
    batch = out.batch
    divided = pieces(batch.pieces, batch.piece_g), tin_words(batch.pieces, batch.in_tin)
    made = "".join(f"{part}, " for part in divided if part)
    lines = [own(f"{made}{grams(batch.dough_g)} of dough with {grams(batch.flour_g)} of flour", "bold")]
    lines += _learned(known, "make-up loss")
    lines += [own(out.loaf.words)] if out.loaf is not None else []
    if out.tin is not None:
        lines.append(own(out.tin.words, "" if out.tin.fill.verdict == "sound" else "$text-warning"))
    if batch.liquid and batch.liquid_c is not None:
        ice = f", {grams(batch.ice_g)} of it ice" if batch.ice_g else ""
        comes = f"; the dough comes out at {temperature(batch.expected_c)}" if batch.expected_c is not None else ""
        words = outside(f"{batch.liquid} at {temperature(batch.liquid_c)}{ice}{comes}")
        wanted = temperature(formula.dough.temperature_c)
        if out.liquid is not None and out.liquid.limited and comes and not comes.endswith(f" {wanted}"):
            words += own(f", not {wanted}", "bold $text-warning")
        lines.append(words)
        lines += _learned(known, "rise by hand", "rise by machine")
    if yeast is not None:
        lines += [
            outside(f"{line.name}: {grams(line.grams, line.step_g)}") for line in out.lines if line.kind == "yeast"
        ]
    opened = as_opened(formula, batch, known.kitchen)
    lines += [outside(words, most=200) for words in places_told(opened, first_told=out.limited is not None)]
    total_s = ready_in_s(formula, batch, known.kitchen)
    ready = with_date(now.wall_us + round(total_s * 1e6), now)
    lines.append(own(f"If begun now: ready {ready}, in {length(total_s)}"))
    later = [
        f"{one.quantity} {one.said(one.value)}"
        for one in known.used
        if one.quantity in ("pace", "drift", "drift in the cold")
    ]
    # These move no hour now; they count when a proof is read.
    return lines + ([own(f"  learned, for readings: {', '.join(later)}", "dim")] if later else [])


def kept_by(places: Sequence[tuple[str, float]]) -> list[Content]:
    """How the kitchen comes to know a place that was told for one bake."""
    return [
        outside(
            f"{name[:1].upper()}{name[1:]} holds for this bake; for good: proofbell kitchen set "
            f'{shlex.quote(f"places.{name}")} "{temperature(temp_c)}"',
            most=200,
        ).stylize("dim")
        for name, temp_c in places
    ]


def _learned(known: Use, *names: QuantityName) -> list[Content]:
    """The value and from how many bakes; the screen of what was learned says the range."""
    used = [one for one in known.used if one.quantity in names]
    return [
        outside(f"  learned from {_bakes(one.bakes)}: {one.title} {one.said(one.value)}").stylize("dim") for one in used
    ]


def _bakes(count: int) -> str:
    return f"{count} bakes" if count > 1 else "1 bake" if count else "other formulas"
