"""The yardsticks: the least that Python, argparse and Textual take for what the program does."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.screen import Screen
from textual.widgets import Input, OptionList, Static

READY = "all is here"
PASS = ("-c", "pass")


def argparse_with(*libraries: str) -> tuple[str, str]:
    """A program that reads its arguments and prints its help, with what it would need besides."""
    return (
        "-c",
        (
            f"import {', '.join(('argparse', *libraries))}; p = argparse.ArgumentParser(description='A program.'); "
            "p.add_argument('name', nargs='*'); p.add_argument('--json', action='store_true'); p.parse_args(); "
            "print(p.format_help())"
        ),
    )


class Page(Screen[None]):
    """Forty lines and a field."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "dismiss", "back")]

    def compose(self) -> ComposeResult:
        yield Input()
        for number in range(40):
            yield Static(f"line {number}")


class Bare(App[None]):
    """A clock that ticks once a second, and a list."""

    BINDINGS: ClassVar[list[BindingType]] = [("o", "page", "page")]

    def compose(self) -> ComposeResult:
        yield Static(id="clock")
        yield Static(READY)
        yield OptionList(*(f"row {number}" for number in range(12)))

    def on_mount(self) -> None:
        self.tick()
        self.set_interval(1.0, self.tick)

    def tick(self) -> None:
        self.query_one("#clock", Static).update(f"{datetime.now():%H:%M:%S}", layout=False)  # noqa: DTZ005 - a clock

    def action_page(self) -> None:
        self.push_screen(Page())


if __name__ == "__main__":
    Bare().run()
