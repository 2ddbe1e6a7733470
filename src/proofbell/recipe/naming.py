"""What stages are called by where they stand, and those that nobody wrote but that must be."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Final

from proofbell.formula.model import Style
from proofbell.frozen import dataclass
from proofbell.recipe.model import StageDraft

MINUTE_S: Final = 60.0
HOUR_S: Final = 3600.0
_SHORTEST_PROOF_S: Final = 15 * MINUTE_S

GUESS_MIN: Final = {
    "mix": 6,
    "knead": 10,
    "add": 5,
    "fold": 3,
    "knock": 3,
    "wake": 5,
    "first": 90,
    "final": 60,
    "round": 8,
}
"""Minutes where a recipe gives none: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Making:
    """What the process depends on: style, how many pieces, the oven's heat where a bake does not give its own."""

    style: Style
    pieces: int | None
    oven_c: float | None


def cooling_min(making: Making) -> int:
    """Rolls 30 min, enriched loaves 60, other loaves 90: common practice, no source."""
    return 30 if (making.pieces or 1) >= 6 else 60 if making.style == "enriched" else 90


def proofs(drafts: list[StageDraft]) -> list[StageDraft]:
    """A rest that is all the rise there is is a proof; a short stand between dividing and shaping is a rest."""
    shaped = [i for i, draft in enumerate(drafts) if draft.kind == "hands" and is_shaping(draft)]
    first, last = (shaped[0], shaped[-1]) if shaped else (len(drafts), -1)
    bake = next((i for i, draft in enumerate(drafts) if draft.kind == "bake"), len(drafts))
    found = [
        replace(draft, kind="rest", rise_percent=None, place_c=None)
        if draft.kind == "proof" and first < i < last and draft.seconds <= 30 * MINUTE_S
        else draft
        for i, draft in enumerate(drafts)
    ]
    for begin, end in ((0, min(first, bake)), (last + 1 if shaped else bake, bake)):
        span = found[begin:end]
        rests = [begin + i for i, draft in enumerate(span) if draft.kind == "rest"]
        if rests and not any(
            draft.kind == "proof" or (draft.kind == "chill" and draft.seconds >= 2 * HOUR_S) for draft in span
        ):
            longest = max(rests, key=lambda i: found[i].seconds)
            if found[longest].seconds >= _SHORTEST_PROOF_S:
                found[longest] = replace(found[longest], kind="proof")
    return found


def is_shaping(draft: StageDraft) -> bool:
    """Whether the dough is divided, shaped, or put where it has its final proof."""
    return draft.role in ("divide", "shape")


def named(drafts: list[StageDraft]) -> list[StageDraft]:
    """First and final proof, bench rest, and how long a proof without a time may be."""
    bake = next((i for i, draft in enumerate(drafts) if draft.kind == "bake"), len(drafts))
    shaped = [i for i, draft in enumerate(drafts[:bake]) if is_shaping(draft)]
    first, last = (shaped[0], shaped[-1]) if shaped else (bake, bake)
    proofs = [i for i, draft in enumerate(drafts[:bake]) if draft.kind == "proof" and draft.role != "second half"]
    begins = next((i for i in proofs if i < first), None)
    names: dict[int, str] = {}
    for i in proofs:
        early = i < first
        order = [each for each in proofs if (each < first) == early]
        if early:
            names[i] = (
                "First proof" if order.index(i) == 0 else "Second proof" if order.index(i) == 1 else "Third proof"
            )
        else:
            names[i] = "Final proof" if i == order[-1] else "Proof"
    named: list[StageDraft] = []
    for i, draft in enumerate(drafts):
        name = draft.name or names.get(i, "")
        if draft.role == "second half":
            name = (
                f"{next((each.name for each in reversed(named) if each.kind == 'proof'), 'First proof')}, second half"
            )
        elif draft.kind == "rest" and draft.role != "soak":
            name = "Bench rest" if first < i <= last else "Rest"
        elif draft.kind == "chill":
            name = "Overnight in the cold" if draft.seconds == 0 or draft.seconds >= 6 * HOUR_S else "Chill"
        if draft.seconds == 0:
            minutes = (
                12 * 60
                if draft.kind == "chill"
                else 20
                if draft.kind == "rest"
                else GUESS_MIN["first" if i < first else "final"]
            )
            draft = replace(draft, seconds=minutes * MINUTE_S, guess="no time written")  # noqa: PLW2901
        role = "first proof" if i == begins else draft.role
        named.append(replace(draft, name=name or "Proof", role=role))
    return named


def completed(drafts: list[StageDraft], making: Making) -> list[StageDraft]:
    """The mixing before a kneading, and the cooling after a bake, where nobody wrote them."""
    if not any(draft.role == "mix" for draft in drafts):
        at = 1 if drafts and drafts[0].role == "wake" else 0
        drafts.insert(at, StageDraft("Mix", "hands", GUESS_MIN["mix"] * MINUTE_S, guess="not written", role="mix"))
    baked = next((i for i, draft in enumerate(drafts) if draft.kind == "bake"), None)
    if baked is not None and not any(draft.kind == "cool" for draft in drafts[baked:]):
        minutes = cooling_min(making)
        drafts.append(StageDraft("Cool", "cool", minutes * MINUTE_S, None, "", "not written"))
    return drafts


def unique(drafts: list[StageDraft]) -> list[StageDraft]:
    """No two stages of one name: the second of a name is told by a number that no other stage has."""
    taken = {draft.name for draft in drafts}
    found: list[StageDraft] = []
    for draft in drafts:
        name = draft.name
        if any(name == each.name for each in found):
            name = next(named for n in itertools.count(2) if (named := f"{draft.name} {n}") not in taken)
            taken.add(name)
        found.append(replace(draft, name=name))
    return found
