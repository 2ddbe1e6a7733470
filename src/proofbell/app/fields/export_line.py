"""The lines that take bakes, or the whole journal, away into a file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from proofbell.app.fields.file_line import FileLine
from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import copy_all, export, take_out_formula
from proofbell.errors import Failure
from proofbell.file_names import file_stem
from proofbell.journal.files.copying import AlreadyThere
from proofbell.places import own_folders, short
from proofbell.words import counted


class ExportLine(FileLine):
    """Bakes, in the form that the file's ending says."""

    def __init__(self, live: Live) -> None:
        super().__init__("Export to", id="export", how="enter writes it; .md, .csv, .json or .svg (a picture)")
        self.live = live
        self._bakes: tuple[str, ...] = ()

    def open(self, bakes: Sequence[str], stem: str) -> None:
        """Ask where these are to go."""
        self._bakes = tuple(bakes)
        self.show(f"{stem}.md")

    async def take_away(self, path: Path, said: Callable[[int, int], None], *, overwrite: bool) -> str:
        left_out = await export(self.live, self._bakes, path, said, overwrite=overwrite)
        return f"Written: {path.absolute()}" + (f" {left_out}" if left_out else "")


class FormulaLine(FileLine):
    """The formula of a bake as the file that was opened; no other file is replaced by it."""

    def __init__(self, live: Live) -> None:
        super().__init__("Formula to", id="formula", how="as it was opened")
        self.live = live
        self._bake = ""
        self._own = Path()

    def open(self, bake: str, name: str, kitchen_file: Path | None) -> None:
        """Ask where it is to go; among one's own formulas, if nothing else is typed."""
        self._bake = bake
        self._own = Path() if kitchen_file is None else own_folders(self.live.kitchen.formulas, kitchen_file)[0]
        self.show(short(self._own / f"{file_stem(name, '')}.toml"))

    async def take_away(self, path: Path, said: Callable[[int, int], None], *, overwrite: bool) -> str:  # noqa: ARG002 - as every line
        try:
            await take_out_formula(self.live, self._bake, path, self._own)
        except AlreadyThere as there:
            raise Failure("already there; nothing is replaced.", "Type another name.") from there
        return f"Written: {path.absolute()}"


class BackupLine(FileLine):
    """The whole journal, copied and checked."""

    def __init__(self, live: Live) -> None:
        super().__init__("Backup to", id="backup", how="enter copies the journal, and checks the copy")
        self.live = live

    async def take_away(self, path: Path, said: Callable[[int, int], None], *, overwrite: bool) -> str:
        verdict = await copy_all(self.live, path, said, overwrite=overwrite)
        bakes, events = counted(verdict.bakes, "bake"), counted(verdict.events, "event")
        return f"{bakes} and {events} copied and checked: {path.absolute()}"
