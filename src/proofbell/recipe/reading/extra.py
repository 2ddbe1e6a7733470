"""What is told beside an ingredient's amount: "plus a handful for the top", "+ melted butter for brushing"."""

from __future__ import annotations

import re
from typing import Final

from proofbell.frozen import dataclass
from proofbell.recipe.model import Amount
from proofbell.recipe.reading.numbers import DIGITS, amount_at

_LITTLE: Final = (
    r"(?:an?|some|extra|more|another|a (?:good|small|large|generous))? ?(?:few|little|handful|bit|pinch|dusting|drizzle"
    r"|sprinkling|sprinkle|spoonful|knob|dash|scattering)?(?: (?:more|extra))?(?: of)?(?: the)?"
)
_MORE: Final = re.compile(
    r"(?i)\s*[,(;]?\s*(?:(?:\bplus\b|\+|&)\s*"
    r"|\b(?:and|with)\s+(?=(?:an?(?: \w+)? (?:few|handful|little|bit|pinch|dusting|knob)|some|extra|more|another)\b))"
    r"(?P<words>[^();]{0,80}?\b(?P<to>for|to|on)\b[^(),;]*)\)?"
)
_COUNTED: Final = re.compile(rf"(?i)(?:{DIGITS}|one|two|three)\b")
_UNMEASURED: Final = ("handful", "pinch", "knob")


@dataclass(frozen=True, slots=True)
class Extra:
    """``rest`` is the line without it, ``words`` what is said; ``name`` what it is of, empty where that is not said."""

    rest: str
    words: str
    name: str
    amount: Amount | None


def extra_in(said: str) -> Extra | None:
    """What a line has beside its own; None where it has none, or where that is counted: "2 eggs plus 1 to glaze"."""
    found = _MORE.search(said)
    if found is None:
        return None
    words = found["words"].strip()
    own = said[: found.start()].strip(" ,;(")
    first = amount_at(own)
    here = amount_at(words)
    if not own[first[1] if first else 0 :].strip() or (here is None and _COUNTED.match(words)):
        return None
    name = words[: found.start("to") - found.start("words")][here[1] if here else 0 :]
    name = re.sub(rf"(?i)^\s*{_LITTLE}\b", "", name).strip()
    measured = here[0] if here is not None and here[0].unit not in _UNMEASURED else None
    return Extra(f"{own}{said[found.end() :]}", words, re.sub(r"(?i)^(?:of|the|more|extra) ", "", name), measured)
