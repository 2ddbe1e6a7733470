"""Checking the probe on screen: what it shows in ice and in boiling water, and the correction that follows."""

from __future__ import annotations

from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Button, Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.field import Field
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import wall
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.prose import Prose
from proofbell.dough.probe import Correction, check_probe, expected_boiling_c
from proofbell.errors import Failure
from proofbell.kitchen.telling import correction_settings, errors_told, good_words
from proofbell.quantities import Dimension, QuantityError
from proofbell.words import difference, height, temperature

HOW = """Ice: fill a glass with crushed ice, just cover it with cold water, stir, and wait three minutes. Hold the \
tip in the middle, away from the glass, until the number stands still.
Boiling: a rolling boil, the tip in the water and not on the pan. Steam and boiling water burn: hands and face away.
Type the bare numbers that the probe shows; leave out a check that you did not do."""

AS_MEASURED = "as measured here, not brought to sea level"


class ProbeScreen(Page):
    """Two numbers, or one. Dismisses with a word on what was written, or None."""

    PAGE = "probe"
    CSS_PATH = "probe_screen.tcss"
    AUTO_FOCUS = "#ice"

    def __init__(self, live: Live, path: Path) -> None:
        super().__init__()
        self.live = live
        self._path = path
        self._found: Correction | None = None

    def heading(self) -> Content:
        checked = self.live.kitchen.probe.checked
        return titled("Check the probe", f"last checked {checked}" if checked else "not checked yet")

    def body(self) -> ComposeResult:
        kitchen = self.live.kitchen
        yield Static(own(HOW), id="how")
        yield Field("In ice", id="ice", width=10, note=f"should show {temperature(0.0)}")
        yield Field("In boiling", id="boil", width=10)
        yield Field("Height", id="height", width=10, held=height(kitchen.altitude_m), note="above the sea")
        pressure = "" if kitchen.pressure_hpa is None else f"{kitchen.pressure_hpa:.0f} hPa"
        yield Field("or pressure", id="air", width=10, held=pressure, note=AS_MEASURED)
        yield Prose(id="follows")
        yield Button(own("[ Write the correction into the kitchen file ]"), id="write", compact=True, disabled=True)

    def on_mount(self) -> None:
        self._work_out()

    @on(Input.Changed)
    def _typed(self) -> None:
        self._work_out()

    @on(Input.Submitted)
    def _entered(self) -> None:
        self.focus_next()

    def _work_out(self) -> None:
        self._found = None
        words: list[Content] = []
        try:
            expected_c = self._expected_c()
            self.query_one("#boil-field", Field).say(f"should show {temperature(expected_c)}")
            ice_c, boil_c = (self._read(name, Dimension.TEMPERATURE, -50.0, 150.0) for name in ("ice", "boil"))
            if ice_c is not None or boil_c is not None:
                self._found = check_probe(ice_c=ice_c, boil_c=boil_c, expected_c=expected_c)
                words = [own(line) for line in _words(self._found)]
        except QuantityError:
            pass  # Its field has already said what is wrong.
        except Failure as failure:
            words = [outside(f"✗ {failure.message} {failure.remedy}", most=500).stylize("bold $text-error")]
        self.query_one("#follows", Prose).say(words)
        self.query_one("#write", Button).disabled = self._found is None

    def _expected_c(self) -> float:
        height_m = self._read("height", Dimension.LENGTH, -450.0, 6000.0)
        pressure = self._read("air", Dimension.PRESSURE, 450.0, 1100.0)
        kitchen = self.live.kitchen
        by_height = pressure is None and (height_m is not None or kitchen.pressure_hpa is None)
        typed = "above the sea" if height_m is None else f"instead of {height(kitchen.altitude_m)}"
        self.query_one("#height-field", Field).say(typed if by_height else "not used: the pressure counts")
        unused = by_height and kitchen.pressure_hpa is not None
        self.query_one("#air-field", Field).say("not used: the height counts" if unused else AS_MEASURED)
        if by_height:
            return expected_boiling_c(altitude_m=kitchen.altitude_m if height_m is None else height_m)
        return expected_boiling_c(altitude_m=kitchen.altitude_m, pressure=pressure or kitchen.pressure_hpa)

    def _read(self, name: str, dimension: Dimension, least: float, most: float) -> float | None:
        return self.query_one(f"#{name}-field", Field).quantity(dimension, least, most)

    @on(Button.Pressed, "#write")
    async def _write(self) -> None:
        await self.action_write()

    async def action_write(self) -> None:
        if self._found is None:
            self.answer("There is no correction to write yet: type what the probe shows.", wrong=True)
            return
        if self.live.rehearsal:
            self.answer("A rehearsal leaves the kitchen file alone.", wrong=True)
            return
        now = self.live.clock.stamp()
        today = f"{wall(now.wall_us, now):%Y-%m-%d}"
        try:
            await self.live.kitchen_owner.write(self._path, correction_settings(self._found, today))
        except Failure as failure:
            self.refuse(failure)
            return
        self.dismiss("The probe's correction is written into the kitchen file.")


def _words(found: Correction) -> list[str]:
    lines = errors_told(found)
    slope = "" if found.slope == 1 else f" × {found.slope:.4f}"
    sign = "−" if found.offset_k < 0 else "+"
    lines.append(f"So true = reading{slope} {sign} {difference(abs(found.offset_k), 2)}.")
    lines.append(
        f"That is more than the {good_words()} that food law allows: write the correction."
        if found.needed
        else f"That is within the {good_words()} that food law allows."
    )
    return lines
