"""One thing that a bake wants of its baker."""

from __future__ import annotations

from proofbell.bake.tasks import OvenTask, PromptId, PromptKind
from proofbell.formula.model import ReadingKind
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Prompt:
    """Something wanted at ``due_s`` (the bake's own time); ``task`` answers it, where a task does.

    ``ends``: the stage is over with it, as one act; no other prompt asks for that meanwhile. ``patient``: nothing
    spoils by its waiting, so that it need not ring until it is answered. ``reads``: the reading that answers it,
    where no check does. ``until_s``: what is done holds until then (the bake's own time); no bell calls for it.
    ``brief``: the same where there is little room, its caution whole; nothing where it cannot be said in less.
    """

    id: PromptId
    due_s: float
    words: str
    task: OvenTask | None = None
    ends: bool = False
    patient: bool = False
    reads: ReadingKind | None = None
    until_s: float | None = None
    brief: str = ""

    @property
    def over(self) -> bool:
        """Whether it says that its stage is over."""
        return self.ends or self.kind == "due"

    @property
    def weighs_ahead(self) -> bool:
        """Whether it is a weigh-out whose start is yet to come."""
        return self.kind == "start" and self.patient

    @property
    def kind(self) -> PromptKind:
        return self.id.kind

    @property
    def stage(self) -> int:
        return self.id.stage

    @property
    def check(self) -> int | None:
        """The index of the check in its stage, where it asks for one."""
        return self.id.number if self.id.kind == "check" else None


@dataclass(frozen=True, slots=True)
class OvenBefore:
    """The oven is at ``heat_c`` (conventional °C) for another bake, which is out at ``until_s`` of this bake's time.

    ``inside``: nobody has said yet that it is out, also where it should be.
    """

    heat_c: float
    until_s: float
    bake: str = ""
    inside: bool = False
