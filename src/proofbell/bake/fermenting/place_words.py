"""Places, and what they make of a dough's times, in words."""

from __future__ import annotations

from proofbell.bake.fermenting.place import place_c, place_name, unknown_places
from proofbell.bake.intents import Move
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.fermentation import Estimate
from proofbell.formula.dough_stages import first_proof
from proofbell.quantities import Dimension, in_full, read_quantity
from proofbell.words import length, temperature


def where_words(state: BakeState, index: int) -> str:
    """``Room 12 °C``, ``Larder 15 °C``, or the bare temperature of a place without a name."""
    words = named(place_name(state, index), place_c(state, index))
    return f"{words[:1].upper()}{words[1:]}"


def moved_words(before: BakeState, after: BakeState, index: int) -> str:
    """``Room 18 °C → proving box 28 °C``: where a dough was put, and where it stood before."""
    return f"{where_words(before, index)} → {named(place_name(after, index), place_c(after, index))}"


def named(name: str, here_c: float) -> str:
    """``larder 15 °C``; a place without a name is its temperature."""
    return f"{name} {_degrees(here_c)}".strip()


def whose_words(state: BakeState, index: int) -> str:
    """The same within a sentence: ``the room's 12 °C``, or the bare temperature."""
    name = place_name(state, index)
    return f"the {name}'s {_here(state, index)}" if name else _here(state, index)


def _here(state: BakeState, index: int) -> str:
    return _degrees(place_c(state, index))


def _degrees(here_c: float) -> str:
    return temperature(here_c, 0 if here_c == round(here_c) else 1)


TELLS_NOTHING = 5.0
"""A range whose end is so many times its beginning helps nobody: common practice, no source."""


def about_words(seconds: float, low_s: float, high_s: float | None, not_s: float) -> str:
    """``about 1 h 40 min (1 h 30 min to 2 h), not 1 h 20 min``: to five minutes, as no such time is better known.

    ``not_s``: what it was; nothing of that where it comes to the same. A range that tells nothing is not told.
    """
    about, was = rough(seconds), length(not_s)
    ends = [rough(low_s), "or more" if high_s is None else rough(high_s)]
    to = f" ({ends[0]} or more)" if high_s is None else "" if ends[0] == ends[1] else f" ({' to '.join(ends)})"
    if high_s is not None and high_s > TELLS_NOTHING * low_s:
        to = ", a rough guess"
    return f"about {about}{to}" + ("" if about == was else f", not {was}")


def rough(seconds: float) -> str:
    """To five minutes: no time out of the cold is better known."""
    return length(max(300.0, round(seconds / 300) * 300.0))


def places_told(state: BakeState, *, first_told: bool = False) -> tuple[str, ...]:
    """What the places of this kitchen make of a bake's times, and which place it does not know: a sentence each.

    ``first_told``: the first proof's time was told already, by how warm the dough can be made to come out.
    """
    told = first_proof(state.formula) if first_told else None
    said = [
        f"This kitchen has no “{name}”: the room's temperature is used for {' and '.join(stages)} until you say how "
        "warm it is there."
        for name, stages in unknown_places(state.formula, state.kitchen).items()
    ]
    for index, run in enumerate(state.stages):
        by_place = [a.body for a in run.adjustments if a.body.by == "place" and a.body.rate_low_s is not None]
        stage = state.stage(index)
        if by_place and stage is not told:
            one = by_place[-1]
            about = about_words(one.to_s, one.rate_low_s or 0.0, one.rate_high_s, stage.time_s)
            if rough(one.to_s) != length(stage.time_s):
                said.append(f"{where_words(state, index)}: {stage.name} {about}.")
    return tuple(said)


def read_place(text: str, ago_s: float = 0.0) -> Move:
    """``fridge``, ``proving box``, ``12 °C``; a bare number is in the kitchen's degrees.

    Raises QuantityError: it begins like a temperature and is none.
    """
    plain = " ".join(text.split())
    if plain[:1].isalpha() or not plain:
        return Move(plain, ago_s=ago_s)
    return Move(place_c=read_quantity(in_full(plain, Dimension.TEMPERATURE), Dimension.TEMPERATURE), ago_s=ago_s)


def shown_words(state: BakeState, index: int, estimate: Estimate) -> str:
    """``; it goes as in 18 °C``: how warm the readings show its place to be, where that is not what is said of it."""
    shown_k = estimate.path.shown_k
    return "" if abs(shown_k) < 1 else f"; it goes as in {temperature(place_c(state, index) + shown_k, 0)}"
