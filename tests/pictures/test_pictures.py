"""Every main page looks as it did; where it is meant to look otherwise, ``python -m tests.pictures`` draws it anew."""

from __future__ import annotations

from difflib import unified_diff
from pathlib import Path

import pytest

from tests.pictures.frame import frame
from tests.pictures.pages import BENCH, JOURNAL, SIZES, STORED, baked_for_a_fortnight, bench_frame, page_frame, stored


def compared(name: str, size: tuple[int, int], drawn: str) -> None:
    """Fail with the lines that differ."""
    path = stored(name, size)
    kept = path.read_text(encoding="utf-8") if path.exists() else ""
    lines = unified_diff(
        kept.splitlines(), drawn.splitlines(), f"{path.name} as kept", "as drawn now", lineterm="", n=0
    )
    differs = "\n".join(lines)
    if differs:
        pytest.fail(f"{differs}\nIf this is meant: python -m tests.pictures {name}", pytrace=False)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", BENCH)
async def test_a_page_of_the_bench_looks_as_kept(name: str, size: tuple[int, int]) -> None:
    compared(name, size, await bench_frame(name, size))


async def test_the_pages_beside_the_bench_look_as_kept(tmp_path: Path) -> None:
    async with baked_for_a_fortnight(tmp_path) as live:
        for name in JOURNAL:
            for size in SIZES:
                compared(name, size, await page_frame(name, live, size))


def test_no_picture_is_kept_of_what_is_not_drawn() -> None:
    drawn = {stored(name, size).name for name in (*BENCH, *JOURNAL) for size in SIZES}
    assert {path.name for path in STORED.iterdir()} == drawn


def test_a_frame_is_read_from_a_picture_made_by_hand() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg"><style>.t-r1 { fill: #fff;font-weight: bold }</style>'
        '<rect fill="#123456" x="0" y="1.5" width="24.4" height="24.65" shape-rendering="crispEdges"/>'
        '<text class="t-r1" x="12.2" y="20" textLength="24.4" clip-path="url(#t-line-0)">ok</text></svg>'
    )
    glyphs, _, runs, _, *styles = frame(svg, 4, 1).splitlines()
    assert glyphs == " ok"
    assert [run.partition("×")[2] for run in runs.split()] == ["1", "1", "2"], "a blank goes with what stands before it"
    assert sorted(line.partition("  ")[2] for line in styles) == [
        "#fff bold on #123456", "#fff bold on -", "- on #123456",
    ]  # fmt: skip
