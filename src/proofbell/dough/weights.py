"""Baker's percentages: what a batch weighs, and how big it gets from what is wanted or what there is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.dough.done import dough_for_loaf_g
from proofbell.errors import Failure
from proofbell.formula.foods.water import all_water_percent
from proofbell.formula.model import BatchSize, Ingredient, hydration_percent
from proofbell.frozen import dataclass

MOST_G = 1_000_000.0
"""A batch of more than a tonne is a slip of the finger."""

LEAST_PIECE_G = 1.0
"""So is a piece of less than a gram."""


@dataclass(frozen=True, slots=True)
class Shares:
    """What the dough is made of, in percent of all flour (the preferments' flour included).

    ``hydration`` counts what is poured: water, milk and the preferments' water. ``water`` counts the water in every
    ingredient but the flour. ``sugar`` and ``fat`` count the ingredients of those kinds, whole.
    """

    total: float
    hydration: float
    water: float
    prefermented: float
    sugar: float
    fat: float


def shares(ingredients: Sequence[Ingredient]) -> Shares:
    def of(*kinds: str) -> float:
        return sum(line.percent for line in ingredients if line.kind in kinds)

    return Shares(
        total=sum(line.percent for line in ingredients),
        hydration=hydration_percent(ingredients),
        water=all_water_percent(ingredients),
        prefermented=sum(line.flour_and_water_percent[0] for line in ingredients),
        sugar=of("sugar"),
        fat=of("fat"),
    )


def before_loss_g(wanted_g: float, loss_percent: float) -> float:
    """Return what must go in, so that ``wanted_g`` is left after a loss of ``loss_percent`` of what went in."""
    return wanted_g / (1 - loss_percent / 100)


def flour_for_dough_g(dough_g: float, total_percent: float) -> float:
    """Return all the flour (g) in ``dough_g`` of dough."""
    return dough_g * 100 / total_percent


def flour_for_have_g(have_g: float, percent: float) -> float:
    """Return all the flour (g) of a batch that uses up ``have_g`` of an ingredient of ``percent``."""
    return have_g * 100 / percent


@dataclass(frozen=True, slots=True)
class SizeWish:
    """How big the batch is to be; what is not said comes from the formula.

    ``have`` is (ingredient's name, grams there are). ``tin_g`` is the dough that one tin takes, one piece a tin.
    ``loaf_g`` is what one loaf weighs once it is cool, one piece a loaf.
    """

    pieces: int | None = None
    piece_g: float | None = None
    dough_g: float | None = None
    flour_g: float | None = None
    have: tuple[str, float] | None = None
    tin_g: float | None = None
    loaf_g: float | None = None


@dataclass(frozen=True, slots=True)
class Size:
    """A batch's size (g): ``dough_g`` in the bowl; ``pieces`` × ``piece_g`` at dividing, after the loss."""

    flour_g: float
    dough_g: float
    pieces: int | None = None
    piece_g: float | None = None


def size_batch(
    ingredients: Sequence[Ingredient], batch: BatchSize, wish: SizeWish, *, bake_loss_percent: float | None = None
) -> Size:
    """Return how big the batch is.

    ``bake_loss_percent`` is what loaves are known to lose here from dough to cooled loaf; without it the published
    figure holds, see :func:`dough_for_loaf_g`.

    Pieces (and tins) are weighed at dividing, so the make-up loss comes on top. Dough, flour and what there is of an
    ingredient go into the bowl, and the loss comes off the pieces: as many whole pieces as come nearest to the
    formula's piece weight. Raises Failure: two wishes that contradict each other, an unknown ingredient, nothing to go
    by, or a size that is none.
    """
    _one_wish(wish)
    if wish.loaf_g is not None:
        piece_g = dough_for_loaf_g(wish.loaf_g, bake_loss_percent)
        wish = replace(wish, pieces=wish.pieces or batch.pieces or 1, piece_g=piece_g)
    total = shares(ingredients).total
    dough_g = _bowl_g(ingredients, batch, wish, total)
    size = _in_pieces(dough_g, batch, wish, total)
    if size.dough_g > MOST_G:
        each_g = size.dough_g / size.pieces if size.pieces else 0.0
        most = f"The greatest number of pieces of this weight is {int(MOST_G / each_g)}." if each_g <= MOST_G else ""
        raise Failure(f"This batch is more than {MOST_G / 1000:.0f} kg of dough.", most if each_g else "Say less.")
    if not 0 < size.dough_g <= MOST_G:
        raise Failure(
            "This batch has no sensible size.", "Give a number of pieces and a weight that are more than nothing."
        )
    return size


def _one_wish(wish: SizeWish) -> None:
    if wish.pieces is not None and wish.pieces < 1:
        raise Failure(f"{wish.pieces} pieces cannot be baked.", "Give a number of pieces, 1 or more.")
    if wish.piece_g is not None and not LEAST_PIECE_G <= wish.piece_g <= MOST_G:
        raise Failure("No piece weighs that.", f"Give from {LEAST_PIECE_G:g} g to {MOST_G / 1000:g} kg for one.")
    given = [
        name
        for name, value in (
            ("the dough", wish.dough_g),
            ("the flour", wish.flour_g),
            ("what there is to use up", wish.have),
            ("a tin", wish.tin_g),
            ("the cooled loaf", wish.loaf_g),
        )
        if value is not None
    ]
    if len(given) > 1:
        raise Failure(f"The size is given twice: by {given[0]} and by {given[1]}.", "Keep one of the two.")
    by_piece = wish.tin_g is not None or wish.loaf_g is not None or wish.pieces is not None
    if given and wish.piece_g is not None and by_piece:
        raise Failure(
            f"The size is given twice: by pieces of a weight and by {given[0]}.",
            "Keep one; the number of pieces may stand with either.",
        )
    weights = (wish.piece_g, wish.dough_g, wish.flour_g, wish.tin_g, wish.loaf_g, wish.have and wish.have[1])
    for value in weights:
        if value is not None and not value > 0:
            raise Failure("A weight of nothing cannot be weighed.", 'Give a weight, such as "900 g".')


def _bowl_g(ingredients: Sequence[Ingredient], batch: BatchSize, wish: SizeWish, total: float) -> float:
    """Return the dough that goes into the bowl."""
    if wish.dough_g is not None:
        return wish.dough_g
    if wish.flour_g is not None:
        return wish.flour_g * total / 100
    if wish.have is not None:
        line = _named(ingredients, wish.have[0])
        return flour_for_have_g(wish.have[1], line.percent) * total / 100
    if wish.tin_g is not None:
        return before_loss_g((wish.pieces or batch.pieces or 1) * wish.tin_g, batch.loss_percent)
    pieces, piece_g = wish.pieces or batch.pieces, wish.piece_g or batch.piece_g
    if pieces is not None and piece_g is not None:
        return before_loss_g(pieces * piece_g, batch.loss_percent)
    if batch.dough_g is not None:
        return batch.dough_g
    if batch.flour_g is not None:
        return batch.flour_g * total / 100
    raise Failure("Nothing says how big the batch is.", 'Give pieces and the weight of one, or "dough", or "flour".')


def _in_pieces(dough_g: float, batch: BatchSize, wish: SizeWish, total: float) -> Size:
    left_g = dough_g * (1 - batch.loss_percent / 100)
    flour_g = flour_for_dough_g(dough_g, total)
    pieces, piece_g = wish.pieces, wish.piece_g or wish.tin_g
    if pieces is None and piece_g is None:
        pieces, piece_g = (batch.pieces, batch.piece_g) if batch.piece_g is None else (None, batch.piece_g)
    if pieces is None and piece_g is not None:
        pieces = max(1, round(left_g / piece_g))
    if pieces is None:
        return Size(flour_g, dough_g)
    return Size(flour_g, dough_g, pieces, left_g / pieces)


def _named(ingredients: Sequence[Ingredient], name: str) -> Ingredient:
    wanted = name.strip().casefold()
    exact = [line for line in ingredients if line.name.casefold() == wanted]
    part = exact or [line for line in ingredients if wanted and wanted in line.name.casefold()]
    if len(part) == 1 and part[0].percent > 0:
        return part[0]
    names = ", ".join(line.name for line in (part or ingredients))
    if len(part) > 1:
        raise Failure(f'"{name}" may be any of: {names}.', "Give the whole name.")
    raise Failure(f'The formula has no "{name}".', f"It has: {names}.")
