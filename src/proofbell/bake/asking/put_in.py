"""What is put into the dough in a stage, and onto pieces and tins, as the bench says it."""

from __future__ import annotations

from collections.abc import Iterable

from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import BatchLine
from proofbell.bake.weigh.in_bowl import dough_is
from proofbell.bake.weigh.ways_words import still_to_add
from proofbell.formula.model import Use
from proofbell.words import grams, sentence, temperature, weight


def goes_in_words(state: BakeState, index: int) -> str:
    """``Milk into the bowl at 27.4 °C.`` where dough or preferment is mixed; ``Into the dough: salt 36 g.`` later."""
    batch, stage = state.batch, state.stage(index)
    if stage.made_for and stage.kind == "hands" and index == state.formula.strand(index).start:
        poured = (line for line in batch.lines if line.into == stage.made_for and line.temperature_c is not None)
        return " ".join(_into_the_bowl(line.name, line.temperature_c) for line in poured)
    if index != state.formula.dough_begins:
        added = _weights(state, batch.wanted_at(index, "dough"))
        return sentence(f"into the dough: {added}") if added else ""
    if stage.kind != "hands" or batch.liquid_c is None:
        return ""
    ice = f", {grams(batch.ice_g)} of it as ice" if batch.ice_g else ""
    return _into_the_bowl(batch.liquid, batch.liquid_c, ice)


def _into_the_bowl(name: str, temp_c: float | None, ice: str = "") -> str:
    return "" if temp_c is None else sentence(f"{name} into the bowl at {temperature(temp_c)}{ice}")


def added_now(state: BakeState, index: int | None) -> str:
    """What another size wants added to the bowl, while it can be."""
    return "" if index is None or dough_is(state) != "open" else still_to_add(state)


def to_put_in(state: BakeState, index: int | None) -> str:
    """What another size wants added to the bowl, while it can be, and what is wanted outside it now and next."""
    added = added_now(state, index)
    return " ".join(words for words in (f"Add to the bowl: {added}." if added else "", _wanted(state, index)) if words)


def _wanted(state: BakeState, index: int | None) -> str:
    """What is wanted now and next: ``Before Bake, on the pieces: egg 36 g.``, ``For Add the salt: salt 36 g.``.

    Who has the dough in hand is told of no more for it than goes in now.
    """
    following = 0 if index is None else state.formula.followed_by(index)
    # What is brushed on before the bake is on once the bread is loaded; what is brushed on after it is named there.
    told = [] if index is None or state.stage(index).kind == "bake" else _outside_words(state, index)
    if following is not None:
        added = "" if index is None else _weights(state, state.batch.wanted_at(following, "dough"))
        if added and index is not None and state.stage(index).kind != "hands":
            told.append(f"for {state.stage(following).name}: {added}")
        told += [f"before {state.stage(following).name}, {words}" for words in _outside_words(state, following)]
    return " ".join(sentence(words) for words in told)


def _outside_words(state: BakeState, index: int) -> list[str]:
    where: list[tuple[Use, str]] = [("tin", "on tin, tray or basket"), ("finish", "on the pieces")]
    found = ((words, _weights(state, state.batch.wanted_at(index, use))) for use, words in where)
    return [f"{words}: {weights}" for words, weights in found if weights]


def _weights(state: BakeState, lines: Iterable[BatchLine]) -> str:
    step_g = state.kitchen.scale.step_g
    told = ((line, weight(line.grams, min(step_g, 1.0))) for line in lines)
    return ", ".join(f"{line.name}{' about' if line.guess else ''} {words}" for line, words in told)
