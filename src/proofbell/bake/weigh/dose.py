"""Another dose of yeast: what it weighs, and what it does to the time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake.weigh.batch import Batch
from proofbell.dough.yeast import DOSE_FRESH_PERCENT, PER_FRESH, dose_times, fresh_percent, with_form
from proofbell.errors import Failure
from proofbell.formula.dough_stages import first_proof
from proofbell.formula.model import Bands, Formula, Ingredient, Stage, YeastForm
from proofbell.words import length, percent, temperature

SLOWER = "More salt, or sugar above 5 % of the flour, makes a dough slower; by how much is not known."
"""Direction only: Marek and Bushuk 1967, Cereal Chem. 44:300."""


def yeast_to_dose(formula: Formula) -> Ingredient | None:
    """The one line of yeast whose dose can be changed; None for a sourdough, of which nothing of the kind is known."""
    yeasts = [line for line in formula.ingredients if line.kind == "yeast" and line.percent > 0]
    return yeasts[0] if len(yeasts) == 1 and "sourdough" not in (formula.raised_by, *formula.leavens) else None


def dosed(formula: Formula, wanted: float, form: YeastForm | None = None) -> tuple[Formula, str]:
    """Return the formula with ``wanted`` percent of its yeast, weighed in ``form``, and what that does to its time.

    Its first proof takes the time that goes by the dose, where that is known; later ones are to be judged by eye.
    Raises Failure: as :func:`with_dose`.
    """
    own = yeast_to_dose(formula)
    weighed = [line if form is None else with_form(line, form) for line in formula.ingredients]
    _lines, _words = with_dose(formula, weighed, wanted)
    if own is None:  # with_dose has said why not
        return formula, ""
    in_form = own if form is None else with_form(own, form)
    new = replace(own, percent=wanted * own.percent / in_form.percent)
    changed = tuple(new if line is own else line for line in formula.ingredients)
    times, first = dose_times(own, new), first_proof(formula)
    words = _time_words(formula, own, new)
    stages = formula.stages
    if times is not None and first is not None:
        stages = tuple(_times(stage, times[0]) if stage is first else stage for stage in stages)
    return replace(formula, ingredients=changed, stages=stages), words


def _times(stage: Stage, share: float) -> Stage:
    """A stage so many times as long, with what its dough forgives and its bands, in whole minutes."""

    def whole(seconds: float) -> float:
        return max(60.0, round(seconds * share / 60.0) * 60.0)

    rule = stage.adjust
    if isinstance(rule, Bands):
        rule = replace(rule, bands=tuple(replace(band, time_s=whole(band.time_s)) for band in rule.bands))
    stretch = None if stage.stretch is None else (whole(stage.stretch[0]), whole(stage.stretch[1]))
    return replace(stage, time_s=whole(stage.time_s), stretch=stretch, adjust=rule)


def with_dose(formula: Formula, lines: Sequence[Ingredient], wanted: float) -> tuple[tuple[Ingredient, ...], str]:
    """Return the lines with ``wanted`` percent of yeast in the form that they have, and what that does, in words.

    Raises Failure: no yeast of its own, or a sourdough, for which nothing of the kind is known.
    """
    yeasts = [line for line in lines if line.kind == "yeast" and line.percent > 0]
    if formula.raised_by == "sourdough" or "sourdough" in formula.leavens:
        raise Failure("What another dose does to a sourdough is not known.", "Change its time by what you see.")
    if len(yeasts) != 1:
        raise Failure("There is not one line of yeast to change.", "Change the formula's own lines.")
    (old,) = yeasts
    changed = tuple(replace(line, percent=wanted) if line is old else line for line in lines)
    new = replace(old, percent=wanted)
    said = f"{percent(new.percent, 3)} of {new.name} in place of {percent(old.percent, 3)}"
    return changed, f"{said}: {_time_words(formula, old, new)} {SLOWER}"


def _time_words(formula: Formula, old: Ingredient, new: Ingredient) -> str:
    times = dose_times(old, new)
    if times is None:
        low, high = (percent(value, 2) for value in DOSE_FRESH_PERCENT)
        doses = " and ".join(percent(fresh_percent(line), 2) for line in (old, new))
        return (
            "what that does to the time is not known. "
            f"As fresh yeast it is {doses}; time goes by the dose from {low} to {high} only."
        )
    value, least, most = times
    stage = first_proof(formula)
    took = "" if stage is None else f": {stage.name} about {length(stage.time_s * value)}"
    if stage is not None:
        took += f", {length(stage.time_s * least)} to {length(stage.time_s * most)}, not {length(stage.time_s)}"
    span = f"{value:.2g} times as long ({least:.2g} to {most:.2g})"
    return f"a first rise at about {temperature(22.0, 0)} takes {span}{took}."


def with_yeast(formula: Formula, yeast: YeastForm | None) -> tuple[Ingredient, ...]:
    """Return the ingredients with the yeast in another form, that of preferments too; as they are without one."""
    if yeast is None:
        return formula.ingredients
    return tuple(with_form(line, yeast) for line in formula.ingredients)


def form_weighed(formula: Formula, batch: Batch) -> YeastForm | None:
    """Return the form of yeast that was weighed, when it is not the formula's own."""
    names = {line.name for line in batch.lines if line.use == "dough" and not line.into}
    for ingredient in formula.ingredients:
        if ingredient.kind == "yeast" and ingredient.name not in names:
            return next((form for form in PER_FRESH if with_form(ingredient, form).name in names), None)
    return None
