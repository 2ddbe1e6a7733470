"""The facts of the kitchen on screen, and the check of the probe."""

from __future__ import annotations

from pathlib import Path

import pytest

from proofbell.app.fields.typed import quantity
from proofbell.app.kitchen.kitchen_screen import KitchenScreen
from proofbell.app.kitchen.probe_screen import ProbeScreen
from proofbell.app.widgets.rows import Rows
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Kitchen
from proofbell.kitchen.settings import setting_names
from proofbell.quantities import Dimension
from tests.support.stage import StageApp, live_kitchen, seen


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_a_fact_is_changed_in_the_file_and_holds_at_once(tmp_path: Path, size: tuple[int, int]) -> None:
    path = tmp_path / "kitchen.toml"
    path.write_text('# The pier kitchen\nname = "Pier [/kitchen]"\n', encoding="utf-8")
    live, _ = live_kitchen(load_kitchen(path))
    app = StageApp(KitchenScreen(live, path))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        app.screen.query_one(Rows).cursor = setting_names().index("room")
        await pilot.press("enter", *"19,5", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        shown = seen(app)

    assert live.kitchen.room_c == 19.5
    assert path.read_text(encoding="utf-8").startswith("# The pier kitchen")
    assert "Pier [/kitchen]" in shown
    assert "room is written" in shown


async def test_a_value_that_does_not_fit_is_answered_beside_the_field_and_the_file_stays(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    live, _ = live_kitchen(Kitchen())
    app = StageApp(KitchenScreen(live, path))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        app.screen.query_one(Rows).cursor = setting_names().index("oven.kind")
        await pilot.press("enter", *"steam", "enter")
        await pilot.pause()
        shown = seen(app)
        await pilot.press("escape")
        await pilot.pause()

    assert "✗" in shown
    assert not path.exists()


async def test_both_checks_make_a_line_through_both_points_and_write_it(tmp_path: Path) -> None:
    """Ice water is at 0 °C and water boils at 99.97 °C at 1013.25 hPa (IAPWS-IF97)."""
    path = tmp_path / "kitchen.toml"
    live, _ = live_kitchen(Kitchen())
    app = StageApp(ProbeScreen(live, path))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"1.0", "tab", *"98.0")
        await pilot.pause()
        shown = seen(app)
        await pilot.press("ctrl+s")
        await app.workers.wait_for_complete()
        await pilot.pause()

    probe = load_kitchen(path).probe
    assert "should show 100.0 °C" in shown
    assert probe.offset_k + probe.slope * 1.0 == pytest.approx(0.0, abs=0.01)
    assert probe.offset_k + probe.slope * 98.0 == pytest.approx(99.97, abs=0.02)
    assert probe.checked == "2026-03-14"
    assert live.kitchen.probe == probe


async def test_a_probe_that_is_too_far_off_is_faulty_and_nothing_is_written(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    live, _ = live_kitchen(Kitchen())
    app = StageApp(ProbeScreen(live, path))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"7", "ctrl+s")
        await pilot.pause()
        shown = seen(app)

    assert "faulty" in shown
    assert "no correction to write" in shown
    assert not path.exists()


async def test_of_height_and_pressure_the_one_that_counts_is_said(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    live, _ = live_kitchen()
    app = StageApp(ProbeScreen(live, path))
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.pause()
        await pilot.press("tab", "tab", *"1500")
        await pilot.pause()
        by_height = seen(app)
        await pilot.press("tab", *"845")
        await pilot.pause()
        by_pressure = seen(app)
        await pilot.press(*["backspace"] * 3)
        await pilot.pause()
        again = seen(app)

    # ICAO standard atmosphere: 845.6 hPa at 1500 m; IAPWS-IF97: water boils there at 95.0 °C (tests of the probe).
    assert "should show 95.0 °C" in by_height
    assert "instead of 0 m" in by_height
    assert "not used: the pressure counts" in by_pressure
    assert "should show 95.0 °C" in by_pressure
    assert "instead of 0 m" in again


@pytest.mark.parametrize("typed", ["77F", "77 f", "77°F", "77 °F", "25", "25 C", "25c"])
def test_a_temperature_is_read_without_the_sign_that_few_keyboards_have(typed: str) -> None:
    # NIST Special Publication 811 (2008), B.8: t/°C = (t/°F − 32)/1.8.
    assert quantity(typed, Dimension.TEMPERATURE, -20.0, 60.0) == pytest.approx(25.0)


@pytest.mark.parametrize("size", [(80, 50), (120, 50)])
async def test_every_key_can_be_read_whole(tmp_path: Path, size: tuple[int, int]) -> None:
    live, _ = live_kitchen()
    app = StageApp(KitchenScreen(live, tmp_path / "kitchen.toml"))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        shown = seen(app)

    assert [name for name in setting_names() if f" {name} " not in shown] == []
