"""The lines that take bakes, or the whole journal, away into a file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from proofbell.app.fields.file_line import FileLine
from proofbell.app.session.journal_access import copy_all, export
from proofbell.app.session.live import Live
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
        """Write them."""
        left_out = await export(self.live, self._bakes, path, said, overwrite=overwrite)
        return f"Written: {path.absolute()}" + (f" {left_out}" if left_out else "")


class BackupLine(FileLine):
    """The whole journal, copied and checked."""

    def __init__(self, live: Live) -> None:
        super().__init__("Backup to", id="backup", how="enter copies the journal, and checks the copy")
        self.live = live

    async def take_away(self, path: Path, said: Callable[[int, int], None], *, overwrite: bool) -> str:
        """Copy and check."""
        verdict = await copy_all(self.live, path, said, overwrite=overwrite)
        bakes, events = counted(verdict.bakes, "bake"), counted(verdict.events, "event")
        return f"{bakes} and {events} copied and checked: {path.absolute()}"
