"""The lines of a weigh-out: each thing to weigh, as the scale shows it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from proofbell.bake.weigh.batch import Batch
from proofbell.bake.weigh.weigh_cautions import DISSOLVE, TooSmall, dissolved
from proofbell.bake.weigh.weigh_liquid import stored_c
from proofbell.dough.rounding import Weight, fits, round_weights, telling_step_g
from proofbell.dough.weights import Size
from proofbell.formula.model import Formula, Ingredient, IngredientKind, Measured, PrefermentParts, Use
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen, Scale
from proofbell.words import grams


@dataclass(frozen=True, slots=True)
class WeighLine:
    """One thing to weigh: ``grams`` as the scale shows it in steps of ``step_g``, and its temperature (°C).

    ``dissolve``: too little for the scale. ``stirred_from``: what a preferment is made of (name, g). ``into``: the
    preferment that it is stirred into; of its parts the water alone has a temperature. ``at``: the stage (its index) at
    which it goes into the dough, where it does not as that begins; outside the dough, those before which it is wanted.
    ``measured``: how a cook would take it. ``starter_g``: the ripe starter in it. ``guess``: its amount is one.
    """

    name: str
    kind: IngredientKind
    percent: float
    grams: float
    temperature_c: float | None
    step_g: float
    dissolve: bool = False
    stirred_from: tuple[tuple[str, float], ...] = ()
    use: Use = "dough"
    at: tuple[int, ...] = ()
    into: str = ""
    measured: Measured | None = None
    starter_g: float = 0.0
    guess: bool = False

    @property
    def weight(self) -> str:
        """``16 g`` as the scale shows it; ``about 16 g`` where that is a guess."""
        return f"about {grams(self.grams, self.step_g)}" if self.guess else grams(self.grams, self.step_g)

    @property
    def by_measure(self) -> str:
        """``about 250 ml``, ``about 3 eggs``; nothing where the file gives no cook's measure."""
        way = self.measured
        if way is None:
            return ""
        number = self.grams / way.unit_g
        told = f"{round(number) if number >= 20 else round(number * 4) / 4:g}"
        unit = "eggs" if way.unit == "egg" and told != "1" else way.unit
        return f"about {told} {unit}"


def parts_named(parts: PrefermentParts) -> list[tuple[str, IngredientKind, float]]:
    """Return what a preferment is stirred from: name, kind and parts."""
    yeast = "yeast" if parts.form is None else f"{parts.form} yeast"
    named: list[tuple[str, IngredientKind, float]] = [
        (parts.flour_name or "flour", "flour", parts.flour),
        ("water", "water", parts.water),
        ("ripe starter", "preferment", parts.starter),
        (yeast, "yeast", parts.yeast),
        ("salt", "salt", parts.salt),
    ]
    return [each for each in named if each[2] > 0]


def part_lines(line: Ingredient, weight_g: float, here: Kitchen, water_c: float | None = None) -> list[WeighLine]:
    """Return the lines of a preferment's own bowl, its water at ``water_c`` (°C); none where it weighs nothing."""
    parts = line.made_of
    if parts is None or parts.total <= 0 or weight_g <= 0:
        return []
    weights = [_weight(kind, weight_g * part / parts.total, here) for _, kind, part in parts_named(parts)]
    return [
        WeighLine(
            name, kind, line.percent * part / parts.total, weight.grams, water_c if kind == "water" else None,
            weight.step_g, weight.dissolve, into=line.name,
        )
        for (name, kind, part), weight in zip(parts_named(parts), weights, strict=True)
    ]  # fmt: skip


def outside_g(line: Ingredient, size: Size) -> float:
    """Return what an ingredient outside the dough weighs (g): so much a piece, or its share of the flour."""
    return size.flour_g * line.percent / 100 if line.each_g is None else line.each_g * (size.pieces or 1)


def weigh_line(line: Ingredient, weight: Weight, temp_c: float, here: Kitchen) -> WeighLine:
    """Return an ingredient of a weight as the weigh-out shows it."""
    return WeighLine(
        line.name,
        line.kind,
        line.percent,
        weight.grams,
        temp_c,
        weight.step_g,
        weight.dissolve,
        tuple((part.name, part.grams) for part in part_lines(line, weight.grams, here)),
        line.use,
        line.at,
        measured=line.measured,
        starter_g=0.0 if line.made_of is None else weight.grams * line.made_of.starter / line.made_of.total,
        guess=line.guess,
    )


def outside_line(line: Ingredient, size: Size, here: Kitchen) -> WeighLine:
    """What is weighed for the pieces or the tins."""
    exact_g = outside_g(line, size)
    share = replace(line, percent=100 * exact_g / size.flour_g)
    return weigh_line(share, _weight(line.kind, exact_g, here), stored_c(line, here), here)


def _weight(kind: IngredientKind, exact_g: float, here: Kitchen) -> Weight:
    """Round one weight by itself: equal parts stay equal."""
    scale = here.scale
    return round_weights([(kind, exact_g)], step_g=scale.step_g, fine_step_g=scale.fine_step_g)[0]


There = Mapping[tuple[str, str], float]
"""What of a line (its name, and the preferment that it is stirred into) is in the bowl already (g)."""


OF_PREFERMENT = "the preferment's water"


def too_small(printed: Sequence[WeighLine], lines: Sequence[Ingredient], here: Kitchen, there: There) -> list[TooSmall]:
    """Everything that the finest scale cannot weigh to within a tenth: lines, and what preferments are stirred from.

    Of what is ``there`` already, only the rest is weighed.
    """
    scale = here.scale
    step_g = min(scale.step_g, scale.fine_step_g or scale.step_g)
    poured = [line for line in printed if line.kind in ("water", "milk")]
    liquid_g = sum(max(0.0, line.grams - there.get((line.name, ""), 0.0)) for line in poured)
    found: list[TooSmall] = []
    for one in printed:
        there_g = there.get((one.name, ""), 0.0)
        add_g = round(one.grams - there_g, 6)
        if there_g and add_g > 0 and not fits(add_g, step_g):
            found.append(TooSmall(one.name, one.kind, add_g, step_g, adding=True, liquid_g=liquid_g))
        elif one.dissolve and not there_g:
            found.append(TooSmall(one.name, one.kind, one.grams, step_g))
    for line, own in zip(lines, printed, strict=True):
        parts = line.made_of
        for name, kind, part in [] if parts is None else parts_named(parts):
            there_g = there.get((name, own.name), 0.0)
            part_g = own.grams * part / (parts.total if parts is not None else 1) - there_g
            if part_g > 0 and not fits(part_g, step_g):
                told = f"{name} for the {own.name}"
                # By the weight that is told, as wherever it is told.
                told_g = telling_step_g(part_g)
                part_g = round(round(part_g / told_g) * told_g, 6)
                found.append(TooSmall(told, kind, part_g, step_g, OF_PREFERMENT, adding=there_g > 0))
    return found


def line_note(line: WeighLine) -> str:
    """Return what stands beside a line: what a preferment is stirred from, or that a weight is too small."""
    if line.dissolve:
        return "too little for the scale: see the hint"
    # Parts are told to the gram, pinches with the decimals that they need.
    return ", ".join(
        f"{grams(part_g, 1.0 if part_g >= 10 else telling_step_g(part_g))} {name}" for name, part_g in line.stirred_from
    )


def pinches(formula: Formula, batch: Batch, preferment: str, scale: Scale) -> list[str]:
    """How what a preferment is stirred from is measured, where there is too little of it for the scale."""
    step_g = min(scale.step_g, scale.fine_step_g or scale.step_g)
    parts = next((line.made_of for line in formula.ingredients if line.name == preferment), None)
    kinds = {} if parts is None else {name: kind for name, kind, _ in parts_named(parts)}
    # What the scale cannot weigh to within a tenth is less than five of its steps, and told in finer ones.
    pinched = (line for line in batch.lines if line.into == preferment and line.grams < 5 * step_g)
    small = [line for line in pinched if not fits(line.grams, step_g, off_by=1e-6)]
    return [
        f"For the {line.name}, {dissolved(line.grams, step_g, OF_PREFERMENT)}"
        for line in small
        if kinds.get(line.name) in DISSOLVE
    ]


def starter_notes(printed: Sequence[WeighLine]) -> list[str]:
    """How much ripe starter there must be, and that not all of it may go."""
    return [
        f"The {line.name} takes {grams(line.starter_g, telling_step_g(line.starter_g))} of ripe starter. "
        f"Have more than that, and keep some back for the next time."
        for line in printed
        if line.starter_g > 0
    ]
