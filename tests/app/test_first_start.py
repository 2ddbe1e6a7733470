"""The four questions of a new kitchen, on the screen."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from proofbell.app.app import ProofbellApp
from proofbell.app.kitchen.first_start_screen import FirstStartScreen
from proofbell.app.kitchen.kitchen_screen import KitchenScreen
from proofbell.app.start.start_screen import StartScreen
from proofbell.app.widgets.rows import Rows
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.settings import setting_names
from proofbell.units import METRIC, Units, use
from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, put_on
from tests.support.settling import settled
from tests.support.stage import seen


@pytest.fixture(autouse=True)
def _american(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    for name in ("LC_ALL", "LC_MEASUREMENT", "LC_TIME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "en_US.UTF-8")
    yield
    use(METRIC)


def new_kitchen(path: Path) -> ProofbellApp:
    live, _ = empty_bench()
    return app_on(live, first_start=True, kitchen_file=path)


@pytest.mark.parametrize("size", [(80, 24), (120, 36), (40, 20)])
async def test_the_answers_are_written_and_hold_and_a_formula_is_chosen_next(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = tmp_path / "new" / "kitchen.toml"
    app = new_kitchen(path)
    async with app.run_test(size=size) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, FirstStartScreen)
        await pilot.press("right", *"72", "enter", "r")
        await pilot.pause()
        shown = seen(app)
        await pilot.press("n", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)

    assert "[fan]" in shown
    assert " gas\n" in shown, "every choice is seen, however narrow the terminal"
    assert "[72 °F]" in shown
    assert "Heard it? y yes, n no." in shown
    kitchen = load_kitchen(path)
    assert kitchen == app.live.kitchen
    assert (kitchen.oven.kind, kitchen.units, kitchen.bell.heard) == ("fan", Units("°F", "oz", "12 h"), False)
    assert kitchen.room_c == pytest.approx((72 - 32) / 1.8)


async def test_the_bell_passes_no_question_over_and_asks_for_its_own_answer(tmp_path: Path) -> None:
    app = new_kitchen(tmp_path / "kitchen.toml")
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.press("right", "r")
        rows = app.screen.query_one(Rows)
        assert rows.cursor == 0
        await pilot.press("enter", "enter", "enter", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, FirstStartScreen)
        assert "Heard it? y yes, n no." in seen(app)
        await pilot.press("escape")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
    assert load_kitchen(tmp_path / "kitchen.toml").oven.kind == "fan"


async def test_one_key_skips_the_rest_and_they_are_changed_on_the_kitchen_page_later(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    app = new_kitchen(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.press("escape")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        assert app.live.kitchen.units.temperature == "°F"
        await pilot.press("escape", "K")
        await pilot.pause()
        assert isinstance(app.screen, KitchenScreen)
        app.screen.query_one(Rows).cursor = setting_names().index("units.temperature")
        await pilot.press("enter")
        app.screen.query_one("#value").value = "C"
        await pilot.press("enter")
        await app.workers.wait_for_complete()
        await pilot.pause()

    assert load_kitchen(path).units == Units("°C", "oz", "12 h")


async def test_nobody_is_asked_beside_a_dough_or_where_the_kitchen_is_known(tmp_path: Path) -> None:
    live, _ = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live, first_start=True, kitchen_file=tmp_path / "kitchen.toml")
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert app.screen is app.bench
    known = app_on(empty_bench()[0], kitchen_file=tmp_path / "kitchen.toml")
    async with known.run_test(size=(80, 24)) as pilot:
        await known.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(known.screen, StartScreen)
    assert not (tmp_path / "kitchen.toml").exists()


async def test_a_kitchen_file_that_cannot_be_written_is_told_and_the_bench_goes_on(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    app = new_kitchen(tmp_path / "file" / "kitchen.toml")
    async with app.run_test(size=(120, 36)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.press("escape")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        await pilot.press("escape")
        await pilot.pause()
        assert "could not be kept" in seen(app)


@pytest.mark.parametrize("size", [(80, 24), (60, 18)])
async def test_after_the_bell_has_rung_the_keys_are_yes_and_no(tmp_path: Path, size: tuple[int, int]) -> None:
    app = new_kitchen(tmp_path / "kitchen.toml")
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await pilot.press("enter", "enter", "enter")
        await settled(pilot)
        before = seen(app).splitlines()[-1]
        await pilot.press("r")
        await settled(pilot)
        rung = seen(app).splitlines()[-1]
        await pilot.press("y")
        await settled(pilot)
        after = seen(app).splitlines()[-1]

    assert "enter next" in before
    assert "y yes   n no" in rung
    assert "enter" not in rung
    assert "enter next" in after
    assert "y yes" not in after
