"""The names of small things to do: the oven on, a tray turned, a bell silenced. A done task is an event by its name."""

from __future__ import annotations

import math

QUIET = "quiet "
"""A task of this name and a prompt's id silences the prompt."""

SKIPPED = "skipped "
"""A task of this name and a check's prompt id says that the reading will not be taken."""

WEIGHED = "weighed "
"""A task of this name and the line's number says that an ingredient is in the bowl."""


def turn_task(index: int) -> str:
    """The task of turning the tray in a bake stage."""
    return f"turn {index}"


def heat_task(index: int, phase: int) -> str:
    """The task of setting the oven to a later heat of a bake stage."""
    return f"heat {index}.{phase}"


def oven_on_task(index: int) -> str:
    """The task of turning the oven on for a bake stage."""
    return f"oven on {index}"


def oven_change_task(index: int, from_c: float) -> str:
    """The task of turning an oven up or down for a bake stage that is hot already, at so many °C."""
    return f"{oven_on_task(index)}@{from_c:g}"


def changed_from(task: str) -> tuple[str, float | None]:
    """A task by its plain name, and the heat (°C) that an oven was changed from; None for every other task."""
    name, _, heat = task.partition("@")
    if not heat or not name.startswith("oven on "):
        return task, None
    try:
        from_c = float(heat)
    except ValueError:
        return task, None
    return (name, from_c) if math.isfinite(from_c) else (task, None)


def oven_hot_task(index: int) -> str:
    """The task of seeing that the oven is hot for a bake stage."""
    return f"oven hot {index}"


def oven_off_task(index: int) -> str:
    """The task of turning the oven off after a bake stage."""
    return f"oven off {index}"


def is_silence(task: str) -> bool:
    """Whether a task only silences a bell: nothing that anybody would want to take back."""
    return task.startswith(QUIET)
