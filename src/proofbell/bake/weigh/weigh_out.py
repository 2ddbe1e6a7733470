"""The weigh-out: a formula sized for today, what each thing weighs, and how warm the liquid must be in this kitchen."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import get_args

from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.bake.weigh.bowls import Bowl, bowls
from proofbell.bake.weigh.dose import form_weighed, with_dose, with_yeast
from proofbell.bake.weigh.lines import (
    There,
    WeighLine,
    line_note,
    outside_line,
    part_lines,
    starter_notes,
    too_small,
    weigh_line,
)
from proofbell.bake.weigh.made_for import InTin, Loaf, times_note
from proofbell.bake.weigh.weigh_cautions import Notes, limit_note, notes
from proofbell.bake.weigh.weigh_liquid import (
    LiquidAdvice,
    Rise,
    RiseFrom,
    liquid_advice,
    ripens_c,
    rise,
    stirred_with_c,
    stored_c,
)
from proofbell.dough.allergens import contained, eu_allergens, named_alone, us_allergens
from proofbell.dough.done import bake_loss_percent, dough_for_loaf_g
from proofbell.dough.liquid import RISE_BEFORE_K
from proofbell.dough.rounding import Weight, round_weights
from proofbell.dough.weights import Shares, Size, SizeWish, shares, size_batch
from proofbell.formula.foods.contains import not_known
from proofbell.formula.model import Formula, Ingredient, TinKind, YeastForm
from proofbell.formula.tin_load import fill, load
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen

LEAST_ICE = 0.01
"""Less of the liquid than this cools it by less than a degree as ice, and is none: common practice, no source."""


@dataclass(frozen=True, slots=True)
class WeighOut:
    """Everything the weigh-out shows. ``lines`` are the dough's, ``dough_g`` is the sum of their printed weights.

    ``bowls`` are those lines and all others, by what they are weighed into; ``stages`` are the formula's, by name.
    ``allergens`` are those of this kitchen's region, each by its own name; what is in the ``unknown`` ingredients
    nobody has said. ``limited`` says that the wanted dough temperature is out of reach, and what follows.
    """

    formula: str
    size: Size
    dough_g: float
    shares: Shares
    lines: tuple[WeighLine, ...]
    liquid: LiquidAdvice | None
    eu: tuple[str, ...]
    us: tuple[str, ...]
    allergens: tuple[str, ...]
    notes: Notes
    batch: Batch
    loaf: Loaf | None = None
    tin: InTin | None = None
    bowls: tuple[Bowl, ...] = ()
    stages: tuple[str, ...] = ()
    limited: str | None = None
    unknown: tuple[str, ...] = ()

    @property
    def warnings(self) -> tuple[str, ...]:
        """What is wrong with it, a dough temperature out of reach first."""
        return self.notes.warnings if self.limited is None else (self.limited, *self.notes.warnings)

    @property
    def outside(self) -> tuple[WeighLine, ...]:
        """What goes onto the pieces and the tins."""
        return tuple(line for bowl in self.bowls for line in bowl.lines if line.use != "dough")

    @property
    def step_g(self) -> float:
        """The finest step (g) in which anything is weighed; what is too little for the scale is not."""
        return min((line.step_g for line in self.lines if not line.dissolve), default=1.0)


def weigh_out(
    formula: Formula,
    kitchen: Kitchen,
    wish: SizeWish | None = None,
    *,
    tin_ml: float | None = None,
    tin_kind: TinKind | None = None,
    yeast: YeastForm | None = None,
    yeast_percent: float | None = None,
    learned_rise_k: float | None = None,
    learned_rise_range_k: tuple[float, float] | None = None,
    learned_loss_percent: float | None = None,
) -> WeighOut:
    """Size the formula and work out the weights and the liquid for this kitchen.

    ``tin_ml`` sizes the batch by tins, one piece a tin, unless the wish names a piece to put in. ``tin_kind`` is in
    place of the formula's. ``yeast_percent`` is another dose of yeast, in the form that is weighed. ``learned_rise_k``
    is the warming by kneading that past bakes of this formula showed, with its range, ``learned_loss_percent`` what
    they lost in the oven and cooling. Raises Failure: sizes that contradict each other or make no batch.
    """
    lines, dosed = with_yeast(formula, yeast), ""
    if yeast_percent is not None:
        lines, dosed = with_dose(formula, lines, yeast_percent)
    if tin_kind is not None:
        formula = replace(formula, batch=replace(formula.batch, tin_kind=tin_kind))
    wish = _with_tin(formula, wish or SizeWish(), tin_ml)
    size = size_batch(lines, formula.batch, wish, bake_loss_percent=learned_loss_percent)
    loaf = _loaf(wish.loaf_g, size, learned=learned_loss_percent is not None)
    tin_ml = formula.batch.tin_ml if tin_ml is None else tin_ml
    warming = rise(formula, kitchen)
    if learned_rise_k is not None:
        warming = Rise(learned_rise_k, "learned", formula.dough.mixing, learned_rise_range_k)
    return _weighed(formula, kitchen, lines, size, loaf, tin_ml, warming, dosed)


def weigh_again(formula: Formula, kitchen: Kitchen, batch: Batch, there: There | None = None) -> WeighOut | None:
    """Return the weigh-out of a batch that is on the bench, as it was; None for a batch of nothing.

    ``kitchen`` is the one that the bake was opened with. Of what is ``there`` only the rest is still weighed.
    """
    if not (batch.dough_g > 0 and batch.flour_g > 0):
        return None
    size = Size(batch.flour_g, batch.dough_g, batch.pieces, batch.piece_g)
    loaf = None
    if batch.loaf_g is not None and batch.piece_g is not None and 0 < batch.loaf_g <= batch.piece_g:
        published = math.isclose(batch.piece_g, dough_for_loaf_g(batch.loaf_g))
        loaf = _loaf(batch.loaf_g, size, learned=not published)
    # A bake of before tins were remembered has the formula's.
    tin_ml = formula.batch.tin_ml if batch.tin_ml is None else batch.tin_ml
    if batch.tin_kind is not None:
        formula = replace(formula, batch=replace(formula.batch, tin_kind=batch.tin_kind))
    lines, warming = lines_weighed(formula, batch), _rise_weighed(formula, kitchen, batch)
    return _weighed(formula, kitchen, lines, size, loaf, tin_ml, warming, there=there)


def lines_weighed(formula: Formula, batch: Batch) -> tuple[Ingredient, ...]:
    """Return the dough's ingredients as a batch has them: with the form of yeast that was weighed."""
    return with_yeast(formula, form_weighed(formula, batch))


def _rise_weighed(formula: Formula, kitchen: Kitchen, batch: Batch) -> Rise:
    """Return the warming that a batch was weighed out with; whose figure it was did not use to be kept."""
    now = rise(formula, kitchen)
    if batch.rise_k is None:
        return now
    known: RiseFrom | None = next((one for one in get_args(RiseFrom) if one == batch.rise_from), None)
    was_usual = now.source == "usual" and math.isclose(batch.rise_k, RISE_BEFORE_K[now.by])
    source = known or (now.source if was_usual or batch.rise_k == now.k else "learned")
    return Rise(batch.rise_k, source, now.by, batch.rise_range_k)


def _weighed(
    formula: Formula,
    here: Kitchen,
    lines: Sequence[Ingredient],
    size: Size,
    loaf: Loaf | None,
    tin_ml: float | None,
    warming: Rise,
    dosed: str = "",
    *,
    there: There | None = None,
) -> WeighOut:
    weights = _weights(lines, size, here)
    temps = [stored_c(line, here, ripens_c(formula, here, line)) for line in lines]
    advice = liquid_advice(formula, lines, weights, temps, here, warming)
    printed = tuple(
        weigh_line(line, weight, advice.answer.temp_c if advice is not None and line.heat else temp_c, here)
        for line, weight, temp_c in zip(lines, weights, temps, strict=True)
    )
    tin = None
    if tin_ml is not None and size.piece_g:
        kind = formula.batch.tin_kind
        filled = fill(tin_ml, size.piece_g, load(kind, formula.style), formula.batch.in_tin or 1)
        tin = InTin(tin_ml, kind, filled)
    parts = [
        part
        for line, own in zip(lines, printed, strict=True)
        for part in part_lines(line, own.grams, here, stirred_with_c(formula, here, line))
    ]
    rest = [outside_line(line, size, here) for line in formula.outside]
    dough_g = round(sum(line.grams for line in printed), 6)
    contains = contained(formula)
    kinds = frozenset(line.kind for line in lines)
    limited = None
    if advice is not None and advice.limited:
        limited = limit_note(formula, here, advice.name, advice.answer, dough_g)
    found = notes(
        formula,
        here,
        kinds=kinds,
        dough_g=dough_g,
        piece_g=size.piece_g,
        tin=tin,
        loaf_g=None if loaf is None else loaf.cooled_g,
        too_small=too_small(printed, lines, here, there or {}),
        pourable=any(line.kind in ("water", "milk") for line in lines),
    )
    warnings = (dosed, times_note(formula, size), *starter_notes(printed), *found.warnings)
    return WeighOut(
        formula=formula.name,
        size=size,
        dough_g=dough_g,
        shares=shares(lines),
        lines=printed,
        liquid=advice,
        eu=eu_allergens(contains),
        us=us_allergens(contains),
        allergens=named_alone(contains, here.region),
        notes=replace(found, warnings=tuple(told for told in warnings if told)),
        batch=replace(_batch([*printed, *parts, *rest], size, dough_g, advice, loaf, tin), in_tin=formula.batch.in_tin),
        loaf=loaf,
        tin=tin,
        bowls=bowls(formula, [*printed, *parts, *rest]),
        stages=tuple(stage.name for stage in formula.stages),
        limited=limited,
        unknown=not_known(formula),
    )


def _loaf(loaf_g: float | None, size: Size, *, learned: bool) -> Loaf | None:
    if loaf_g is None or size.piece_g is None:
        return None
    return Loaf(loaf_g, bake_loss_percent(size.piece_g, loaf_g), learned)


def _with_tin(formula: Formula, wish: SizeWish, tin_ml: float | None) -> SizeWish:
    """Turn a tin into the dough that it takes: the one asked for, or the file's own, unless a piece is named."""
    batch = formula.batch
    usual_ml, in_tin = load(batch.tin_kind, formula.style).usual_ml, batch.in_tin or 1
    if in_tin > 1 and batch.tin_ml is not None and batch.piece_g is not None:
        # How much room several pieces in a tin want is in no table: the formula's own tin tells it.
        usual_ml = batch.tin_ml / (batch.piece_g * in_tin)
    if tin_ml is not None and wish.piece_g is None and wish.loaf_g is None:
        return replace(wish, tin_g=tin_ml / usual_ml / in_tin)
    sized = wish.piece_g or wish.dough_g or wish.flour_g or wish.have or wish.loaf_g
    if (
        not sized
        and tin_ml is None
        and batch.tin_ml is not None
        and batch.piece_g is batch.dough_g is batch.flour_g is None
    ):
        return replace(wish, tin_g=batch.tin_ml / usual_ml / in_tin)
    return wish


def _weights(lines: Sequence[Ingredient], size: Size, kitchen: Kitchen) -> tuple[Weight, ...]:
    exact = [(line.kind, size.flour_g * line.percent / 100) for line in lines]
    return round_weights(exact, step_g=kitchen.scale.step_g, fine_step_g=kitchen.scale.fine_step_g)


def _batch(
    lines: Sequence[WeighLine],
    size: Size,
    dough_g: float,
    advice: LiquidAdvice | None,
    loaf: Loaf | None,
    tin: InTin | None,
) -> Batch:
    heated_g = next((line.grams for line in lines if advice is not None and line.name == advice.name), 0.0)
    return Batch(
        lines=tuple(
            BatchLine(
                line.name,
                line.grams,
                line.temperature_c,
                line_note(line),
                line.use,
                line.at,
                line.into,
                line.by_measure,
                line.guess,
            )
            for line in lines
        ),
        dough_g=dough_g,
        flour_g=size.flour_g,
        pieces=size.pieces,
        piece_g=size.piece_g,
        liquid="" if advice is None else advice.name,
        liquid_c=None if advice is None else advice.answer.temp_c,
        ice_g=0.0 if advice is None or advice.answer.ice_g < LEAST_ICE * heated_g else advice.answer.ice_g,
        expected_c=None if advice is None else advice.answer.dough_c,
        rise_k=None if advice is None else advice.rise.k,
        rise_from="" if advice is None else advice.rise.source,
        rise_range_k=None if advice is None else advice.rise.range_k,
        loaf_g=None if loaf is None else loaf.cooled_g,
        tin_ml=None if tin is None else tin.tin_ml,
        tin_kind=None if tin is None else tin.kind,
    )
