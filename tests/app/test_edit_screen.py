"""A formula's file in the person's editor, here a script that writes a change, and its figures changed one by one."""

from __future__ import annotations

import shlex
import stat
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from textual.pilot import Pilot

from proofbell.app.edit.edit_screen import EditScreen
from proofbell.app.session.formulas.saving import replace_file
from proofbell.app.start.start_screen import StartScreen
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.errors import Failure
from proofbell.formula.editing.figures import figures
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen
from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, put_on
from tests.support.settling import settle, settled, to_bench
from tests.support.stage import FORMULAS, StageApp, live_kitchen, seen

HOUSE = FORMULAS / "harbour-knots.toml"
WIDE = (100, 36)
EDITS = """
import pathlib, sys
path = pathlib.Path(sys.argv[3])
path.write_bytes(path.read_bytes().replace(sys.argv[1].encode(), sys.argv[2].encode()))
"""

Editor = Callable[[str, str], None]


@pytest.fixture
def editor(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Editor:
    """Sets an editor that replaces one text by another; its command has a blank in a word, as paths may."""
    script = tmp_path / "my editor.py"
    script.write_text(EDITS, encoding="utf-8")

    def replaces(before: str, after: str) -> None:
        monkeypatch.setenv("VISUAL", shlex.join([sys.executable, str(script), before, after]))

    monkeypatch.setenv("EDITOR", "never-asked-while-visual-is-set")
    return replaces


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A formula of one's own."""
    path = tmp_path / "formulas" / "knots.toml"
    path.parent.mkdir()
    path.write_bytes(HOUSE.read_bytes().replace(b"Harbour knots", b"My knots"))
    return path


def chooser(path: Path, tmp_path: Path) -> StageApp:
    live, _ = live_kitchen()
    app = StageApp(StartScreen(live, [path]))
    app.kitchen_file = tmp_path / "kitchen.toml"
    return app


def form(path: Path) -> tuple[StageApp, EditScreen]:
    page = EditScreen(live_kitchen()[0], path, None, in_editor=False)
    return StageApp(page), page


async def change(pilot: Pilot[int], path: Path, owner: str, words: str, typed: str) -> None:
    """Go to a figure of the file and type another one."""
    listed = figures(path.read_bytes())
    at = next(index for index, one in enumerate(listed) if (one.owner, one.words) == (owner, words))
    await pilot.press("home", *["down"] * at, "enter", *typed, "enter")
    await settled(pilot)


async def test_a_sound_change_made_in_the_editor_is_in_the_list_at_once(
    tmp_path: Path, own: Path, editor: Editor
) -> None:
    app = chooser(own, tmp_path)
    editor("pieces = 12", "pieces = 18")
    async with app.run_test(size=WIDE) as pilot:
        await settled(pilot)
        await pilot.press("e")
        await settled(pilot)

        assert isinstance(app.screen, StartScreen)
        assert "18 × 75 g" in seen(app)
        assert "taken as it is now" in seen(app)


async def test_a_broken_change_stands_beside_its_line_and_is_put_right_in_the_editor_again(
    tmp_path: Path, own: Path, editor: Editor
) -> None:
    app = chooser(own, tmp_path)
    editor('time    = "70 min"', 'time    = "70 mins"')
    async with app.run_test(size=WIDE) as pilot:
        await settled(pilot)
        await pilot.press("e")
        await settled(pilot)
        broken = seen(app)
        await pilot.press("s")
        await settled(pilot)
        refused = seen(app)
        editor('"70 mins"', '"75 min"')
        await pilot.press("e")
        await settled(pilot)
        checked = seen(app)
        await pilot.press("s")
        await settled(pilot)

        assert isinstance(app.screen, StartScreen)
    line = 1 + HOUSE.read_bytes().split(b"\n").index(b'time    = "70 min"')
    assert f'line {line}, stage 3 "First proof", time' in broken
    assert f'{line}  time    = ▸"70 mins"◂' in broken
    assert 'Write "70 min".' in broken
    assert "▸ First proof" in broken, "the cursor goes to the figure at fault"
    assert "correct what is marked" in refused
    assert "no faults" in checked


async def test_a_house_formula_is_copied_and_only_the_copy_is_edited(tmp_path: Path, editor: Editor) -> None:
    app = chooser(HOUSE, tmp_path)
    before = HOUSE.read_bytes()
    copy = tmp_path / "formulas" / HOUSE.name
    editor("pieces = 12", "pieces = 18")
    async with app.run_test(size=WIDE) as pilot:
        await settled(pilot)
        await pilot.press("e")
        await settled(pilot)
        asked = seen(app)
        await pilot.press("n")
        await settled(pilot)
        assert isinstance(app.screen, StartScreen)
        assert not copy.exists()

        await pilot.press("e")
        await settled(pilot)
        await pilot.press("y")
        await settled(pilot)
        shown = seen(app)

    assert "came with Proofbell" in asked
    assert copy.read_bytes() == before.replace(b"pieces = 12", b"pieces = 18") != before
    assert HOUSE.read_bytes() == before
    assert "Your own" in shown
    assert "18 × 75 g" in shown


@pytest.mark.parametrize(
    ("command", "said"),
    [
        ("", 'export EDITOR="nano"'),
        ("no-such-editor-here", "could not be started"),
        ("'vi", "is not closed"),
        (shlex.join([sys.executable, "-c", "raise SystemExit(3)"]), "ended with status 3"),
        (shlex.join([sys.executable, "-c", "import os; os.kill(os.getpid(), 9)"]), "was ended (SIGKILL)"),
    ],
)
async def test_whatever_becomes_of_the_editor_the_page_says_so_and_figures_can_be_changed(
    own: Path, monkeypatch: pytest.MonkeyPatch, command: str, said: str
) -> None:
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.setenv("EDITOR", command)
    page = EditScreen(live_kitchen()[0], own, None, in_editor=True)
    app = StageApp(page)
    async with app.run_test(size=WIDE) as pilot:
        await settled(pilot)
        told = " ".join(seen(app).split())
        await change(pilot, own, "salt", "percent", "2")
        await pilot.press("s")
        await settled(pilot)

    assert said in told
    assert app.results == [str(own)]
    assert b"percent = 2\n" in own.read_bytes()


async def test_several_figures_are_written_at_once_and_only_when_they_agree(own: Path) -> None:
    app, _ = form(own)
    before = own.read_bytes()
    own.chmod(0o640)
    async with app.run_test(size=WIDE) as pilot:
        await settled(pilot)
        await change(pilot, own, "First proof", "time", "110")
        beside = seen(app)
        await pilot.press("s")
        await settled(pilot)
        assert own.read_bytes() == before
        await change(pilot, own, "First proof", "stretch, most", "2h")
        await pilot.press("s")
        await settled(pilot)

    assert "✗ line" in beside
    assert 'stretch = ▸["50 min", "100 min"]◂' in beside
    expected = before.replace(b'time    = "70 min"', b'time    = "110 min"', 1).replace(b'"100 min"]', b'"2 h"]', 1)
    assert own.read_bytes() == expected
    assert stat.S_IMODE(own.stat().st_mode) == 0o640
    assert [path.name for path in own.parent.iterdir()] == [own.name]


async def test_what_is_no_quantity_is_answered_below_the_line(own: Path) -> None:
    app, _ = form(own)
    async with app.run_test(size=WIDE) as pilot:
        await settled(pilot)
        await change(pilot, own, "First proof", "time", "soon")
        assert "Write a number and a unit" in seen(app)


async def test_what_is_not_written_is_asked_about_before_it_is_lost(own: Path) -> None:
    app, _ = form(own)
    before = own.read_bytes()
    async with app.run_test(size=WIDE) as pilot:
        await settled(pilot)
        await change(pilot, own, "salt", "percent", "2")
        await pilot.press("escape", "n")
        await settled(pilot)
        assert not app.results
        await pilot.press("escape", "y")
        await settled(pilot)

    assert app.results == [None]
    assert own.read_bytes() == before


async def test_what_another_program_wrote_meanwhile_is_never_written_over(own: Path) -> None:
    app, _ = form(own)
    async with app.run_test(size=WIDE) as pilot:
        await settled(pilot)
        await change(pilot, own, "salt", "percent", "2")
        other = own.read_bytes() + b"# from the other window\n"
        own.write_bytes(other)
        await pilot.press("s")
        await settled(pilot)
        assert "changed by another program" in seen(app)
        assert not app.results

    assert own.read_bytes() == other
    assert [path.name for path in own.parent.iterdir()] == [own.name]


def test_a_link_stays_a_link(tmp_path: Path, own: Path) -> None:
    link = tmp_path / "linked.toml"
    link.symlink_to(own)
    replace_file(link, own.read_bytes(), b"name = 1\n")

    assert link.is_symlink()
    assert own.read_bytes() == b"name = 1\n"
    with pytest.raises(Failure, match="cannot be"):
        replace_file(tmp_path / "gone.toml", b"", b"")


async def test_a_running_bake_says_once_that_its_file_has_changed_and_keeps_its_text(tmp_path: Path) -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS)
    own = tmp_path / "formulas" / HOUSE.name
    own.parent.mkdir()
    own.write_bytes(HOUSE.read_bytes())
    app = app_on(live, kitchen_file=tmp_path / "kitchen.toml", real=clock)

    async def later(pilot: Pilot[int]) -> str:
        clock.forward(30)
        app.tick()
        await app.upkeep.looked_round()
        return await settle(pilot, app)

    async with app.run_test(size=WIDE) as pilot:
        await to_bench(pilot, app)
        assert "file changed" not in await later(pilot)
        own.write_bytes(own.read_bytes().replace(b"pieces = 12", b"pieces = 18"))
        assert "A: formula file changed; this bake keeps its text" in await later(pilot)
        assert "file changed" not in await later(pilot)
        await pilot.press("w")
        await settle(pilot, app)
        weighing = " ".join(seen(app).split())
        await pilot.press("escape")
        own.unlink()  # The house formula holds again, and it is as it was.
        assert "changed" not in await later(pilot)
        await pilot.press("w")
        assert "changed since" not in await settle(pilot, app)

    assert "file has changed since. This bake keeps its own text; the next bake takes the new one." in weighing
    assert "12 × 75 g" in weighing


async def test_a_comment_that_gives_a_figure_is_said_to_be_doubtful_once_the_figure_beside_it_is_another(
    own: Path,
) -> None:
    text = own.read_bytes().replace(b"pieces = 12", b"# 500 g of flour make 12\npieces = 12  # one tray")
    own.write_bytes(text)
    app, _ = form(own)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        before = seen(app)
        await change(pilot, own, "batch", "pieces", "18")
        after = seen(app)
        await change(pilot, own, "batch", "pieces", "12")
        again = seen(app)

    line = 1 + text.split(b"\n").index(b"pieces = 12  # one tray")
    assert "may no longer hold" not in before + again
    assert f"! Line {line}: the comment may no longer hold: 500 g of flour make 12" in after
    assert "one tray" not in after
    assert "Not written yet" in after


@pytest.mark.parametrize("size", [(80, 24), (60, 18)])
async def test_another_amount_leaves_the_others_and_says_what_becomes_of_the_pieces(
    own: Path, size: tuple[int, int]
) -> None:
    # By hand: 194.1 % with 1.8 % of salt are 75 g a piece; 194.8 % are 75.27 g, 193.3 % are 74.69 g.
    app, _ = form(own)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        first = seen(app)
        await change(pilot, own, "salt", "percent", "2.5")
        more = seen(app)
        await change(pilot, own, "salt", "percent", "1")
        less = seen(app)
        await change(pilot, own, "First proof", "time", "80")
        time = seen(app)

    assert "To take out a whole ingredient or stage: e, in the editor." in " ".join(first.split())
    assert "12 pieces of 75.3 g, before 75 g." in " ".join(more.split())
    assert "12 pieces of 74.7 g, before 75.3 g." in " ".join(less.split())
    assert "pieces of" not in time.partition("Not written yet")[0].rpartition("\n")[2]


async def test_where_the_flour_says_the_size_the_other_amounts_stay(own: Path) -> None:
    own.write_bytes(
        own.read_bytes()
        .replace(b'pieces = 12\npiece  = "75 g"', b'flour = "500 g"')
        .replace(b'each     = "2 g"', b"percent = 5")
    )
    assert b'flour = "500 g"' in own.read_bytes()
    app, _ = form(own)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await change(pilot, own, "salt", "percent", "2.5")
        assert "other amounts" not in seen(app)
        assert "of dough, before" in seen(app)
        assert "Not written yet" in seen(app)


async def test_a_weight_typed_for_a_share_is_weighed_and_the_pieces_follow(own: Path) -> None:
    # By hand: 918.4 g of dough (12 × 75 g, 2 % lost) hold 473.2 g of flour; with 480 g it is 925.2 g, 75.6 g each.
    app, _ = form(own)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await change(pilot, own, "strong white flour", "percent", "480 g")
        shown = " ".join(seen(app).split())
        await pilot.press("s")
        await settled(pilot)

    assert "12 pieces of 75.6 g, before 75 g." in shown
    out = weigh_out(load(own.read_bytes(), "own"), Kitchen())
    assert out.lines[0].grams == 480
    was = {line.name: line.grams for line in weigh_out(load(HOUSE.read_bytes(), "house"), Kitchen()).lines[1:]}
    assert {line.name: line.grams for line in out.lines[1:]} == was


async def test_a_tin_takes_what_it_takes_and_that_is_said(own: Path) -> None:
    text = own.read_bytes().replace(b'pieces = 12\npiece  = "75 g"', b'tin = "1800 ml"')
    own.write_bytes(text)
    app, _ = form(own)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await change(pilot, own, "salt", "percent", "2.9")
        assert "The tin takes the dough that it takes: the other amounts shrink." in " ".join(seen(app).split())
