"""Which readings a baker is offered at this moment."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.asking.judging import judged_soon
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.core import core_in, has_core, to_be_read_again
from proofbell.bake.state import BakeState
from proofbell.formula.model import ReadingKind
from proofbell.formula.readings import LIMITS

USUAL: ReadingKind = "dough temperature"
"""What a bare number is of, but for bread in the oven: there it is a core."""


def offered(state: BakeState, due: ReadingKind | None) -> tuple[ReadingKind, ...]:
    """The readings that make sense in the stage in hand: what is due, then what its checks ask for, then the rest."""
    index = state.current
    kind = "hands" if index is None else state.stage(index).kind
    first = [] if due is None else [due]
    asked = [] if index is None else [check.read for check in state.stage(index).checks]
    rest = [
        what
        for what, limits in LIMITS.items()
        if kind in limits.offered and (what != "core temperature" or index is None or has_core(state, index))
    ]
    return tuple(dict.fromkeys([*first, *asked, *rest]))


def usually_read(state: BakeState) -> ReadingKind:
    """What a bare number is of in the stage in hand."""
    index = state.current
    return "core temperature" if index is not None and state.stage(index).kind == "bake" else USUAL


def read_for(state: BakeState, prompt: Prompt) -> ReadingKind | None:
    """The reading that answers a prompt; None where none does."""
    return prompt.reads if prompt.check is None else state.stage(prompt.stage).checks[prompt.check].read


def read_next(state: BakeState, wants: Sequence[Prompt], now_s: float) -> ReadingKind | None:
    """What is read first: what the screen asks for, in its order; the rise about a judging where it asks for nothing.

    ``wants``: what is due, as the screen has it.
    """
    asked = next((what for prompt in wants if (what := read_for(state, prompt)) is not None), None)
    return asked or ("rise" if judged_soon(state, now_s) else None)


def is_read_first(state: BakeState, prompt: Prompt, now_s: float) -> bool:
    """Whether a prompt is answered by a reading before anything else: a check, a judging, a core that is due.

    A core that was read low is read again once the minutes that it asked for are over.
    """
    if prompt.kind == "check" or read_for(state, prompt) is not None:
        return True
    index = state.current
    if not prompt.over or index is None or core_in(state, index) is None or state.stage(index).kind != "bake":
        return False
    unread = not state.readings_in(index, "core temperature")
    return unread or to_be_read_again(state, index, now_s)
