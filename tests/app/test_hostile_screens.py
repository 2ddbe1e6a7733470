"""Every screen, full of text that would do harm, typed and pasted too: nothing harmful goes out, and nothing dies."""

from __future__ import annotations

import contextlib
import importlib
import inspect
import pkgutil
from collections.abc import AsyncIterator, Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

import proofbell.app
from proofbell.app.app import ProofbellApp
from proofbell.app.bench.bake_log import BakeLog
from proofbell.app.bench.bench_screen import BenchScreen
from proofbell.app.bench.far.far_view import FarView
from proofbell.app.bench.moments.moment_dialog import MomentDialog
from proofbell.app.bench.note_dialog import NoteDialog
from proofbell.app.bench.own_timers.timer_dialog import TimerDialog
from proofbell.app.bench.time_dialog import TimeDialog
from proofbell.app.edit.edit_screen import EditScreen
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.compare_screen import CompareScreen
from proofbell.app.journal.course_screen import CourseScreen
from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.journal.learned_screen import LearnedScreen
from proofbell.app.kitchen.first_start_screen import FirstStartScreen
from proofbell.app.kitchen.kitchen_screen import KitchenScreen
from proofbell.app.kitchen.probe_screen import ProbeScreen
from proofbell.app.plan.plan_screen import PlanScreen
from proofbell.app.plan.shop_screen import ShopScreen
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.recipe.recipe_screen import RecipeScreen
from proofbell.app.recipe.recipe_text import RecipeText
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.session.troubles import Trouble
from proofbell.app.start.formula_sources import FormulaSources
from proofbell.app.start.start_screen import StartScreen
from proofbell.app.terminal.textual_private import Palette
from proofbell.app.weigh.size_dialog import SizeDialog
from proofbell.app.weigh.weigh_screen import WeighScreen
from proofbell.app.weigh.why_screen import WhyScreen
from proofbell.app.widgets.confirm_dialog import ConfirmDialog
from proofbell.app.widgets.host import HostedModal, HostedScreen
from proofbell.app.widgets.key_row import KeysDialog
from proofbell.app.widgets.page import Page
from proofbell.app.widgets.trouble_dialog import TroubleDialog
from proofbell.bake.asking.timer import MOST_NAME, Timer, timer_name
from proofbell.bake.doubt import Outage
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.timetable import BakeTimes, Line
from proofbell.journal.storage import timers
from proofbell.journal.storage.store import Journal
from tests.support.hostile import FORMULAS, LETTERS, TEXTS, fill, harmful, hostile_formula, hostile_kitchen
from tests.support.settling import settled
from tests.support.stage import HandClock, seen
from tests.support.year import summaries, with_note

ON_SCREEN = {
    "harm": "\u202e\x1b\x9b\u200b\r\n" + TEXTS["turned and hidden"] + TEXTS["sequences"] + TEXTS["heaped"],
    "odd": "[/b]\\面🥖 خب " + TEXTS["other scripts"] + TEXTS["markup and length"],
}
"""All sorts at once, one of each first, where a narrow column shows it."""


@dataclass(frozen=True, slots=True)
class Scene:
    """The app, the text that it is full of, and the bakes that are over."""

    app: ProofbellApp
    pilot: Pilot[int]
    text: str
    done: tuple[str, str]


Opened = Callable[[Scene], object]
"""Opens one screen."""


def pushed(make: Callable[[Scene], Screen[str | None]]) -> Opened:
    """A screen that is opened by putting it on top."""
    return lambda scene: scene.app.push_screen(make(scene))


def asked(action: str) -> Opened:
    """A screen that the bench opens."""
    return lambda scene: scene.app.bench.run_action(action)


def _confirm(scene: Scene) -> object:
    dialog = scene.app.dialog(ConfirmDialog)
    dialog.ask(scene.text, scene.text, lambda: True)
    return scene.app.push_screen(dialog)


def _troubles(scene: Scene) -> object:
    async def write(path: Path) -> str:
        return f"Written: {path}{scene.text}"

    dialog = scene.app.dialog(TroubleDialog)
    dialog.show([Trouble(1, scene.text, scene.text)], write, scene.text)
    return scene.app.push_screen(dialog)


def _shop(scene: Scene) -> object:
    formula, now_us = hostile_formula(scene.text), scene.app.live.clock.stamp().wall_us
    out = weigh_out(formula, scene.app.live.kitchen)
    lines = tuple(Line("A", stage.name, stage.kind, now_us, now_us, 0, 0, 0, past=False) for stage in formula.stages)
    timed = (formula, out, scene.app.live.kitchen, BakeTimes("A", formula.name, lines, None))
    return scene.app.push_screen(ShopScreen(scene.app.live, [(formula, out)], [timed]))


def _outage(scene: Scene) -> object:
    now = scene.app.live.clock.stamp()
    dialog = scene.app.dialog(TimeDialog)
    # One that is settled already: a question that still stands is taken away when no dough is in doubt.
    dialog.ask(
        Outage(1, "boot-1", now.wall_us, 60, 60.0, 60.0, None, "off", 60.0, settled=True), (scene.text, "B"), now, None
    )
    return scene.app.push_screen(dialog)


def _edit(scene: Scene) -> Screen[str | None]:
    """The file with faults: its figures, its faults and its name are all full of it."""
    return EditScreen(
        scene.app.live, (scene.app.kitchen_file or Path()).with_name("faulty.toml"), None, in_editor=False
    )


def _course(scene: Scene) -> Screen[str | None]:
    """A year whose notes and whose formula's name are full of it."""
    year = [replace(each, formula=scene.text, figures=with_note(each.figures, scene.text)) for each in summaries()]
    return CourseScreen(scene.app.live, scene.text, year)


def _first_start(scene: Scene) -> Screen[str | None]:
    return FirstStartScreen(scene.app.live, (scene.app.kitchen_file or Path()).with_name("none.toml"), {})


def _recipe(scene: Scene) -> object:
    """Pasted into as well: its lines are no field."""
    text = f"500 g flour\n{scene.text}\n7 g dried yeast{scene.text}"
    page = RecipeScreen(scene.app.live, Path(scene.text[:20]), None, lambda *_: None)
    opened = scene.app.push_screen(page)
    page.call_after_refresh(lambda: page.query_one(RecipeText).post_message(events.Paste(text)))
    return opened


OPENERS: dict[type[Screen[Any]], Opened] = {
    BenchScreen: lambda _scene: None,
    BakeLog: asked("log"),
    BakeScreen: pushed(lambda scene: BakeScreen(scene.app.live, scene.done[0])),
    CompareScreen: pushed(lambda scene: CompareScreen(scene.app.live, *scene.done)),
    ConfirmDialog: _confirm,
    CourseScreen: pushed(_course),
    EditScreen: pushed(_edit),
    FarView: asked("far"),
    FirstStartScreen: pushed(_first_start),
    JournalScreen: asked("journal"),
    KeysDialog: lambda scene: scene.app.show_keys("bench"),
    Palette: lambda scene: scene.app.action_command_palette(),
    KitchenScreen: asked("kitchen"),
    LearnedScreen: pushed(lambda scene: LearnedScreen(scene.app.live)),
    MomentDialog: asked("moved"),
    NoteDialog: asked("note"),
    PlanScreen: asked("plan"),
    ProbeScreen: pushed(lambda scene: ProbeScreen(scene.app.live, scene.app.kitchen_file or Path("kitchen.toml"))),
    ReadingDialog: asked("reading"),
    RecipeScreen: _recipe,
    ShopScreen: _shop,
    SizeDialog: asked("size"),
    StartScreen: asked("start"),
    TimeDialog: _outage,
    TimerDialog: asked("timer"),
    TroubleDialog: _troubles,
    WeighScreen: asked("weigh_out"),
    WhyScreen: asked("why"),
}

KEYS: dict[type[Screen[Any]], str] = {
    BenchScreen: "j k z y escape o",
    BakeScreen: "right down right down right down right down right down s escape m l escape e escape w escape",
    BakeLog: "down down enter escape",
    CompareScreen: "d down down",
    CourseScreen: "down down end enter",
    EditScreen: "down enter x enter s escape escape",
    FirstStartScreen: "right down right down x down r escape",
    JournalScreen: "down s S f f t t p p o x space c escape v e escape B escape w escape",
    KeysDialog: "down",
    KitchenScreen: "down enter escape",
    PlanScreen: "a enter enter escape escape r escape",
    RecipeScreen: "x enter tab down down c escape y ctrl+s escape f1 escape escape n",
    StartScreen: "down down down y o tab escape enter",
    SizeDialog: "1 6 down up pagedown escape",
    TroubleDialog: "w enter escape w escape",
    WeighScreen: "space u f y escape",
    WhyScreen: "down tab",
}
"""What is pressed on a screen, to see its other sides."""


SHARED = (Page, HostedScreen, HostedModal, FormulaSources)


def every_screen() -> set[type[Screen[Any]]]:
    """All screens of the app, whichever file they are in; not what they have in common."""
    found = set()
    for module in pkgutil.walk_packages(proofbell.app.__path__, "proofbell.app."):
        for _, kind in inspect.getmembers(importlib.import_module(module.name), inspect.isclass):
            if issubclass(kind, Screen) and kind.__module__.startswith("proofbell.app") and kind not in SHARED:
                found.add(kind)
    return found


def test_every_screen_of_the_app_is_gone_through() -> None:
    assert every_screen() == set(OPENERS)


@contextlib.asynccontextmanager
async def full_of(text: str, folder: Path, *, letters: Sequence[str] = "ABC") -> AsyncIterator[Scene]:
    """The app on a journal, a kitchen and formula files that are full of it."""
    clock = HandClock()
    bakes = fill(folder / "journal.sqlite", text, clock.stamp(), letters=letters)
    clock.forward((bakes["live-A"][-1].stamp.boot_us - clock.stamp().boot_us) / 1e6 + 60)
    with Journal.open(folder / "journal.sqlite") as journal:
        for name, length_s in (("runs", 3600.0), ("rings", 0.0)):
            timers.keep(journal, Timer(name, timer_name(text)[:MOST_NAME], length_s, clock.stamp()))
    keeper = JournalKeeper(folder / "journal.sqlite")
    live = Live(clock, keeper, hostile_kitchen(text))
    app = ProofbellApp(live, files=formula_files(text, folder), kitchen_file=folder / "kitchen.toml")
    first, second, *_ = bakes
    try:
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            yield Scene(app, pilot, text, (first, second))
    finally:
        keeper.close()


def formula_files(text: str, folder: Path) -> list[Path]:
    """One that is sound, under a hostile name; one that is refused for its text; one that is none at all."""
    named = "".join(character for character in text[:60] if character not in "/\0\ud800")
    sound, faulty = folder / f"{named}.toml", folder / "faulty.toml"
    sound.write_bytes((FORMULAS / "harbour-knots.toml").read_bytes())
    whole = (FORMULAS / "quay-pan-loaf.toml").read_text(encoding="utf-8")
    spelt = "".join(f"\\U{ord(c):08x}" for c in text[:60] if c != "\ud800")
    faulty.write_text(f'"{spelt}" = "{spelt}"\nname = "{spelt}"\n' + whole, encoding="utf-8")
    return [sound, faulty, folder / f"{named}-missing.toml", folder]


async def look(scene: Scene, after: str) -> None:
    """Look at what is on the screen; say after what something harmful stood there."""
    scene.app.tick()
    await settled(scene.pilot)
    shown = seen(scene.app)
    assert not harmful(shown), f"{type(scene.app.screen).__name__} after {after}: {harmful(shown)[:5]}\n{shown!a}"


async def put_in(scene: Scene) -> None:
    """Type and paste the text into every field of the screen, and enter it."""
    top = scene.app.screen
    for field in list(top.query(Input)):
        if scene.app.screen is not top or not field.is_attached:
            return
        for above in field.ancestors_with_self:
            above.display = True
        top.set_focus(field)
        field.value = ""
        for character in scene.text[:12]:
            field.post_message(events.Key("x", character))
        await look(scene, f"typing into {field.id}")
        field.post_message(events.Paste(scene.text))
        await look(scene, f"pasting into {field.id}")
        field.value = scene.text
        await scene.pilot.press("home")
        await look(scene, f"{field.id} holding it")
        await scene.pilot.press("enter")
        await look(scene, f"entering it into {field.id}")


@pytest.mark.parametrize("sort", ["harm", "odd"])
@pytest.mark.parametrize("kind", OPENERS, ids=lambda kind: kind.__name__)
async def test_nothing_harmful_is_shown_and_nothing_dies(
    kind: type[Screen[Any]], sort: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)  # Where an export of such a name may be written.
    async with full_of(ON_SCREEN[sort], tmp_path) as scene:
        app = scene.app
        assert len(app.live.states) == 3
        await look(scene, "the start")
        while app.screen is not app.bench:
            app.pop_screen()
            await settled(scene.pilot)
        opening = OPENERS[kind](scene)
        if inspect.isawaitable(opening):
            await opening
        await look(scene, "opening")
        assert type(app.screen) is kind
        await put_in(scene)
        for key in KEYS.get(kind, "").split():
            await scene.pilot.press(key)
            await look(scene, key)
        assert app.return_code is None


SHOW_LETTERS = (BenchScreen, FarView, BakeLog, BakeScreen, CompareScreen, JournalScreen, PlanScreen, ReadingDialog,
                MomentDialog, NoteDialog, WeighScreen, WhyScreen)  # fmt: skip


@pytest.mark.parametrize("letters", LETTERS, ids=("obeyed", "hidden", "odd"))
async def test_letters_from_anywhere_do_no_harm_and_each_live_bake_gets_one_to_go_by(
    letters: tuple[str, str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with full_of("", tmp_path, letters=letters) as scene:
        app = scene.app
        assert sorted(state.letter for state in app.live.states) == ["A", "B", "C"]
        for kind in SHOW_LETTERS:
            while app.screen is not app.bench:
                app.pop_screen()
                await settled(scene.pilot)
            opening = OPENERS[kind](scene)
            if inspect.isawaitable(opening):
                await opening
            await look(scene, f"opening {kind.__name__}")
            assert "x1b" not in seen(app), "not even spelt out: a letter is one of twelve"
        told = " ".join(trouble.text for trouble in app.troubles.all)
        assert "its log names none" in told
        assert not harmful(told)
        assert app.return_code is None
