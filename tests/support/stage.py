"""A small app to put one screen on, with a clock that is set by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from textual.app import App
from textual.await_complete import AwaitComplete
from textual.screen import Screen
from textual.strip import Strip

from proofbell.app.hosting import Hosting
from proofbell.app.session.live import Keeper, Live, Nobody
from proofbell.app.widgets.page import Page
from proofbell.app.widgets.themes import OWN
from proofbell.bake.events import Event
from proofbell.bake.stamp import Stamp
from proofbell.journal.faults import DiskFull
from proofbell.kitchen.model import Kitchen

MORNING_US = 1_773_477_000_000_000
"""14 March 2026, 08:30 UTC, half past nine where the guesthouse stands."""

FORMULAS = Path(__file__).parents[2] / "formulas"
FOUR = [
    FORMULAS / f"{stem}.toml" for stem in ("breakwater-flatbread", "harbour-knots", "lamplighter-loaf", "quay-pan-loaf")
]
"""Four house formulas of different kinds: what is slow, such as a screen or the planner, is tried on these alone."""


@dataclass
class HandClock:
    """A clock that stands until it is moved."""

    now: Stamp = field(default_factory=lambda: Stamp(MORNING_US, 5_000_000_000, "boot-1", 60))

    def stamp(self) -> Stamp:
        return self.now

    def forward(self, seconds: float) -> None:
        """Move on."""
        step_us = round(seconds * 1_000_000)
        self.now = replace(self.now, wall_us=self.now.wall_us + step_us, boot_us=self.now.boot_us + step_us)

    skip = forward
    """As a rehearsal's clock calls it."""


class FullDisk(Nobody):
    """A journal on a disk that is full for as long as the test wants."""

    def __init__(self) -> None:
        self.full = False
        self.kept: dict[str, tuple[Event, ...]] = {}

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        self._look()
        self.kept[events[0].bake] = (*self.kept.get(events[0].bake, ())[:expected_last], *events)

    async def complete(self, events: Sequence[Event]) -> int:
        self._look()
        self.kept[events[0].bake] = tuple(events)
        return events[-1].number

    def _look(self) -> None:
        if self.full:
            raise DiskFull("the disk with the journal is full", "free some room there; it is tried again by itself")


class StageApp(Hosting):
    """Shows one page; what it was dismissed with is kept in ``results``."""

    loud = True

    def __init__(self, page: Page) -> None:
        super().__init__(page.live)
        self._first = page
        self.results: list[object] = []

    @property
    def ground(self) -> Screen[str | None]:
        return self._first

    def tick(self) -> None:
        """Nothing moves here."""

    def quiet(self) -> None:
        """Nothing rings here."""

    def try_bell(self) -> str:
        return "Rang."

    def pop_screen(self) -> AwaitComplete:
        return App.pop_screen(self)

    def on_mount(self) -> None:
        for theme in OWN:
            self.register_theme(theme)
        self.theme = "night"
        self.push_screen(self._first, self.results.append)


def live_kitchen(kitchen: Kitchen | None = None, keeper: Keeper | None = None) -> tuple[Live, HandClock]:
    """A bench with nothing on it."""
    clock = HandClock()
    return Live(clock, keeper or Nobody(), kitchen or Kitchen(name="Guesthouse")), clock


def seen(app: App[Any]) -> str:
    """The text that stands on the screen."""
    return "\n".join(strip.text.rstrip() for strip in drawn(app))


def drawn(app: App[Any]) -> list[Strip]:
    """The lines of the screen with their colours."""
    return app.screen._compositor.render_strips()
