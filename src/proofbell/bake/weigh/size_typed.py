"""Another size as a person types it: ``16``, ``16 x 80 g``, ``80 g each``, ``1.8 kg dough``, ``700 g flour``."""

from __future__ import annotations

import re

from proofbell.bake.intents import Resize
from proofbell.dough.weights import SizeWish
from proofbell.quantities import Dimension, QuantityError, read_named_weight, read_typed
from proofbell.visible import visible

HOW = "Write 16, 16 x 80 g, 80 g each, 1.8 kg dough, or what there is, such as 700 g flour."

_SAME = re.compile(r"(?i)[\s,;:]*\b(?:of )?(?:the )?same dough\b[\s,;:]*")
_PIECES = re.compile(r"(?i)([0-9]{1,4})(?:\s*(?:pieces?|pcs?))?")
_BOTH = re.compile(r"(?i)([0-9]{1,4})\s*(?:pieces?\s*)?(?:x|×|\*|\bof\b|\bat\b)\s*(.*[^\s])")
_EACH = re.compile(r"(?i)(?:each|pieces? of|pieces?)\s+(.+)|(.+?)\s*(?:each|apiece|(?:a|per|the) piece)")


def read_size(text: str) -> Resize:
    """Read a size. ``same dough`` beside it: nothing is added; ``flour`` alone is all flour, preferments' included.

    Raises QuantityError: it is none.
    """
    plain = " ".join(text.split())
    same = _SAME.search(plain) is not None
    plain = _SAME.sub(" ", plain).strip().removeprefix("only ")
    return Resize(_wish(plain), same_dough=same)


def _wish(plain: str) -> SizeWish:
    if found := _PIECES.fullmatch(plain):
        return SizeWish(pieces=int(found[1]))
    if found := _BOTH.fullmatch(plain):
        return SizeWish(pieces=int(found[1]), piece_g=_weight(re.sub(r"\s*each$", "", found[2])))
    if found := _EACH.fullmatch(plain):
        return SizeWish(piece_g=_weight(found[1] or found[2]))
    name, weight_g = _named(plain)
    match name.casefold():
        case "dough" | "total" | "in all":
            return SizeWish(dough_g=weight_g)
        case "flour" | "all flour":
            return SizeWish(flour_g=weight_g)
        case _:
            return SizeWish(have=(name, weight_g))


def _named(plain: str) -> tuple[str, float]:
    """A name and a weight, whichever comes first."""
    words = plain.split()
    if not any(letter.isdigit() for letter in plain):
        raise QuantityError(f'"{visible(plain, most=40)}" is no size.', HOW)
    if not plain[:1].isdigit():
        return read_named_weight(plain)
    for cut in range(len(words), 0, -1):
        name = " ".join(words[cut:]).removeprefix("of ")
        try:
            weight_g = _weight(" ".join(words[:cut]))
        except QuantityError:
            continue
        if len(name) > 1:
            return name, weight_g
        break
    raise QuantityError(f'"{visible(plain, most=40)}" does not name an ingredient.', HOW)


def _weight(text: str) -> float:
    return read_typed(text, Dimension.MASS)
