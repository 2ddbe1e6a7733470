"""The facts of the kitchen on screen, and the check of the probe."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.app.stage import StageApp, live_kitchen, seen

from proofbell.app.kitchen_screen import KitchenScreen
from proofbell.app.probe_screen import ProbeScreen
from proofbell.app.rows import Rows
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Kitchen
from proofbell.kitchen.settings import setting_names


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
