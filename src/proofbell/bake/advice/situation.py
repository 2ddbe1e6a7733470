"""One row of the table, and what it says once it is seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, Literal, TypeVar

from proofbell.bake.advice.scene import Scene
from proofbell.frozen import dataclass
from proofbell.words import as_counted, sentence

Figures = TypeVar("Figures")

Told = Literal["by the prompt", "by the verdict", "by the reason", "by the length"]


@dataclass(frozen=True, slots=True)
class Situation(Generic[Figures]):
    """A situation of the bench.

    ``sees`` returns its figures, or None where it is not so. ``seen`` and ``do`` make words of them: what is, and what
    to do. ``why`` is one sentence, its figures marked for `words.as_counted`, ``source`` who says so. ``act``:
    something is to be done at once, so that it is worth reading from afar. ``told`` says where the same is told
    already: by the prompt that is due at the end of the stage, by the verdict on a reading, by the reason of a change
    of time, in whose place it then stands, or by what is said of the stage's length.
    ``after_the_end``: also looked for once the bake is closed. ``beside``: whether it may be eaten, which is told
    calmly beside what is to be done with the dough, and never in its place. ``forbids`` says of its figures whether
    that is to be done only where the rules of the place allow it. ``once``: what a log tells it of no more than once,
    however its figures move. ``looks``: whether the dough is only looked at, which no rule forbids. ``loads``: whether
    it says how the dough is loaded, in place of its card. ``brief``: the same in few words, where what to do alone
    would have no reason.
    """

    name: str
    sees: Callable[[Scene], Figures | None]
    seen: Callable[[Figures], str]
    do: Callable[[Figures], str]
    why: str
    source: str
    act: bool = False
    told: frozenset[Told] = frozenset()
    after_the_end: bool = False
    beside: bool = False
    forbids: Callable[[Figures], bool] | None = None
    once: Callable[[Figures], object] | None = None
    brief: Callable[[Figures], str] | None = None
    looks: Callable[[Figures], bool] | None = None
    loads: Callable[[Figures], bool] | None = None

    def advice(self, scene: Scene) -> Advice | None:
        """What is said of a scene; None where the situation is not there."""
        figures = self.sees(scene)
        if figures is None:
            return None
        once = None if self.once is None else self.once(figures)
        forbids = self.forbids is not None and self.forbids(figures)
        brief = "" if self.brief is None else self.brief(figures)
        looks = self.looks is not None and self.looks(figures)
        loads = self.loads is not None and self.loads(figures)
        return Advice(self, self.seen(figures), self.do(figures), once, forbids, brief, looks, loads)


@dataclass(frozen=True, slots=True)
class Advice:
    row: Situation[Any]
    seen: str
    do: str
    once: object = None
    forbids: bool = False
    in_brief: str = ""
    looks: bool = False
    loads: bool = False

    @property
    def situation(self) -> str:
        return self.row.name

    @property
    def act(self) -> bool:
        return self.row.act

    @property
    def to_do(self) -> str:
        """What to do alone, where there is no room for more."""
        return sentence(self.do)

    @property
    def brief(self) -> str:
        """The same where there is no room for all that is."""
        return sentence(self.in_brief) if self.in_brief else self.to_do

    @property
    def short(self) -> str:
        """What is, and what to do."""
        return sentence(f"{self.seen}: {self.do}")

    @property
    def says(self) -> str:
        """The same, and why."""
        return f"{self.short} {as_counted(self.row.why)}"
