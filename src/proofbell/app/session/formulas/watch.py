"""Which file a formula came from, and whether it has changed since a bake took its text. Looked at seldom.

A bake keeps the text that it began with, and no path: a file is known by the name of the formula in it. A file is read
again only when its time or size is another.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from pathlib import Path

from proofbell.bake.state import BakeState
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.formula.text.guard import MOST_BYTES
from proofbell.formula.text.identity import Identity, identity, is_other
from proofbell.frozen import dataclass
from proofbell.places import formulas_in, house_folder
from proofbell.regular_file import first_bytes

EVERY_US = 20_000_000
"""How often the files are looked at while a bake is on. Our own choice: nothing hangs on it."""

CHANGED = "The formula's file has changed since. This bake keeps its own text; the next bake takes the new one."


@dataclass(frozen=True, slots=True)
class _Seen:
    """A file as it was when it was read."""

    mark: tuple[int, int]
    found: Identity | None


class FormulaWatch:
    """``files`` are those of the house and those that were named; ``folders`` gives those of one's own formulas."""

    def __init__(self, files: Sequence[Path], folders: Callable[[], Sequence[Path]]) -> None:
        self._files = tuple(files)
        self._folders = folders
        self._seen: dict[Path, _Seen] = {}
        self._next_us = 0
        self._told: set[tuple[str, str]] = set()

    def look(self) -> None:
        """Look at all files. For a thread: a disk may be slow."""
        seen: dict[Path, _Seen] = {}
        for path in self._paths():
            before = self._seen.get(path)
            try:
                status = path.stat()
                mark = (status.st_mtime_ns, status.st_size)
                if before is not None and before.mark == mark:
                    seen[path] = before
                    continue
                found = identity(first_bytes(path, MOST_BYTES))
            except (OSError, ValueError):
                continue
            # One that cannot be read now, perhaps half written, is as it was before.
            seen[path] = _Seen(mark, found or (before.found if before else None))
        self._seen = seen

    def _paths(self) -> tuple[Path, ...]:
        """One's own first; a house formula gives way to an own one whose file has its name."""
        try:
            own = formulas_in(self._folders())
        except (Failure, OSError):
            own = {}
        house = house_folder()
        others = [path for path in self._files if not (path.parent == house and path.stem in own)]
        return tuple(dict.fromkeys((*own.values(), *others)))

    def path_of(self, formula: Formula) -> Path | None:
        """The file that holds a formula of that name, one's own first; None where none was seen."""
        named = [path for path, seen in self._seen.items() if seen.found and seen.found.name == formula.name]
        same = [path for path in named if self._digest(path) == formula.digest]
        return next(iter((*same, *named)), None)

    def _digest(self, path: Path) -> str:
        found = self._seen[path].found
        return found.digest if found else ""

    def has_changed(self, formula: Formula) -> bool:
        """Whether files of that name were seen, and none of them holds this text any more."""
        found = [seen.found for seen in self._seen.values() if seen.found is not None]
        return is_other(formula.digest, [one.digest for one in found if one.name == formula.name])

    async def news(self, states: Sequence[BakeState], real_us: int) -> str:
        """Look, if it is time to; what to say of bakes whose files have changed since, once for each text."""
        running = [state for state in states if state.closed is None]
        if not running or real_us < self._next_us:
            return ""
        self._next_us = real_us + EVERY_US
        await asyncio.to_thread(self.look)
        return self._words([state for state in running if self.has_changed(state.formula)])

    def _words(self, changed: Sequence[BakeState]) -> str:
        new = []
        for state in changed:
            path = self.path_of(state.formula)
            told = state.id, self._digest(path) if path else ""
            if told not in self._told:
                self._told.add(told)
                new.append(state.letter)
        if not new:
            return ""
        keeps = "this bake keeps its text" if len(new) == 1 else "these bakes keep their text"
        return f"{', '.join(new)}: formula file changed; {keeps}, the next takes the new"
