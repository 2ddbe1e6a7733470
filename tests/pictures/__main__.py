"""Draws the pictures anew: ``python -m tests.pictures``, or only those named. Look at the diff before you keep them."""

from __future__ import annotations

import asyncio
import sys
import tempfile
from pathlib import Path

from tests.pictures.pages import BENCH, JOURNAL, SIZES, STORED, baked_for_a_fortnight, bench_frame, page_frame, stored


async def draw(names: list[str]) -> None:
    """Write those named, or all."""
    STORED.mkdir(exist_ok=True)
    for name in (name for name in BENCH if not names or name in names):
        for size in SIZES:
            stored(name, size).write_text(await bench_frame(name, size), encoding="utf-8")
    pages = [name for name in JOURNAL if not names or name in names]
    if not pages:
        return
    with tempfile.TemporaryDirectory() as folder:
        async with baked_for_a_fortnight(Path(folder)) as live:
            for name in pages:
                for size in SIZES:
                    stored(name, size).write_text(await page_frame(name, live, size), encoding="utf-8")


if __name__ == "__main__":
    asyncio.run(draw(sys.argv[1:]))
