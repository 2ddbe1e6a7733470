"""What the weigh-out says around its list: the liquid first, notes and cautions, other yeasts."""

from __future__ import annotations

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.widgets.rows import columns
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Weighed
from proofbell.bake.view import in_pieces
from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.bake.weigh.in_bowl import is_ripening, weighed_g
from proofbell.bake.weigh.lines import WeighLine
from proofbell.bake.weigh.made_for import tin_words
from proofbell.bake.weigh.ways_words import batch_words
from proofbell.bake.weigh.weigh_cautions import DISSOLVE
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.dough.allergens import in_one_line
from proofbell.dough.rounding import telling_step_g
from proofbell.dough.safety import LOCAL_FIRST, Caution
from proofbell.dough.yeast import PER_FRESH, swap
from proofbell.formula.model import YeastForm
from proofbell.words import grams, other_degrees, sentence, temperature, weight

NARROW, VERY_NARROW = 70, 52


def swap_words(line: BatchLine, have: YeastForm, want: YeastForm) -> str:
    """What another form of yeast would weigh in place of a line."""
    ratio = swap(have, want)
    span = f"books say {told_g(line.grams * ratio.low)} to {told_g(line.grams * ratio.high)}"
    return f"{told_g(line.grams * ratio.ratio)} {want} ({span})"


def swaps_told(state: BakeState) -> str:
    """What other forms of yeast would weigh in place of the formula's own."""
    found = [
        (ingredient, line)
        for ingredient in state.formula.ingredients
        for line in state.batch.lines
        if ingredient.kind == "yeast"
        and line.grams > 0
        and not line.into
        and line.name.casefold() == ingredient.name.casefold()
    ]
    if not found:
        return "This formula has no yeast of its own to swap, or it was swapped already."
    ingredient, line = found[0]
    have: YeastForm = ingredient.form or "fresh"
    told = [swap_words(line, have, want) for want in PER_FRESH if want != have]
    return f"Instead of {told_g(line.grams)} {have}: {'; or '.join(told)}."


def rows_of(batch: Batch) -> list[int | tuple[int, ...]]:
    """What stands in the list: lines (their indices), and the bowls as titles above theirs.

    The dough alone needs none, nor where it comes first: the head of the list says it.
    """
    rows: list[int | tuple[int, ...]] = []
    for bowl in batch.bowls:
        first = batch.lines[bowl[0]]
        if rows or first.into or first.use != "dough":
            rows.append(bowl)
        rows += bowl
    return rows


def size_told(state: BakeState) -> str:
    """What the batch makes, in how many tins, of how much dough."""
    in_tins = tin_words(state.batch.pieces, state.batch.in_tin)
    dough = "" if in_pieces(state) is None else f"{grams(state.batch.dough_g)} of dough"
    return ", ".join(told for told in (batch_words(state.batch), in_tins, dough) if told)


def hint_of(batch: Batch, index: int, weighed: WeighLine | None) -> str:
    """A word beside a line: ice, how to weigh what is too little, a cook's measure, that it is a guess."""
    line = batch.lines[index]
    if batch.ice_g and line.name == batch.liquid and not line.into:
        return f"{grams(batch.ice_g)} as ice"
    if weighed is not None and weighed.dissolve:
        return "dissolve" if weighed.kind in DISSOLVE else "finer scale"
    stirred = any(part.into == line.name for part in batch.lines)
    if line.measure or (line.note and not stirred):
        return line.measure or line.note
    if line.guess:
        return "about"
    return "fine scale" if weighed is not None and weighed.step_g < 1 else ""


def to_weigh(state: BakeState, index: int, step_g: float) -> str:
    """What is weighed of a line; of one that is in the bowl in part, what is added."""
    line, there_g = state.batch.lines[index], weighed_g(state)[index]
    if state.done(Weighed(index)) or not 0 < there_g < line.grams:
        return grams(line.grams, step_g)
    return f"+ {weight(line.grams - there_g, min(1.0, step_g))}"


def told_g(weight_g: float) -> str:
    """A small weight, with the decimals that it needs."""
    return grams(weight_g, telling_step_g(weight_g))


def list_head(width: int) -> Content:
    return columns(
        [
            (own(" "), 1),
            (own("into the bowl"), 0),
            (own("weigh"), -9),
            *bowl_column(own("bowl then"), width),
            (own("at"), -6),
            *hint_column("", width),
        ],
        width,
    )


def bowl_column(words: Content, width: int) -> list[tuple[Content, int]]:
    """What the bowl weighs then gives way to what is weighed: the names stand whole."""
    return [] if width < VERY_NARROW else [(words, -11)]


def hint_column(words: str, width: int) -> list[tuple[Content, int]]:
    """Where there is little room the names come first; what a hint is about stands in the notes as well."""
    return [] if width < NARROW else [(outside(words).stylize("dim"), 11 if width < 90 else 24)]


def liquid_words(state: BakeState, out: WeighOut | None) -> list[Content]:
    """How warm the liquid must be, that of a preferment first while one is to be weighed.

    Before it, when the wanted dough temperature is out of reach.
    """
    batch = state.batch
    limited = None if out is None else out.limited
    first = [] if limited is None else [Content.assemble(own("! ", "bold $warning"), outside(limited, most=400))]
    if not batch.liquid or batch.liquid_c is None:
        return [own("This formula does not say which liquid sets the dough's temperature.", "dim")]
    water = next_preferment(state)
    later = bool(batch.bowls) and bool(batch.lines[batch.bowls[0][0]].into)
    words = Content.assemble(
        "For the dough, the " if later else "First the ",
        outside(batch.liquid).stylize("bold"),
        " at ",
        own(temperature(batch.liquid_c), "bold $accent"),
    )
    words += own(f" ({other_degrees(batch.liquid_c)})")
    if batch.ice_g:
        words += own(f", {grams(batch.ice_g)} of it as ice", "bold $accent")
    if batch.expected_c is not None:
        words += own(f"; {'it' if later else 'the dough'} then comes to {temperature(batch.expected_c)}.")
    wanted_c = state.formula.dough.temperature_c
    if wanted_c is not None and batch.expected_c is not None and abs(wanted_c - batch.expected_c) >= 0.1:
        words += own(f" Wanted: {temperature(wanted_c)}.", "bold $warning")
    if water is not None and water.temperature_c is not None:
        # How far the kneading may be off matters once the dough is mixed.
        at = own(temperature(water.temperature_c), "bold $accent")
        poured = Content.assemble("First the ", outside(water.name).stylize("bold"), " at ", at)
        poured += own(f" ({other_degrees(water.temperature_c)})") + outside(f", for the {water.into}.")
        return [*first, poured, words]
    if out is not None and out.liquid is not None and out.liquid.rise.source in ("learned", "usual"):
        told = [words for words in (out.liquid.between, out.liquid.rise_words) if words]
        return [*first, words, outside(sentence(": ".join(told))).stylize("dim")]
    return [*first, words]


def next_preferment(state: BakeState) -> BatchLine | None:
    """The liquid of the bowl that is to be weighed next, where that is a preferment's and has a temperature."""
    lines = state.batch.lines
    bowl = next((b for b in state.batch.bowls if not all(state.done(Weighed(n)) for n in b)), ())
    found = next((lines[n] for n in bowl if lines[n].into and lines[n].temperature_c is not None), None)
    return None if found is None or is_ripening(state, found.into) else found


def allergen_words(out: WeighOut | None) -> list[Content]:
    """What everybody who eats it must know, whole; nothing where none is named and nothing is unknown."""
    named = "" if out is None else in_one_line(out.allergens, out.unknown, none="")
    if not named:
        return []
    return [own("Allergens: ", "bold $warning") + outside(named, most=2000).stylize("bold")]


def notes_words(out: WeighOut | None) -> list[Content]:
    """What the batch is made for, its warnings, and the cautions."""
    if out is None:
        return [own("The notes on this batch cannot be worked out again.", "dim")]
    made_for = [] if out.loaf is None else [out.loaf.words]
    # A tin that is too full or too empty is warned of below, in the same words and more.
    made_for += [out.tin.words] if out.tin is not None and out.tin.fill.verdict == "sound" else []
    parts = [outside(sentence(words), most=400) for words in made_for]
    parts += [Content.assemble(own("! ", "bold $warning"), outside(w, most=400)) for w in out.notes.warnings]
    if out.notes.cautions:
        parts.append(own(LOCAL_FIRST, "bold"))
    return parts + [_caution_words(caution) for caution in out.notes.cautions]


def _caution_words(caution: Caution) -> Content:
    """What it is about, bold; not twice when its own words begin with that."""
    words = outside(caution.alone, most=600)
    words += outside(f" ({caution.source})").stylize("dim") if caution.source else ""
    if caution.named:
        return words.stylize("bold", 0, len(caution.about))
    return Content.assemble(outside(f"{caution.about.capitalize()}: ").stylize("bold"), words)
