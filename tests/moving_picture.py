"""The demo as a picture that moves, recorded from a rehearsal: ``python -m tests.moving_picture``.

An SVG of its own: no script, nothing fetched. Each line of the screen is kept once for as long as it stays the same,
and a style sheet shows it at its time; who has asked for less motion sees one moment of it.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from html import escape
from itertools import groupby

from rich.style import Style
from textual.color import Color
from textual.pilot import Pilot
from textual.widgets import Input

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live, Nobody
from proofbell.clock import FastClock
from tests.support.blocks import rectangles, without_blocks
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, app_on, put_on
from tests.support.plain_frame import FOLDER
from tests.support.settling import shown
from tests.support.stage import FOUR, HandClock, drawn

SIZE = (80, 24)
CELL = (10.0, 20.0)
EDGE = 12
GROUND = "#14181c"

Frame = tuple[float, list[str]]
"""For how many seconds it stands, and each line as SVG."""

DEMO: tuple[tuple[str, float, float], ...] = (
    ("", 0, 1.5), ("w", 0, 4), ("escape", 0, 0.7), ("space", 150, 0.7),
    *(("", 72, 0.22),) * 5, ("space", 10, 0.7), *(("", 120, 0.22),) * 5, ("space", 10, 1.5),
    ("2", 90, 0.8), ("7", 0, 5), ("enter", 0, 3.5), *(("", 300, 0.22),) * 7, ("f", 0, 2), *(("", 240, 0.22),) * 4,
    ("", 300, 3), ("space", 60, 2),
)  # fmt: skip
"""A key, or none; how many seconds of the bake go by before it; for how many seconds the picture then stands."""

STILL = "7"
"""Who has asked for less motion sees the picture after this key."""


async def recorded() -> AsyncIterator[Frame]:
    """Harbour knots from the weigh-out to the end of the first proof, on a clock that is set by hand."""
    hand = HandClock()
    clock = FastClock(hand.stamp(), 60, hand)
    live = Live(clock, Nobody(), GUESTHOUSE, rehearsal=True, pace=clock)
    await put_on(live, KNOTS)
    app: ProofbellApp = app_on(live, real=hand, files=FOUR)
    async with app.run_test(size=SIZE) as pilot:
        await app.workers.wait_for_complete()
        for key, ahead_s, stands_s in DEMO:
            hand.forward(ahead_s / 60)
            await _pressed(pilot, app, key)
            yield stands_s, [_line(y, strip) for y, strip in enumerate(drawn(app))]


async def _pressed(pilot: Pilot[int], app: ProofbellApp, key: str) -> None:
    await shown(pilot, app)
    if key:
        await pilot.press(key)
        await shown(pilot, app)


def _line(y: int, strip: object) -> str:
    """A line of the screen: grounds, blocks and text."""
    drawn, x = [], 0
    for text, style, _ in strip:  # type: ignore[attr-defined]
        drawn.append(_run(text, style or Style(), x, y))
        x += len(text)
    return "".join(drawn)


def _run(text: str, style: Style, x: int, y: int) -> str:
    ink, paper = (_hex(style.color), _hex(style.bgcolor))
    if style.reverse:
        ink, paper = paper, ink
    left, top = x * CELL[0] + EDGE, y * CELL[1] + EDGE
    drawn = ""
    if paper != GROUND:
        drawn = rectangles("█" * len(text), left, top, CELL, f'fill="{paper}"')
    drawn += rectangles(text, left, top, CELL, f'fill="{ink}"')
    bare = without_blocks(text)
    words = bare.strip()
    if words:
        at = left + (len(bare) - len(bare.lstrip())) * CELL[0]
        weight = ' font-weight="bold"' if style.bold else ""
        slant = ' font-style="italic"' if style.italic else ""
        told = escape(words, quote=False).replace("  ", " \u00a0")
        wide = len(words) * CELL[0]
        drawn += f'<text x="{at:g}" y="{top + 15:g}" textLength="{wide:g}" fill="{ink}"{weight}{slant}>{told}</text>'
    return drawn


def _hex(colour: object) -> str:
    triplet = getattr(colour, "triplet", None)
    return Color(*triplet).hex.lower() if triplet is not None else GROUND


def moving(frames: list[Frame], still: int) -> str:
    """All frames in one picture that begins anew at its end; ``still`` is the one for who wants no motion."""
    whole_s = sum(stands for stands, _ in frames)
    ends = [sum(stands for stands, _ in frames[: n + 1]) / whole_s * 100 for n in range(len(frames))]
    times: dict[str, str] = {}
    drawn: list[str] = []
    for y in range(SIZE[1]):
        lines = [lines[y] for _, lines in frames]
        for line in dict.fromkeys(lines):
            if not line:
                continue
            at = [one == line for one in lines]
            if all(at):
                drawn.append(line)
                continue
            name = times.setdefault(_steps(at, ends), f"k{len(times)}")
            drawn.append(f'<g class="{name}{"" if at[still] else " n"}">{line}</g>')
    sheet = "".join(
        f"@keyframes {name}{{{steps}}}.{name}{{animation:{name} {whole_s:.1f}s step-end infinite}}"
        for steps, name in times.items()
    )
    width, height = SIZE[0] * CELL[0] + 2 * EDGE, SIZE[1] * CELL[1] + 2 * EDGE
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}">'
        f"<title>Proofbell: a bake of harbour knots, much faster than it is</title><style>"
        f"text{{font-family:DejaVu Sans Mono,Menlo,Consolas,monospace;font-size:16.6px;white-space:pre}}"
        f".n{{visibility:hidden}}{sheet}"
        f"@media (prefers-reduced-motion:reduce){{g{{animation:none!important}}}}</style>"
        f'<rect width="{width:g}" height="{height:g}" rx="8" fill="{GROUND}"/>{"".join(drawn)}</svg>\n'
    )


def _steps(at: list[bool], ends: list[float]) -> str:
    """The steps of a style sheet's animation for what is there in these frames and not in the others."""
    steps, number = [], 0
    for there, run in groupby(at):
        begins = ends[number - 1] if number else 0.0
        steps.append(f"{begins:.2f}%{{visibility:{'visible' if there else 'hidden'}}}")
        number += len(list(run))
    return "".join(steps)


async def _all() -> list[Frame]:
    return [frame async for frame in recorded()]


def main() -> None:
    """Record it and write it down."""
    Input.cursor_blink = False  # type: ignore[assignment]
    still = [key for key, _, _ in DEMO].index(STILL)
    (FOLDER / "demo.svg").write_text(moving(asyncio.run(_all()), still), encoding="utf-8")


if __name__ == "__main__":
    main()
