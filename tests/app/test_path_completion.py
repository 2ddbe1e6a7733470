"""Tab in the line for a file: as a shell completes, folders and formulas alone; no name can do harm."""

from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest
from textual.widgets import Input

from proofbell.app.fields import path_field
from proofbell.app.fields.path_completion import Completion, Entry, completed, listed, look
from proofbell.app.start.start_screen import StartScreen
from proofbell.errors import Failure
from tests.support.settling import settled
from tests.support.stage import FORMULAS, StageApp, live_kitchen, seen

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="home folders and names are otherwise there")

HERE = [
    Entry("pier-rye.toml", folder=False), Entry("pier-buns.toml", folder=False), Entry("pierrot", folder=True),
    Entry("notes.txt", folder=False), Entry(".mine", folder=True), Entry("~old.toml", folder=False),
]  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "becomes", "names"),
    [
        ("pi", "pier", ("pierrot/", "pier-buns.toml", "pier-rye.toml")),
        ("pier-", "pier-", ("pier-buns.toml", "pier-rye.toml")),
        ("pier-b", "pier-buns.toml", ()),
        ("a/b/pierr", "a/b/pierrot/", ()),
        ("~/pierr", "~/pierrot/", ()),
        ("n", "n", ()),
        (".", ".mine/", ()),
        ("./~", "./~old.toml", ()),
        ("~o", "./~old.toml", ()),
    ],
)
def test_a_path_is_completed_as_far_as_nothing_is_left_to_choose(
    typed: str, becomes: str, names: tuple[str, ...]
) -> None:
    assert completed(typed, HERE) == Completion(becomes, names)


def test_what_is_hidden_is_listed_only_when_its_dot_is_typed() -> None:
    assert ".mine/" not in completed("", HERE).names


def test_names_are_listed_harmless_and_counted_beyond_a_handful() -> None:
    hostile = ("\x1b[2J.toml", "a\nb.toml", "\u202egnp.toml", "\udcff.toml", "x" * 300)
    for shown in listed(hostile):
        assert shown.isprintable()
        assert len(shown) <= 40
    assert listed(tuple(f"{n}.toml" for n in range(30)))[-1] == "… and 6 more"


def test_the_disk_is_looked_at_and_what_cannot_be_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "buns").mkdir()
    (tmp_path / "bread.toml").touch()
    (tmp_path / "gone.toml").symlink_to(tmp_path / "nowhere")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)

    assert look("~") == Completion("~/")
    assert look("~/bu") == Completion("~/buns/")
    assert look("b").names == ("buns/", "bread.toml")
    assert look("g") == Completion("gone.toml")
    assert look("bread.toml") == Completion("bread.toml")
    for typed, words in {
        "~/none/": "No such file", "~nobody-of-that-name/": "no home folder is known", "bread.toml/": "Not a directory",
        "x": "No folder and no .toml file that begins with x here", "~/buns/": "No folder and no .toml file in ~/buns/",
    }.items():  # fmt: skip
        with pytest.raises(Failure) as told:
            look(typed)
        assert words in f"{told.value.message}"


async def test_tab_completes_on_the_screen_and_enter_right_behind_it_opens(tmp_path: Path) -> None:
    for name in ("pier-buns.toml", "pier-\x1b[2J.toml"):
        (tmp_path / name).write_bytes((FORMULAS / "harbour-knots.toml").read_bytes())
    live, _ = live_kitchen()
    app = StageApp(screen := StartScreen(live, [FORMULAS / "lamplighter-loaf.toml"]))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("o")
        await settled(pilot)
        line = screen.query_one("#path", Input)
        line.value = f"{tmp_path}/p"
        await pilot.press("tab")
        await settled(pilot)
        choice = seen(app)
        assert line.value == f"{tmp_path}/pier-"
        await pilot.press("b", "tab", "enter")
        await settled(pilot)
        opened = seen(app)

    assert "tab complete" in choice
    assert "pier-buns.toml" in choice
    assert "\\x1b[2J" in choice
    assert "\x1b" not in choice
    assert "▸ Harbour knots" in opened


async def test_a_folder_that_does_not_answer_is_told_and_typing_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    answers = threading.Event()

    def silent(typed: str, _go_on: object) -> Completion:
        answers.wait(30)
        return Completion(f"{typed}late/")

    monkeypatch.setattr(path_field, "look", silent)
    monkeypatch.setattr(path_field, "PATIENCE_S", 0.01)
    live, _ = live_kitchen()
    app = StageApp(screen := StartScreen(live, [FORMULAS / "lamplighter-loaf.toml"]))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("o", *"/share/", "tab")
        await settled(pilot)
        told = seen(app)
        answers.set()
        await pilot.press("x")
        await settled(pilot)
        typed = screen.query_one("#path", Input).value

    assert "does not answer" in told
    assert typed == "/share/x"
