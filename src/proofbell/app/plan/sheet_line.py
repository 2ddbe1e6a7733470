"""The line that takes the day's sheet away into a file: as text, or as a page to print, by the file's ending."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from pathlib import Path

from proofbell.app.fields.file_line import FileLine
from proofbell.app.planning.day_plan import PlanDay, Planned
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_again
from proofbell.bench.plan.timetable import Timetable
from proofbell.errors import Failure
from proofbell.journal.files.copying import whole_file
from proofbell.planner.plan import Plan
from proofbell.sheet.sheet import Sheet, sheet_of
from proofbell.sheet.sheet_page import sheet_page
from proofbell.sheet.sheet_text import sheet_text

WRITERS: dict[str, Callable[[Sheet], str]] = {".html": sheet_page, ".txt": sheet_text}


class SheetLine(FileLine):
    """The day for the wall, with a card for each dough that is planned, or on the bench already."""

    def __init__(self) -> None:
        super().__init__("Sheet to", id="sheet", how=".html to print, or .txt")
        self._sheet: Sheet | None = None
        self._of: Timetable | None = None
        self.written: Timetable | None = None
        """What the last sheet that was written shows."""

    def open(self, day: PlanDay, live: Sequence[BakeState], plan: Plan, table: Timetable, origin_us: int) -> None:
        """Ask where it is to go. It shows the plan as it is now, whatever becomes of it while a name is typed."""
        bakes: list[BakeState | Planned] = [state for state in live if state.closed is None]
        weighed = ((bake, weigh_again(bake.formula, bake.kitchen, bake.batch)) for bake in (*bakes, *day.bakes))
        doughs = {bake.letter: (bake.formula, out) for bake, out in weighed if out is not None}
        self._sheet = sheet_of(plan, table, origin_us, day.kitchen, doughs)
        self._of = table
        self.show("day.html")

    async def take_away(self, path: Path, said: Callable[[int, int], None], *, overwrite: bool) -> str:  # noqa: ARG002 - as every line
        sheet, writer = self._sheet, WRITERS.get(path.suffix.lower())
        if sheet is None or writer is None:
            raise Failure("a sheet ends in .html or .txt.", "Type another name.")

        def write() -> None:
            with whole_file(path, overwrite=overwrite) as file:
                file.write(f"{writer(sheet).rstrip()}\n".encode())

        try:
            await asyncio.to_thread(write)
        except OSError as error:
            raise Failure(f"{path} cannot be written: {error.strerror}.", "Choose another place.", status=1) from error
        self.written = self._of
        return f"Written: {path.absolute()}"
