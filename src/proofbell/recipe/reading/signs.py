"""Signs in a sentence: a clause "until ..." says when it is enough and names nothing that goes in."""

from __future__ import annotations

import re
from typing import Final

_DO: Final = (
    r"(?:then|now|add|knead|work|mix|stir|fold|beat|pinch|squeeze|sprinkle|scatter|incorporate|rest|leave|let|cover|turn"
    r"|tip|put|shape|divide|pour|set|prove|bake)"
)
_NEXT: Final = rf"(?:,\s*(?:and\s+)?|\s+and\s+)(?:{_DO}|adding|working|kneading|mixing)\b|,?\s+(?:and\s+)?then\b"
_SIGN: Final = re.compile(rf"(?i)\b(?:until|till|so that|as soon as|(?<=, )once|^once|when)\b[^.;]*?(?=$|[.;]|{_NEXT})")


def without_signs(text: str) -> str:
    """The text without what is said of when a step is over; the next thing to do ends such a clause."""
    return _SIGN.sub(" ", text)
