"""The picture that moves: small, well formed, without a script, and still for who wants it so."""

from __future__ import annotations

import re
from xml.etree.ElementTree import fromstring

from tests.moving_picture import moving
from tests.support.blocks import rectangles, without_blocks
from tests.support.plain_frame import FOLDER, plain_frame

MOST_BYTES = 400_000
LINES = 24


def frame(*lines: str) -> list[str]:
    """A frame of these lines, and blank ones."""
    return [*lines, *[""] * (LINES - len(lines))]


def test_the_kept_picture_is_small_and_needs_nothing_else() -> None:
    svg = (FOLDER / "demo.svg").read_text(encoding="utf-8")
    assert len(svg.encode()) < MOST_BYTES
    names = {part.tag.rpartition("}")[2] for part in fromstring(svg).iter()}  # noqa: S314 - our own picture
    assert names == {"svg", "title", "style", "rect", "g", "text"}
    assert not re.search(r"\bon\w+=|href|url\(|@import|@font-face", svg)
    assert "prefers-reduced-motion:reduce" in svg


def test_a_line_is_shown_at_its_time_and_who_wants_no_motion_sees_one_frame() -> None:
    frames = [(1.0, frame("<rect/>", "<text>one</text>")), (3.0, frame("<rect/>", "<text>two</text>"))]
    svg = moving(frames, still=1)
    assert svg.count("<rect/>") == 1, "what stays is kept once"
    one = re.search(r'<g class="(\w+)( n)?"><text>one', svg)
    two = re.search(r'<g class="(\w+)( n)?"><text>two', svg)
    assert one is not None
    assert two is not None
    assert (one[2], two[2]) == (" n", None)
    assert f"@keyframes {one[1]}{{0.00%{{visibility:visible}}25.00%{{visibility:hidden}}}}" in svg
    assert f"@keyframes {two[1]}{{0.00%{{visibility:hidden}}25.00%{{visibility:visible}}}}" in svg
    assert "4.0s step-end infinite" in svg


def test_blocks_are_rectangles_that_meet() -> None:
    drawn = rectangles("a██▀▄▁▌ ", 0, 0, (10, 20), "")
    found = [tuple(map(float, each)) for each in re.findall(r'x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"', drawn)]
    assert found == [(10, 0, 20, 20), (30, 0, 10, 10), (40, 10, 10, 10), (50, 17.5, 10, 2.5), (60, 0, 5, 20)]
    assert without_blocks("a██▀▄▁▌b") == "a      b"


def test_a_kept_picture_has_no_block_left_as_text() -> None:
    svg = '<text class="r1" x="12.2" y="20" textLength="36.6" clip-path="url(#a-line-0)">█&lt;▀</text>'
    drawn = plain_frame(svg)
    assert drawn.count("<rect") == 2
    assert drawn.endswith(">&#160;&lt;&#160;</text>")
