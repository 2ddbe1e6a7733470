"""A sheet lays its lines out one by one; with them it looks as if Textual had laid out all of them."""

from __future__ import annotations

from textual.app import App, ComposeResult
from textual.content import Content
from textual.visual import Visual

from proofbell.app.drawing.sheet import Sheet

CONTENTS = (
    Content("flour\nwater"),
    Content("flour\nwater\nsalt"),
    Content.assemble(("flour\nwa", "bold"), "ter\n", ("salt", "red")),
    Content.assemble("flour\n", ("water", "on blue"), "\n\nbutter"),
    Content("🥖 a loaf\nwater"),
    Content("a line that is much too wide for it\nwater"),
    Content("flour"),
    Content(""),
    Content("\n\n\n\n\nlow"),
)


class Lines(Sheet):
    """Shows one of them."""

    DEFAULT_CSS = "Lines { width: 20; height: 5; background: #223344; color: #ddeeff; }"
    given = CONTENTS[0]
    times_drawn = 0

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - as every sheet
        self.times_drawn += 1
        return self.given


class Page(App[None]):
    def compose(self) -> ComposeResult:
        yield Lines()


def whole(sheet: Lines) -> list[list[object]]:
    """Its lines, laid out all at once."""
    width, height = sheet.size
    strips = Visual.to_strips(sheet, sheet.given, width, height, sheet.visual_style)
    return [[*strip] for strip in strips]


async def test_lines_are_laid_out_as_the_whole_is() -> None:
    app = Page()
    async with app.run_test(size=(40, 10)) as pilot:
        sheet = app.query_one(Lines)
        for before in CONTENTS:
            for after in CONTENTS:
                for sheet.given in (before, after):
                    sheet.draw()
                    await pilot.pause()
                    lines = [[*sheet.render_line(y)] for y in range(5)]
                    expected = whole(sheet)
                    assert lines[: len(expected)] == expected, (before, after)
                    assert all("".join(each.text for each in line).strip() == "" for line in lines[len(expected) :])
        sheet.styles.color = "#ff0000"
        await pilot.pause()
        assert [*sheet.render_line(0)] == whole(sheet)[0]
        sheet.styles.width = 12
        await pilot.pause()
        assert [*sheet.render_line(0)] == whole(sheet)[0]


async def test_the_first_picture_of_a_sheet_is_drawn_for_its_size() -> None:
    """Also where the event that tells of the size has not come yet."""
    app = Page()
    async with app.run_test(size=(40, 10)) as pilot:
        sheet = app.query_one(Lines)
        drawn = sheet.times_drawn
        sheet.styles.height = 3
        await pilot.pause()
        assert sheet.times_drawn > drawn
        assert "".join(each.text for each in sheet.render_line(0)).startswith("flour")
