"""The list that makes only the lines that are seen."""

from __future__ import annotations

from textual.app import App, ComposeResult
from textual.content import Content

from proofbell.app.widgets.rows import Rows, columns
from tests.support.stage import seen


class ListApp(App[None]):
    """A list of ten thousand."""

    def __init__(self, count: int = 10_000) -> None:
        super().__init__()
        self.made: list[int] = []
        self.chosen: list[int] = []
        self._count = count

    def compose(self) -> ComposeResult:
        yield Rows(empty=Content("Nothing here."))

    def on_mount(self) -> None:
        self.query_one(Rows).show(self._count, self._line, head=lambda _width: Content("head"))
        self.query_one(Rows).focus()

    def _line(self, index: int, _width: int) -> Content:
        self.made.append(index)
        return Content(f"line {index}")

    def on_rows_chosen(self, event: Rows.Chosen) -> None:
        self.chosen.append(event.index)


async def test_only_the_lines_that_can_be_seen_are_made() -> None:
    app = ListApp()
    async with app.run_test(size=(40, 20)) as pilot:
        await pilot.press("G")
        await pilot.pause()
        shown = seen(app)

    assert "line 9999" in shown
    assert "head" in shown
    assert len(set(app.made)) <= 40


async def test_keys_walk_and_stop_at_both_ends() -> None:
    app = ListApp(30)
    async with app.run_test(size=(40, 10)) as pilot:
        rows = app.query_one(Rows)
        walked = []
        for key in ("k", "j", "down", "pagedown", "G", "j", "pageup", "g"):
            await pilot.press(key)
            walked.append(rows.cursor)

    assert walked == [0, 1, 2, 10, 29, 29, 21, 0]


async def test_a_click_moves_the_cursor_and_a_second_one_chooses() -> None:
    app = ListApp(30)
    async with app.run_test(size=(40, 10)) as pilot:
        await pilot.click(Rows, offset=(3, 4))
        await pilot.pause()
        first = (app.query_one(Rows).cursor, list(app.chosen))
        await pilot.click(Rows, offset=(3, 4))
        await pilot.pause()
        await pilot.click(Rows, offset=(3, 0))
        await pilot.pause()

    assert first == (3, [])
    assert app.chosen == [3]


async def test_an_empty_list_says_so_and_nothing_can_be_chosen() -> None:
    app = ListApp(0)
    async with app.run_test(size=(40, 10)) as pilot:
        await pilot.press("enter", "j", "G", "k")
        await pilot.pause()

        assert "Nothing here." in seen(app)
        assert app.chosen == []


def test_cells_keep_their_columns_and_wide_letters_are_not_cut_in_half() -> None:
    cells = [(Content("日本のパン"), 0), (Content("75 g"), -8)]

    line = columns(cells, 18)

    assert line.cell_length == 18
    assert line.plain.endswith("    75 g")
    assert "…" in line.plain
