"""The small things that are done beside the stages: the oven on, a tray turned, a line weighed, a bell silenced.

Each has a name in text too: files that were exported have it, and so have rows of the journal's first schema.
"""

from __future__ import annotations

import math
import re
from dataclasses import field
from typing import Literal, cast, get_args

from proofbell.frozen import dataclass

OvenKind = Literal["turn", "heat", "oven on", "oven hot", "oven off"]
PromptKind = Literal["start", "check", "due", "turn", "heat", "oven on", "oven hot", "oven off", "timer"]


@dataclass(frozen=True, slots=True)
class PromptId:
    """Which prompt it is, for as long as it is wanted at that moment.

    ``number`` is the index of a check in its stage, or of a heat. ``at_s`` is set where another moment makes another
    prompt: the planned start, or the stage's length (whole seconds). ``waits``: for a place in the oven.
    """

    kind: PromptKind
    stage: int = 0
    number: int | None = None
    at_s: int | None = None
    waits: bool = False


@dataclass(frozen=True, slots=True)
class OvenTask:
    """Something done at the oven for a bake stage; ``phase`` is the index of a later heat.

    ``from_c`` is the heat (°C) that a hot oven was changed from: how it was done, not what.
    """

    kind: OvenKind
    stage: int
    phase: int | None = None
    from_c: float | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Weighed:
    """A line of the weigh-out is in the bowl."""

    line: int


@dataclass(frozen=True, slots=True)
class Silenced:
    """A prompt's bell is silent; it stays due."""

    prompt: PromptId


@dataclass(frozen=True, slots=True)
class Skipped:
    """A check's reading will not be taken."""

    check: PromptId


@dataclass(frozen=True, slots=True)
class Named:
    """A task that only has a name, from a row of another origin."""

    name: str


Task = OvenTask | Weighed | Silenced | Skipped | Named


def after_closing(task: Task) -> bool:
    """Whether it can be said of a bake that is over: that its oven is off, and that the bell for it was heard."""
    asked = task.prompt if isinstance(task, Silenced) else task
    return isinstance(asked, OvenTask | PromptId) and asked.kind == "oven off"


def prompt_of(task: OvenTask) -> PromptId:
    return PromptId(task.kind, task.stage, task.phase)


def task_name(task: Task, *, heat: bool = True) -> str:
    """A task's name in text: ``oven on 4@150``, without ``heat`` ``oven on 4``; :func:`task_named` reads it back."""
    match task:
        case OvenTask(from_c=from_c):
            return _prompt_name(prompt_of(task)) + ("" if from_c is None or not heat else f"@{from_c:g}")
        case Weighed(line):
            return f"weighed {line}"
        case Silenced(prompt):
            return f"quiet {_prompt_name(prompt)}"
        case Skipped(check):
            return f"skipped {_prompt_name(check)}"
        case Named(name):
            return name


def _prompt_name(prompt: PromptId) -> str:
    where = "" if prompt.kind == "start" and not prompt.stage else f" {prompt.stage}"
    number = "" if prompt.number is None else f".{prompt.number}"
    moment = "" if prompt.at_s is None else f"@{prompt.at_s}"
    return f"{prompt.kind}{where}{number}{moment}{'.waits' if prompt.waits else ''}"


_KINDS = "|".join(get_args(PromptKind))
_NAME = re.compile(rf"({_KINDS})(?: ([0-9]{{1,6}}))?(?:\.([0-9]{{1,6}}))?(?:@(-?[0-9.e+-]{{1,24}}?))?(\.waits)?")


def task_named(name: str) -> Task:
    """The task that has this name; one that only has a name, where no other would be called so."""
    word, _, rest = name.partition(" ")
    task: Task | None = None
    if word == "weighed" and re.fullmatch("[0-9]{1,6}", rest):
        task = Weighed(int(rest))
    elif word in ("quiet", "skipped"):
        prompt = _prompt_named(rest)
        if prompt is not None:
            task = Silenced(prompt) if word == "quiet" else Skipped(prompt)
    else:
        task = _oven_task_named(name)
    return task if task is not None and task_name(task) == name else Named(name)


def _prompt_named(name: str) -> PromptId | None:
    found = _NAME.fullmatch(name)
    if found is None:
        return None
    kind, stage, number, moment, waits = found.groups()
    at_s = None if moment is None else _number(moment)
    whole = None if at_s is None else round(at_s)
    return PromptId(
        cast("PromptKind", kind), int(stage or 0), None if number is None else int(number), whole, bool(waits)
    )


def _oven_task_named(name: str) -> OvenTask | None:
    found = _NAME.fullmatch(name)
    if found is None or found[1] not in get_args(OvenKind) or found[2] is None:
        return None
    from_c = None if found[4] is None else _number(found[4])
    return OvenTask(cast("OvenKind", found[1]), int(found[2]), None if found[3] is None else int(found[3]), from_c)


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) else None
