"""The ways to another size: as it was asked for, or the nearest that can be, each with what it takes."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.intents import Resize
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.in_bowl import dough_is
from proofbell.bake.weigh.resizing import HAIR, CannotBe, Resizing, alike, least_flour_g, resized, sized_as
from proofbell.bake.weigh.weigh_out import lines_weighed
from proofbell.dough.weights import SizeWish, flour_for_have_g, shares
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Way:
    """What can be said, and what it makes of the bake."""

    intent: Resize
    found: Resizing


@dataclass(frozen=True, slots=True)
class Ways:
    """``cannot``: why the size that was asked for cannot be; then ``all`` holds others, if there are any."""

    all: tuple[Way, ...]
    cannot: CannotBe | None = None


def ways(state: BakeState, asked: Resize) -> Ways:
    """Return the ways to a size: the one that was asked for first, where it can be.

    Raises Failure: sizes that contradict each other or make no batch.
    """
    found = resized(state, asked.wish, same_dough=asked.same_dough)
    if isinstance(found, Resizing):
        other = _same_dough(state, asked.wish) if least_flour_g(state) > 0 and not found.same_dough else None
        return Ways((Way(asked, found), *_those(state, other, but=(found,))))
    if found.why == "in the bowl":
        nearest = _of_flour(state, asked.wish, least_flour_g(state), at_least=True)
    elif found.why == "preferment":
        nearest = _of_flour(state, asked.wish, _most_flour_g(state, found), at_least=False)
    else:
        nearest = None
    other = _of_what_is_there(state, asked.wish) if found.why in ("in the bowl", "preferment") else None
    return Ways(_those(state, nearest, other), found)


def _those(state: BakeState, *wanted: Resize | None, but: tuple[Resizing, ...] = ()) -> tuple[Way, ...]:
    found: list[Way] = []
    for each in wanted:
        one = None if each is None else resized(state, each.wish, same_dough=each.same_dough)
        known = [*but, *(way.found for way in found)]
        if each is None or not isinstance(one, Resizing) or any(alike(one.batch, it.batch) for it in known):
            continue
        found.append(Way(each, one))
    return tuple(found)


def _same_dough(state: BakeState, wish: SizeWish) -> Resize | None:
    """The same dough in as many pieces, or in pieces of that weight; None where neither was asked for."""
    if dough_is(state) == "divided" or not (wish.pieces or wish.piece_g):
        return None
    return Resize(SizeWish(pieces=wish.pieces) if wish.pieces else SizeWish(piece_g=wish.piece_g), same_dough=True)


def _of_what_is_there(state: BakeState, wish: SizeWish) -> Resize | None:
    """The same in the smallest dough that what is in the bowl makes; it is smaller while more is still to be added."""
    same, least_g = _same_dough(state, wish), least_flour_g(state)
    if same is None or not 0 < least_g < state.batch.flour_g * (1 - HAIR):
        return same
    return Resize(replace(same.wish, flour_g=least_g))


def _of_flour(state: BakeState, wish: SizeWish, flour_g: float, *, at_least: bool) -> Resize:
    """The size nearest to so much flour: whole pieces where there are any, no fewer or no more than it makes."""
    usual = sized_as(state)
    piece_g = wish.piece_g or usual.piece_g
    if usual.pieces is None or not piece_g:
        return Resize(SizeWish(flour_g=flour_g))
    dough_g = flour_g * shares(lines_weighed(state.formula, state.batch)).total / 100
    number = dough_g * (1 - usual.loss_percent / 100) / piece_g
    whole = math.ceil(number - HAIR * number) if at_least else math.floor(number + HAIR * number)
    return Resize(SizeWish(pieces=max(1, whole), piece_g=piece_g))


def _most_flour_g(state: BakeState, found: CannotBe) -> float:
    lines = lines_weighed(state.formula, state.batch)
    percent = next((line.percent for line in lines if line.name == found.preferment), 0.0)
    return flour_for_have_g(found.there_g, percent) if percent > 0 else 0.0
