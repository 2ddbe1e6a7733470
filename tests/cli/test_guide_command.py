"""The guide is true: every command in it runs, every file in it reads, every key in it is that of the registry."""

from __future__ import annotations

import json
import os
import re
import shlex
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.app.widgets.actions import ACTIONS, key_name, of_screen
from proofbell.bake.stamp import Stamp
from proofbell.cli import main
from proofbell.cli.arguments import planned
from proofbell.cli.arguments.parser import parser_of
from proofbell.cli.guide import TOPICS, page
from proofbell.clock import WallClock
from proofbell.formula.read import read_formula
from proofbell.kitchen.alarm_command import EXAMPLES
from proofbell.kitchen.file import read_kitchen
from proofbell.places import guide_page, house_formulas

Captured = pytest.CaptureFixture[str]

FENCE = re.compile(r"^```(\w+) ?([^\n]*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)
"""Language, what stands behind it (a file's name, or the command that prints this), and the text."""

README = Path(__file__).parents[2] / "README.md"

STATUS = re.compile(r"# exit status (\d)$")
SETTING = re.compile(r"^([A-Z_]+)=(\S+) ")

AFTER_A_BAKE = ("model", "trouble", "many-bakes")
"""Pages for those who have a journal."""


WEDNESDAY_US = 1_773_217_837_000_000
"""11 March 2026, 08:30 UTC: a plan for Saturday is in time whenever the tests run."""


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home of its own for each page, in which its commands follow each other."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "home" / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "home" / "journal.sqlite"))
    stamp = WallClock().stamp()

    class Clock:
        def stamp(self) -> Stamp:
            return replace(stamp, wall_us=WEDNESDAY_US)

    monkeypatch.setattr(planned, "WallClock", Clock)
    return tmp_path


def ran(line: str, capsys: Captured) -> tuple[int, str]:
    """Run a line as a reader would type it; here where it needs no shell, which is quicker."""
    command = line.split("#", maxsplit=1)[0].strip()
    if "|" in command:
        path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
        done = subprocess.run(
            ["sh", "-c", command], capture_output=True, text=True, check=False, env={**os.environ, "PATH": path}
        )
        return done.returncode, done.stdout + done.stderr
    with pytest.MonkeyPatch.context() as patch:
        if setting := SETTING.match(command):
            patch.setenv(setting[1], setting[2])
        status = main(shlex.split(SETTING.sub("", command))[1:])
    said = capsys.readouterr()
    return status, said.out + said.err


@pytest.mark.parametrize("topic", TOPICS)
def test_every_command_and_file_of_a_page_does_what_it_says(topic: str, capsys: Captured) -> None:
    if topic in AFTER_A_BAKE:
        assert main(["start", "harbour-knots"]) == 0
        capsys.readouterr()
    for language, behind, text in FENCE.findall(page(topic)):
        if language == "sh":
            for line in text.replace("\\\n", " ").splitlines():
                status, said = ran(line, capsys)
                expected = STATUS.search(line)
                assert status == (int(expected[1]) if expected else 1 if "# on screen" in line else 0), (line, said)
                assert ("needs a terminal" in said) == ("# on screen" in line), line
        elif language == "toml":
            assert_reads(behind, text)
            Path(behind).write_text(text, encoding="utf-8")
        elif language == "json":
            assert main(shlex.split(behind)[1:]) == 0
            assert keys(json.loads(text)) == keys(json.loads(capsys.readouterr().out)), behind
        elif behind:
            Path(behind).write_text(text, encoding="utf-8")


def assert_reads(name: str, text: str) -> None:
    """A whole file, or a part of one that is put where it belongs."""
    if name == "kitchen.toml":
        assert read_kitchen(text, name)[1] == ()
        return
    if name.startswith("part of"):
        house = house_formulas()["tidemark-sourdough"].read_text(encoding="utf-8")
        begins = 'kind     = "preferment"' if "ingredient" in name else "chill_instead"
        at = house.index(begins)
        ends = house.index("\n", house.index("made_of", at) if "ingredient" in name else at)
        text = house[:at] + text + house[ends:]
    formula, faults = read_formula(text, name)
    assert formula is not None, faults
    assert faults == (), name


def keys(value: object) -> object:
    """The names in a document, without its values; of a list those of its first item."""
    if isinstance(value, dict):
        return {name: keys(item) for name, item in value.items()}
    return [keys(value[0])] if isinstance(value, list) and value else None


def test_each_document_has_the_version_and_the_fields_that_the_page_gives(capsys: Captured) -> None:
    Path("FILE").write_text("Rolls\n500 g flour\n300 g water\n10 g salt\n5 g instant yeast\n", encoding="utf-8")
    Path("FILE.toml").write_bytes(house_formulas()["harbour-knots"].read_bytes())
    rows = re.findall(r"^\| `(proofbell .*?)` \| (\d) \| (.*) \|$", page("json"), re.MULTILINE)
    assert len(rows) > 12
    for command, version, fields in rows:
        words = shlex.split(command.replace("check FILE", "check FILE.toml"))[1:]
        assert main(words) == 0, command
        document = json.loads(capsys.readouterr().out)
        assert document["schema"] == int(version)
        assert set(re.findall(r"`(\w+)`", fields)) <= document.keys(), command
    for named in re.findall(r"`((?:cli|journal)/[\w/.]+\.json)`", page("json")):
        assert (guide_page("json").parents[1] / named).is_file()


@pytest.mark.parametrize("topic", TOPICS)
def test_a_page_is_short_and_names_what_there_is(topic: str) -> None:
    text = page(topic)
    assert text.startswith("# ")
    assert len(text.splitlines()) <= 60
    assert [line for line in text.splitlines() if len(line) > 80] == []
    assert FENCE.sub("", text).count("```") == 0
    prose = FENCE.sub("", text)
    for command in re.findall(r"`proofbell ([^`]+)`", prose):
        name, *rest = shlex.split(command)
        if "-" not in name[:1]:
            assert parser_of(name)[0].parse_known_args(rest)[1] == [], command
    shown = {key_name(key) for action in ACTIONS for key in action.keys}
    # What is longer than a key is a bold sentence.
    marked = {mark for mark in re.findall(r"\*\*(\S+?)\*\*", prose) if len(mark) < 8}
    assert marked <= shown


def test_the_keys_of_the_bench_are_those_of_the_registry() -> None:
    known = {(key_name(action.keys[0]), action.word) for action in of_screen("bench")}
    rows = set(re.findall(r"^\| \*\*(\S+)\*\* \| ([^|]+) \|", page("keys"), re.MULTILINE))
    assert len(rows) > 20
    assert rows <= known


def test_the_bell_page_has_a_command_for_each_system() -> None:
    assert [commands[0] for commands in EXAMPLES.values() if commands[0] not in page("bell")] == []


def test_the_list_has_a_line_for_each_page_and_so_has_the_readme(capsys: Captured) -> None:
    assert main(["guide"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[2] for line in lines] == list(TOPICS)
    assert max(map(len, lines)) <= 80
    assert sorted(TOPICS) == sorted(path.stem for path in guide_page("plan").parent.glob("*.md"))
    readme = README.read_text(encoding="utf-8")
    assert re.findall(r"\(src/proofbell/guide/([\w-]+)\.md\)", readme) == list(TOPICS)


def test_the_readme_names_the_keys_that_its_demo_wants() -> None:
    demo = README.read_text(encoding="utf-8").partition("Open the app on a demo")[2].partition("```")[0]
    wanted = {action.keys[0] for action in ACTIONS if action.id in ("bench.done", "bench.go-on", "bench.leave")}
    assert {key_name(key) for key in wanted} == set(re.findall(r"`(\S+)`", demo))


@pytest.mark.parametrize(("word", "meant"), [("sourdouhg", "sourdough"), ("probe", "probes"), ("levain", "sourdough")])
def test_an_unknown_topic_is_answered_with_the_nearest(word: str, meant: str, capsys: Captured) -> None:
    assert main(["guide", word]) == 0
    said = capsys.readouterr()
    assert said.out == page(meant)
    assert f"the nearest is {meant}" in said.err


@pytest.mark.parametrize(
    ("question", "meant"),
    [
        ("my dough is too warm", "trouble"),
        ("the power was off", "trouble"),
        ("I forgot it", "trouble"),
        ("I typed it wrong", "trouble"),
        ("may my fan oven", "questions"),
    ],
)
def test_a_question_in_a_bakers_words_is_answered_by_its_page(question: str, meant: str, capsys: Captured) -> None:
    assert main(["guide", *question.split()]) == 0
    assert capsys.readouterr().out == page(meant)


def test_a_topic_near_nothing_is_refused_with_the_list(capsys: Captured) -> None:
    assert main(["guide", "xylophone"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert all(topic in said.err for topic in TOPICS)
