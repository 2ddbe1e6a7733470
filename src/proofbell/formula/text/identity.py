"""What a file is at a glance: the name of its formula, and the digest of its text. No rule of a formula is asked."""

from __future__ import annotations

import hashlib
from collections.abc import Collection

from proofbell.formula.text.guard import decoded, guard
from proofbell.formula.text.parse import parsed
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Identity:
    """The formula's name, and the digest of the text as `proofbell.formula.read` takes it."""

    name: str
    digest: str


def digest_of(text: str) -> str:
    """The digest of a formula's text with bare line feeds."""
    return hashlib.sha256(text.encode()).hexdigest()


def identity(data: bytes) -> Identity | None:
    """Return what a file is; None where it is no TOML or has no name, as in the middle of being written."""
    text, fault = decoded(data)
    if fault is not None or guard(text) is not None:
        return None
    tree, fault = parsed(text)
    name = tree.get("name")
    return Identity(name.strip(), digest_of(text)) if fault is None and isinstance(name, str) else None


def is_other(digest: str, now: Collection[str]) -> bool:
    """Whether a text with this digest is none of those that its files hold now; a text without a file is no other."""
    return bool(now) and digest not in now
