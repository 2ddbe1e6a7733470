"""What stands below the doughs of a plan: the oven and the hands, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Callable

from textual.content import Content

from proofbell.app.drawing.sheet import Sheet
from proofbell.app.plan.plan_lines import fitted
from proofbell.app.plan.plan_rows import PlanPicture

Words = tuple[list[Content], list[Content], list[Content]]


class PlanFoot(Sheet):
    """The oven's row and the hands', on the axis of the rows above; ``row_width`` says how wide those are."""

    def __init__(self, row_width: Callable[[], int]) -> None:
        super().__init__(id="drawing")
        self._row_width = row_width
        self.picture: PlanPicture | None = None

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - as wide as the rows, two lines
        return Content("") if self.picture is None else self.picture.foot(self._row_width())


class PlanWords(Sheet):
    """Reasons, ways out and nights, as many as its height has room for."""

    def __init__(self) -> None:
        super().__init__(id="clashes")
        self.words: Words = ([], [], [])

    def wanted(self, width: int) -> int:
        """How many lines all of it takes."""
        return len(fitted(self.words, width, 1000))

    def drawn(self, width: int, height: int) -> Content:
        return Content("\n").join(fitted(self.words, width, height))
