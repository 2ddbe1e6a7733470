"""The house as its imports make it: every room on a floor, above all rooms that it imports from.

    python -m tests.house

prints the picture that stands in DEVELOPERS.md; a test compares the two.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping
from graphlib import TopologicalSorter

import grimp

PACKAGE = "proofbell"
IN_WINGS = ("app", "journal")
"""Rooms whose folders are drawn one by one, and their own files too."""
WIDTH = 88


def arrows() -> dict[str, set[str]]:
    """From each room to those that it imports from. A room is a folder, or a file beside the folders."""
    graph = grimp.build_graph(PACKAGE)
    found: dict[str, set[str]] = {}
    for module in graph.modules - {PACKAGE}:
        here = room_of(module)
        to = {room_of(other) for other in graph.find_modules_directly_imported_by(module) - {PACKAGE}}
        found.setdefault(here, set()).update(to - {here})
    return found


def room_of(module: str) -> str:
    """``app/bench`` of ``proofbell.app.bench.picture.strips``, ``dough`` of ``proofbell.dough.fermenting.rate``."""
    _, room, *below = module.split(".")
    return f"{room}/{below[0]}" if room in IN_WINGS and below else room


def floors(imports: Mapping[str, Iterable[str]]) -> list[list[str]]:
    """The rooms, lowest floor first; graphlib.CycleError where rooms import one another in a circle."""
    floor: dict[str, int] = {}
    for room in TopologicalSorter(imports).static_order():
        floor[room] = 1 + max((floor[below] for below in imports.get(room, ())), default=-1)
    return [sorted(room for room in floor if floor[room] == level) for level in range(max(floor.values()) + 1)]


def picture() -> str:
    """One line or more a floor, the highest first."""
    lines: list[str] = []
    for level, rooms in reversed(list(enumerate(floors(arrows())))):
        line = f"{level:>2}  "
        for room in rooms:
            if len(line) + len(room) > WIDTH:
                lines.append(line.rstrip())
                line = "    "
            line += room + "   "
        lines.append(line.rstrip())
    return "\n".join(lines)


if __name__ == "__main__":
    sys.stdout.write(picture() + "\n")
