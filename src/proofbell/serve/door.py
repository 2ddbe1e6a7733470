"""Who is let in: a code that is good once, sessions that end when unused, and a door that closes. Time is handed in."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass, field
from enum import Enum

DIGITS = 12
"""Of a code. With ten tries, one in a hundred thousand million is guessed."""

MOST_WRONG = 10
"""So many wrong codes, from wherever they come, and the door stays closed."""

IDLE_US = 12 * 3600 * 1_000_000
"""A session ends that nobody has used for so long: a night's rest of a dough, and some more."""


class Refused(Enum):
    """Why a code lets nobody in."""

    WRONG = "wrong"
    CLOSED = "closed"


def new_code() -> str:
    """A code at random, digits only: a phone types them most easily."""
    return "".join(secrets.choice("0123456789") for _ in range(DIGITS))


@dataclass
class Door:
    """Keeps no token: only its digest, so that nothing can be learned from how long a comparison takes."""

    code: str = field(default_factory=new_code)
    wrong: int = 0
    _used_us: dict[bytes, int] = field(default_factory=dict)

    @property
    def is_closed(self) -> bool:
        """Whether no code is taken any more."""
        return self.wrong >= MOST_WRONG

    def knock(self, said: str, now_us: int) -> str | Refused:
        """A token for the one who says the code, which is another from then on."""
        if self.is_closed:
            return Refused.CLOSED
        digits = "".join(each for each in said if each not in " -\t\r\n")
        if not hmac.compare_digest(digits.encode("utf-8", "replace"), self.code.encode("ascii")):
            self.wrong += 1
            return Refused.WRONG if self.wrong < MOST_WRONG else Refused.CLOSED
        self.code = new_code()
        token = secrets.token_urlsafe(32)
        self._used_us[_digest(token)] = now_us
        return token

    def knows(self, token: str, now_us: int) -> bool:
        """Whether that is a session which has not ended."""
        used_us = self._used_us.get(_digest(token))
        return used_us is not None and now_us - used_us < IDLE_US

    def used(self, token: str, now_us: int) -> None:
        """Somebody used that session just now."""
        if self.knows(token, now_us):
            self._used_us[_digest(token)] = now_us

    def forget_unused(self, now_us: int) -> None:
        """Let go of the sessions that have ended."""
        self._used_us = {digest: used for digest, used in self._used_us.items() if now_us - used < IDLE_US}


def _digest(token: str) -> bytes:
    return hashlib.sha256(token.encode("utf-8", "replace")).digest()
