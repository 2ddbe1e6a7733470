"""Another size in words: what it is, what is to be added, why it cannot be and what can."""

from __future__ import annotations

from collections.abc import Iterable

from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.bake.weigh.in_bowl import all_in, in_bowl_g, waits
from proofbell.bake.weigh.ways import Way, Ways
from proofbell.dough.weights import SizeWish
from proofbell.words import grams, pieces, weight


def batch_words(batch: Batch) -> str:
    """``12 × 75 g``, or the dough: ``900 g dough``."""
    return pieces(batch.pieces, batch.piece_g) or f"{grams(batch.dough_g)} dough"


def wish_words(wish: SizeWish) -> str:
    """What a size was said by, where that was not its pieces: ``700 g of flour``; or nothing."""
    if wish.have is not None:
        return f"{weight(wish.have[1])} of {wish.have[0]}"
    told = [(wish.dough_g, "dough"), (wish.flour_g, "flour")]
    return next((f"{weight(value_g)} of {name}" for value_g, name in told if value_g is not None), "")


def listed(named: Iterable[tuple[str, float]]) -> str:
    """``flour 90 g, water 54 g``."""
    return ", ".join(f"{name} {weight(value_g)}" for name, value_g in named)


def way_words(way: Way) -> str:
    """A way in a few words: ``16 × 75 g``, ``16 × 56 g, the same dough``."""
    return batch_words(way.found.batch) + (", the same dough" if way.found.same_dough else "")


DIVIDED = "The dough is in pieces or in the oven: its size stays."


def cannot_words(state: BakeState, ways: Ways) -> tuple[str, str]:
    """Why a size cannot be, and what can; the second part may be empty."""
    found, others = ways.cannot, "; or ".join(way_words(way) for way in ways.all)
    others = f"What can be: {others}." if others else ""
    if found is None:
        return "", ""
    match found.why:
        case "divided":
            return DIVIDED, ""
        case "fermenting":
            there = grams(state.batch.dough_g)
            return (
                f"The first proof has begun: nothing more goes into the dough, and {there} of it are there.",
                "Say other pieces of it: how many, or the weight of one.",
            )
        case "in the bowl":
            as_it_is = "" if others else f"The smallest size without that is {batch_words(state.batch)}, as it is."
            return f"Cannot be taken out of the bowl: {listed(found.over)}.", others or as_it_is
        case "preferment":
            there = grams(found.there_g)
            return f"There are only {there} of {found.preferment}, and it cannot be made more now.", others
        case "the same":
            return "It has that size already.", ""
        case "unknown":
            return "The size of this batch cannot be worked out again.", ""


def still_to_add(state: BakeState) -> str:
    """What the size that was said last wants added to what is in a bowl: ``flour 180 g``; or nothing."""
    if state.size_said is None:
        return ""
    there = in_bowl_g(state)
    # What waits in a bowl of its own is told as a whole, at the stage at which it goes in.
    open_ = (n for n in range(len(there)) if not all_in(state, n) and not waits(state, n))
    partly = (n for n in open_ if 0 < there[n] < state.batch.lines[n].grams)
    return listed_lines((state.batch.lines[n], there[n]) for n in partly if state.batch.lines[n].use == "dough")


def listed_lines(lines: Iterable[tuple[BatchLine, float]]) -> str:
    """What lines lack of which so much (g) is there: ``flour 180 g, water for the poolish 54 g``."""
    return listed(
        (f"{line.name} for the {line.into}" if line.into else line.name, round(line.grams - there_g, 6))
        for line, there_g in lines
    )
