"""What stands wrong, for as long as it does. Pure; the screens show it, each trouble once, the gravest first."""

from __future__ import annotations

from proofbell.frozen import dataclass
from proofbell.words import sentence

UNSAVED, JOURNAL, CLOCK, UNREAD, ALARM, FAULT, ABOUT = range(7)
"""How grave: what is not saved goes first, what should merely be known last."""

AWAY = "put away"
"""What can be done about a trouble that stands until it was read."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing that is wrong: what it is, and how it is put right. ``until_seen``: it has no end of its own.

    ``deed``: what can be done about it where all troubles stand, in a word or two; nothing where it is only to be read.
    """

    grade: int
    words: str
    remedy: str = ""
    until_seen: bool = False
    deed: str = ""

    @property
    def text(self) -> str:
        """Both as sentences."""
        return " ".join(sentence(part) for part in (self.words, self.remedy) if part)

    @property
    def sign(self) -> str:
        """What stands before it: what should merely be known is no failure."""
        return "!" if self.grade == ABOUT else "✗"


class Troubles:
    """All that is wrong, each under a key of its own."""

    def __init__(self) -> None:
        self._standing: dict[str, Trouble] = {}
        self._told: dict[str, str] = {}

    def tell(
        self, key: str, grade: int, words: str, remedy: str = "", *, until_seen: bool = False, deed: str = ""
    ) -> None:
        """Something is wrong; told again under the same key it takes the place of what stood there."""
        self._standing[key] = Trouble(grade, words, remedy, until_seen, deed or (AWAY if until_seen else ""))

    def tell_once(self, key: str, grade: int, words: str) -> None:
        """What is to be read once, however long it holds; other words under the same key are told again."""
        if words == self._told.get(key, ""):
            return
        self._told[key] = words
        if words:
            self.tell(key, grade, words, until_seen=True)
        else:
            self.over(key)

    def has(self, key: str) -> bool:
        """Whether that stands wrong."""
        return key in self._standing

    def over(self, key: str) -> None:
        """It is right again."""
        self._standing.pop(key, None)

    def over_all(self, beginning: str) -> None:
        """All whose key begins so are right again."""
        for key in [key for key in self._standing if key.startswith(beginning)]:
            del self._standing[key]

    def seen(self) -> None:
        """Somebody has read all of it: what has no end of its own ends."""
        self._standing = {key: trouble for key, trouble in self._standing.items() if not trouble.until_seen}

    @property
    def all(self) -> tuple[Trouble, ...]:
        """The gravest first; of equal ones the older."""
        return tuple(sorted(self._standing.values(), key=lambda trouble: trouble.grade))
