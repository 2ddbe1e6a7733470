"""The formula files that the start screen shows, as they are read, and what past bakes have to say of them."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator, Sequence
from functools import partial
from pathlib import Path

from proofbell.app.in_time import in_time
from proofbell.app.session.formula_files import FormulaFile, read_file
from proofbell.app.start.at_hand import Baked, Row, at_hand
from proofbell.places import formulas_in, house_folder

PATIENCE_S = 2.0
"""So long a file may take that lies elsewhere, perhaps on a disk that has gone."""


class Shelf:
    """Holds the files of each section; ``given`` are those that were named at the start, then those of the house.

    One of the house that was named is given twice, and stands on top with what else was named.
    """

    def __init__(self, given: Sequence[Path]) -> None:
        house = house_folder()
        self._opened_paths = [
            path
            for n, path in enumerate(given)
            if path not in given[:n] and (path.parent != house or path in given[n + 1 :])
        ]
        self._house_paths = [path for path in given if path.parent == house and path not in self._opened_paths]
        self._opened: list[FormulaFile] = []
        self._own: list[FormulaFile] = []
        self._house: list[FormulaFile] = []
        self._elsewhere: list[FormulaFile] = []
        self.baked = Baked({})
        self.whole = False

    async def read(self, folders: Sequence[Path]) -> AsyncIterator[None]:
        """Read file after file, own ones from these folders; `whole` once all are read."""
        own = [*(await asyncio.to_thread(formulas_in, folders)).values()]
        yield
        for paths, files in ((self._opened_paths, self._opened), (own, self._own), (self._house_paths, self._house)):
            for path in paths:
                files.append(await asyncio.to_thread(read_file, path))
                yield
        self.whole = True

    async def recall(self, baked: Baked) -> None:
        """Take what was baked, and read again the files of it that lie elsewhere."""
        known = {str(file.path.absolute()) for file in (*self._opened, *self._own)}
        paths = {last.formula.path: Path(last.formula.path) for last in baked.again if last.formula.path}
        found: list[FormulaFile] = []
        for path in (paths[typed] for typed in paths if typed not in known):
            # A disk that does not answer is one that is not there: the text of the bake stands in for it.
            with contextlib.suppress(TimeoutError):
                found.append(await in_time(partial(read_file, path), PATIENCE_S))
        self._elsewhere, self.baked = found, baked

    @property
    def has_own(self) -> bool:
        """Whether there is any formula of one's own."""
        return bool(self._own)

    def open(self, file: FormulaFile) -> None:
        """Put a file that was opened on top."""
        self._opened[:] = [file, *(other for other in self._opened if other.path != file.path)]

    def changed(self, file: FormulaFile) -> None:
        """Take a file as it is now; one that is new here is one's own."""
        for files in (self._opened, self._own, self._house, self._elsewhere):
            for index, other in enumerate(files):
                if other.path == file.path:
                    files[index] = file
                    return
        self._own.append(file)

    def rows(self, typed: str) -> tuple[Row, ...]:
        """The lines of the list, as far as they are read."""
        return at_hand(self._opened, self._own, self._house, self.baked, typed, elsewhere=self._elsewhere)
