"""Every command and every export, full of text that would do harm: nothing harmful goes out, and nothing dies."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import icalendar
import pytest

from proofbell.bake.rehearse import rehearse
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import timetable
from proofbell.cli import COMMANDS, main
from proofbell.cli.journal import FORMATS
from proofbell.cli.kitchen import as_text as kitchen_text
from proofbell.cli.printed.plan_calendar import as_calendar
from proofbell.cli.printed.plan_text import as_plain as plan_plain
from proofbell.cli.printed.plan_text import as_text as plan_text
from proofbell.cli.printed.rehearse_text import as_plain as rehearse_plain
from proofbell.cli.printed.rehearse_text import as_text as rehearse_text
from proofbell.cli.printed.weigh_text import as_text as weigh_text
from proofbell.cli.streams import Output
from proofbell.cli.weigh import as_plain as weigh_plain
from proofbell.json_text import json_text
from proofbell.kitchen.model import Kitchen
from proofbell.planner.search import plan
from proofbell.sheet.sheet import sheet_of
from proofbell.sheet.sheet_page import sheet_page
from proofbell.sheet.sheet_text import sheet_text
from tests.support.hostile import FORMULAS, LETTERS, TEXTS, fill, harmful, hostile_formula, hostile_kitchen

START = Stamp(1_773_477_000_000_000, 5_000_000_000, "boot-1", 60)
Captured = pytest.CaptureFixture[str]
Run = Callable[..., str]


@pytest.fixture(params=TEXTS)
def text(request: pytest.FixtureRequest) -> str:
    """One sort after the other."""
    return TEXTS[request.param]


@pytest.fixture
def run(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> Run:
    """Runs a command on a journal that is full of it; gives what it printed, which is harmless."""
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.sqlite"))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.delenv("PROOFBELL_TRACE", raising=False)
    monkeypatch.chdir(tmp_path)  # Where a calendar of such a name may be written.
    fill(tmp_path / "journal.sqlite", text, START)

    def ran(*arguments: str) -> str:
        status = main(list(arguments))
        told = capsys.readouterr()
        for shown in (told.out, told.err):
            assert not harmful(shown), f"{arguments!a}: {harmful(shown)[:5]}\n{shown!a}"
            assert "internal error" not in shown, (arguments, shown)
        assert status in (0, 1, 2)
        return told.out

    return ran


def closed(text: str) -> list[str]:
    """The bakes that are over."""
    named = text[:40].replace("\ud800", "")
    return [f"{named}-done-1", f"{named}-done-2"]


def test_the_journals_commands_on_a_journal_full_of_it(run: Run, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    first, second = closed(text)
    asked: list[Sequence[str]] = [
        [], ["show", first], ["show", "live-A"], ["compare", first, second], ["compare", first, "live-B"], ["verify"],
        ["learned"],
    ]  # fmt: skip
    for words in asked:
        assert run("journal", *words)
        assert json.loads(run("journal", *words, "--json"))
    for found in (["--text", text], ["--formula", text], ["show", text], ["--since", text], ["--score", text]):
        run("journal", *found)
    run("journal", "formula", first)
    monkeypatch.setattr(Output, "isatty", lambda _: True)  # A pipe gets every byte as it is.
    monkeypatch.setattr("proofbell.cli.of_journal.formula.formula_bytes", lambda *_: text.encode(errors="replace"))
    assert run("journal", "formula", first)
    # The document holds the very words; only its letters are spelt.
    assert json.loads(run("journal", "show", "live-A", "--json"))["notes"][0]["text"] == text


def test_every_export_of_a_journal_full_of_it(run: Run, text: str, tmp_path: Path) -> None:
    first, _ = closed(text)
    for form in FORMATS:
        folder = tmp_path / form
        printed = run("journal", "export", first, "--format", form)
        run("journal", "export", "--format", form, "--folder", str(folder))
        written = [path.read_bytes().decode("utf-8") for path in sorted(folder.iterdir())]
        assert len(written) == 5
        for whole in (printed, *written):
            assert not harmful(whole.removeprefix("\ufeff")), f"{form}: {harmful(whole)[:5]}"
            readable(form, whole)
        assert all(path.name.isascii() and path.name.isprintable() for path in folder.iterdir())


def readable(form: str, whole: str) -> None:
    """See that others can read it."""
    if form == "json":
        assert json.loads(whole)
    elif form == "svg":
        assert ET.fromstring(whole).tag.endswith("svg")  # noqa: S314 - our own file
    elif form == "csv":
        lines = list(csv.reader(io.StringIO(whole)))
        assert len({len(line) for line in lines if line}) == 1


def test_a_reading_for_a_bake_full_of_it(run: Run, text: str) -> None:
    assert run("read", "25.0", "--bake", "A")
    assert json.loads(run("read", "25.2", "--bake", "B", "--json"))
    for words in ([text], ["25"], ["25", "--bake", text], ["25", "--bake", "C", "--what", text]):
        run("read", *words)


def test_formulas_and_kitchens_that_spell_it(run: Run, text: str, tmp_path: Path) -> None:
    named = "".join(character for character in text[:60] if character not in "/\0\ud800")
    spelt = "".join(f"\\U{ord(character):08x}" for character in text if character != "\ud800")
    raw = text.replace("\ud800", "").replace("\0", "")
    whole = (FORMULAS / "harbour-knots.toml").read_text(encoding="utf-8")
    for number, name in enumerate((spelt, raw)):
        file = tmp_path / f"{named}{number}.toml"
        file.write_text(whole.replace('"Harbour knots"', f'"{name}"').replace('"First proof"', f'"{name}"'), "utf-8")
        for command in (["check"], ["weigh"], ["plan"], ["rehearse", "--print"]):
            run(*command, str(file))
            run(*[word for word in command if word != "--print"], str(file), "--json")
        (tmp_path / "kitchen.toml").write_text(f'name = "{name}"\n["{name}"]\n[keys]\n"{name}" = "{name}"\n', "utf-8")
        for words in (
            ["kitchen"],
            ["kitchen", "--json"],
            ["weigh", "harbour-knots"],
            ["kitchen", "set", "room", "20 °C"],
        ):
            run(*words)
    sound = tmp_path / f"{named}.toml"
    sound.write_text(whole, encoding="utf-8")
    (tmp_path / "kitchen.toml").unlink()
    assert run("check", str(sound))
    assert json.loads(run("check", str(sound), "--json"))["files"][0]["file"] == str(sound)


def test_words_full_of_it_given_to_every_command(run: Run, text: str) -> None:
    for command in ("", *COMMANDS):
        for words in ([text], [text, text], [f"--{text}"]):
            run(*([command] if command else []), *words)
    flags = {
        "weigh": ("--pieces", "--piece", "--dough", "--flour", "--have", "--loaf", "--tin", "--room", "--yeast"),
        "plan": ("--ready", "--start", "--ics"),
        "rehearse": ("--reading", "--room", "--pieces", "--speed"),
    }
    for command, names in flags.items():
        for name in names:
            run(command, "harbour-knots", name, text)
            run(command, "harbour-knots", name, f"{text}: {text} = {text}", "--json")
    for words in (
        ["set", text, text],
        ["set", "name", text],
        ["set", f"keys.{text}", "x"],
        ["probe-check", "--ice", text],
    ):
        run("kitchen", *words)


def test_what_the_commands_say_of_a_formula_and_a_kitchen_that_no_file_could_hold(text: str) -> None:
    formula, kitchen = hostile_formula(text), hostile_kitchen(text)
    weighed = weigh_out(formula, kitchen)
    rehearsed = [rehearse(formula, weighed.batch, kitchen, start=Stamp(0, 0, "rehearsal"), version="0")]
    problem = problem_of(
        [Wish("A", formula), Wish("B", replace(formula, name=formula.name + "2"))], Kitchen(), START.wall_us
    )
    planned = plan(problem, 50)
    table = timetable(planned, START.wall_us)
    written = as_calendar(table, kitchen, START.wall_us)
    sheet = sheet_of(planned, table, START.wall_us, kitchen, dict.fromkeys("AB", (formula, weighed)))
    told = {
        "kitchen": kitchen_text(kitchen),
        "weigh": weigh_text(weighed, (text,), why=True),
        "weigh --json": json_text(weigh_plain(weighed)),
        "rehearse": rehearse_text(rehearsed),
        "rehearse --json": json_text(rehearse_plain(rehearsed)),
        "plan": plan_text(planned, table, START.wall_us, kitchen, START, [text]),
        "plan --json": json_text(
            plan_plain(planned, table, START.wall_us, kitchen, [text], {"A": formula, "B": formula})
        ),
        "plan --ics": written,
        "plan --sheet": sheet_text(sheet),
        "plan --html": sheet_page(sheet),
    }
    for name, shown in told.items():
        assert not harmful(shown), f"{name}: {harmful(shown)[:5]}\n{shown!a}"
    assert list(icalendar.Calendar.from_ical(written).walk("VEVENT"))


@pytest.mark.parametrize("letters", LETTERS, ids=("obeyed", "hidden", "odd"))
def test_letters_from_anywhere_do_no_harm_to_the_commands(
    letters: tuple[str, str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.sqlite"))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.chdir(tmp_path)
    fill(tmp_path / "journal.sqlite", "", START, letters=letters)
    commands = [
        ["journal"], ["journal", "show", "live-A"], ["journal", "show", "live-C"], ["journal", "verify"],
        ["journal", "compare", "live-A", "live-B"], ["read", "25", f"--bake={letters[0]}"], ["read", "25"],
        ["read", "25", "--bake", "live-A"], ["read", "25", "--bake", "?"],
        *(["journal", "export", "live-A", "--format", form] for form in FORMATS),
        ["journal", "course", "e"], ["journal", "course", letters[1]], ["journal", "export", "--format", "table"],
        *(["journal", "week", "--from", "2026-01-01", "--to", "2026-12-31", how] for how in ("--json", "--markdown")),
    ]  # fmt: skip
    for arguments in commands:
        assert main(arguments) in (0, 1, 2)
        told = capsys.readouterr()
        for shown in (told.out, told.err):
            assert not harmful(shown), (arguments, harmful(shown)[:5])
            assert "internal error" not in shown, (arguments, shown)
