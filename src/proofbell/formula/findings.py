"""Collects the faults of one file: knows where each path stands and how to say it in words."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from typing import Any

from proofbell.faults import Fault, Level
from proofbell.formula.text.positions import Path, Place, Spot
from proofbell.visible import visible

MOST_KEPT = 1000
MOST_GUESSED = 200

_BEGINNING = Place(1, 1, 1)
ONE_OF = {
    "ingredients": "ingredient",
    "stages": "stage",
    "checks": "check",
    "bands": "band",
    "phases": "phase",
    "dial": "line",
}


class Findings:
    """The faults found so far in one tree of values."""

    def __init__(self, tree: Mapping[str, Any], spots: Mapping[Path, Spot]) -> None:
        self.tree = tree
        self.spots = spots
        self.faults: list[Fault] = []

    @property
    def refused(self) -> bool:
        """Whether anything so far is more than a warning."""
        return any(fault.is_error for fault in self.faults)

    def error(self, path: Path, message: str, remedy: str = "", *, at_key: bool = False) -> None:
        """Take down a fault of the value at ``path``, or with ``at_key`` of its name."""
        self._add("error", path, message, remedy, at_key=at_key)

    def warning(self, path: Path, message: str, remedy: str = "") -> None:
        """Note something odd that can still be baked."""
        self._add("warning", path, message, remedy, at_key=False)

    def _add(self, level: Level, path: Path, message: str, remedy: str, *, at_key: bool) -> None:
        if len(self.faults) >= MOST_KEPT:
            return
        place = self._place(path, at_key=at_key)
        self.faults.append(Fault(level, message, remedy, self.words(path), place.line, place.column, place.length))

    def _place(self, path: Path, *, at_key: bool) -> Place:
        """Where ``path`` stands; what is missing is marked where it should be: at the table that wants it."""
        if path in self.spots:
            return self.spots[path].key if at_key else self.spots[path].value
        while path:
            path = path[:-1]
            if path in self.spots:
                return self.spots[path].key
        return _BEGINNING

    def words(self, path: Path) -> str:
        """Say a path: ``stage 3 "First proof", check 1, expect``."""
        said: list[str] = []
        value: Any = self.tree
        owner = ""
        for part in path:
            value = _inside(value, part)
            if isinstance(part, str):
                owner = part
                said.append(visible(part, most=40))
                continue
            if owner in ONE_OF:
                name = value.get("name") if isinstance(value, dict) else None
                named = f' "{visible(name, most=40)}"' if isinstance(name, str) and name.strip() else ""
                said[-1] = f"{ONE_OF[owner]} {part + 1}{named}"
            else:
                said.append(f"item {part + 1}")
        return ", ".join(said)

    def nearest(self, name: str, known: Iterable[str]) -> str:
        """Return the known name that ``name`` is most like, or an empty text."""
        if len(name) > 40 or len(self.faults) > MOST_GUESSED:
            return ""
        by_fold = {each.casefold(): each for each in known}
        near = difflib.get_close_matches(name.casefold(), by_fold, n=1, cutoff=0.6)
        return by_fold[near[0]] if near else ""


def _inside(value: Any, part: str | int) -> Any:  # noqa: ANN401 - a value of a TOML tree may be anything
    if isinstance(value, dict):
        return value.get(part)
    if isinstance(value, list) and isinstance(part, int) and part < len(value):
        return value[part]
    return None
