"""What each row of "where a new thing goes" in DEVELOPERS.md says is written, done to a copy of the program.

The additions are nonsense that a reader recognises: a shelf, a flour's temperature, a song.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Addition:
    """One row: the edits it names, as (file, what stands there, what stands there then), and what shows that it works.

    An empty "what stands there" makes a new file. ``shows`` is code that fails where the new thing is not known.
    """

    edits: tuple[tuple[str, str, str], ...]
    shows: str


def below(file: str, line: str, more: str) -> tuple[str, str, str]:
    """Something more below a line."""
    return file, line, f"{line}\n{more}"


FORMULA = """
name = "Harbour bread"
{top}
[batch]
pieces = 4
piece = "200 g"
[[ingredients]]
name = "flour"
kind = "flour"
percent = {flour}
[[ingredients]]
name = "water"
kind = "water"
percent = 65
[[ingredients]]
name = "salt"
kind = "salt"
percent = 2
[[stages]]
name = "Knead"
kind = "hands"
time = "10 min"
{check}
"""

MADE = (
    f"FORMULA = '''{FORMULA}'''\n"
    """
from dataclasses import replace
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.formula.read import read_formula
from tests.support.decided import at, bake

def formula(top="", flour=100, check=""):
    made, faults = read_formula(FORMULA.format(top=top, flour=flour, check=check), "bread.toml")
    assert made is not None, faults
    return made, faults

def said(state, intent, seconds=10):
    events = decide(state, intent, at(seconds))
    assert isinstance(events, tuple), events
    return decided(state, events)
"""
)

ADDITIONS: dict[str, Addition] = {
    "a new field of the formula file": Addition(
        (
            below(
                "formula/read.py",
                '        Field("name", Text(80), "What the formula is called.", required=True),',
                '        Field("shelf", Text(80), "Where it cools."),',
            ),
            (
                "formula/read.py",
                '        about=draft.get("about", ""),',
                '        about=draft.get("about", ""), shelf=draft.get("shelf", ""),',
            ),
            (
                "formula/model.py",
                '    about: str = ""\n    text: str = ""',
                '    about: str = ""\n    shelf: str = ""\n    text: str = ""',
            ),
            ("formula/reference.md", "# ", "`shelf`: where it cools.\n\n# "),
        ),
        """
from proofbell.formula.read import schema
assert formula('shelf = "top"')[0].shelf == "top"
assert "shelf" in schema()["properties"]
""",
    ),
    "a new refusal or warning": Addition(
        (
            below("formula/warnings.py", "    _bands(formula, findings)", "    _song(formula, findings)"),
            (
                "formula/warnings.py",
                "def _bands(",
                (
                    "def _song(formula: Formula, findings: Findings) -> None:\n"
                    '    findings.warning(("name",), "No song goes with it.", "Sing one.")\n\n\ndef _bands('
                ),
            ),
        ),
        """assert "No song goes with it." in [fault.message for fault in formula()[1]]""",
    ),
    "a new kind of reading": Addition(
        (
            ("formula/model.py", '"rise", "weight"]', '"rise", "weight", "flour temperature"]'),
            below(
                "formula/readings.py",
                "LIMITS: dict[ReadingKind, Limits] = {",
                (
                    '    "flour temperature": '
                    'Limits(Dimension.TEMPERATURE, (-30, 60), (-20, 60), (5, 40), ("hands",), ("hands",), '
                    '"read the flour", "flour", ("flour",)),'
                ),
            ),
        ),
        """
from proofbell.bake.asking.offered import offered
from proofbell.bake.prompts import prompts
from proofbell.bake.readings import parse_reading
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.day_hands import HandsAct
from proofbell.bench.day_words import act_words
from proofbell.journal.reviews.wording import value_words
from proofbell.kitchen.model import Kitchen
what = "flour temperature"
made, _ = formula(check='checks = [{ read = "flour temperature", expect = ["18 °C", "22 °C"] }]')
opened = intents.Open("a", "A", made, weigh_out(made, Kitchen()).batch, Kitchen(), "t")
state = decided(None, decide(None, opened, at(0)))
state = said(state, intents.Begin())
assert "read the flour" in [prompt.words for prompt in prompts(state, now_s=state.now_s(at(20)))]
assert what in offered(state, None)
assert act_words(HandsAct("A", "read", 0, "Knead", reads=(what,))) == "read the flour"
state = said(state, intents.Read(what, "70 F", parse_reading(what, "70 F")), 30)
assert value_words(what, state.readings[0].value).startswith("21"), state.readings
""",
    ),
    "a new unit": Addition(
        (
            below(
                "quantities.py",
                '    _Unit(("kg",), "kilogram", (Dimension.MASS,), Fraction(1000)),',
                '    _Unit(("stone",), "stone", (Dimension.MASS,), _POUND_G * 14),',
            ),
        ),
        """
import pytest
from proofbell.app.fields.typed import quantity
from proofbell.bake.readings import may_become, parse_reading
from proofbell.formula.measures import pattern
from proofbell.quantities import Dimension, read_quantity
# A stone is 14 pounds of 453.592 37 g: Weights and Measures Act 1985, schedule 1.
for read in (read_quantity("2 stone 1 lb", Dimension.MASS), quantity("2 stone 1 lb", Dimension.MASS, 0, 1e6)):
    assert read == pytest.approx(29 * 453.59237)
assert parse_reading("weight", "1 stone") == pytest.approx(6350.29318)
assert may_become("weight", "1 sto")
assert "stone" in pattern(Dimension.MASS)
""",
    ),
    "a new fact of the kitchen": Addition(
        (
            below(
                "kitchen/fields.py",
                '        Field("name", Text(60), "What the kitchen is called."),',
                '        Field("song", Text(40), "What is sung here."),',
            ),
            below("kitchen/model.py", '    name: str = "Kitchen"', '    song: str = ""'),
            ("kitchen/file.py", '    "name": "name", "room"', '    "name": "name", "song": "song", "room"'),
        ),
        """
from proofbell.kitchen.file import read_kitchen, set_value
from proofbell.kitchen.telling import settings_told
kitchen, faults = read_kitchen(set_value("", "song", "the tide"), "kitchen")
assert faults == () and kitchen.song == "the tide"
assert [told.value for told in settings_told(kitchen) if told.key == "song"] == ["the tide"]
""",
    ),
    "a new rule that changes a proof": Addition(
        (
            (
                "bake/decisions/adjust.py",
                "def by_reading(",
                (
                    "def by_room(state: BakeState, index: int) -> Change:\n"
                    '    return Change(state.stages[index].length_s + 60, "rate", "the room")\n\n\ndef by_reading('
                ),
            ),
            (
                "bake/decisions/reading_rules.py",
                "    run, rule = state.stages[index], adjusting(state.stage(index))",
                (
                    "    from proofbell.bake.decisions.adjust import by_room\n"
                    '    if reading.what == "weight":\n        return by_room(state, index)\n'
                    "    run, rule = state.stages[index], adjusting(state.stage(index))"
                ),
            ),
        ),
        """
state = bake("A", "harbour-knots", (0, intents.Begin()), (360, intents.Done()), (960, intents.Done()))
before = state.stages[2].length_s
state = said(state, intents.Read("weight", "900 g", 900.0), 1000)
assert state.stages[2].length_s == before + 60, state.stages[2].length_s
""",
    ),
    "a new situation that is advised on": Addition(
        (
            (
                "bake/advice/singing.py",
                "",
                (
                    '"""The dough sings."""\n\nfrom proofbell.bake.advice.scene import Scene\n\n\n'
                    "def sings(scene: Scene) -> float | None:\n"
                    '    return scene.into_s if scene.stage.kind == "cool" else None\n'
                ),
            ),
            (
                "bake/advice/situations.py",
                "SITUATIONS: tuple[Situation[Any], ...] = (",
                (
                    "from proofbell.bake.advice.singing import sings\n\n"
                    "SITUATIONS: tuple[Situation[Any], ...] = (\n"
                    '    Situation("sings", sings, "{:.0f} s of song".format, lambda _: "listen", "Done.", NO_SOURCE),'
                ),
            ),
        ),
        """
from proofbell.bake.view import view
state = bake("A", "harbour-knots", (0, intents.Begin()), *[(60, intents.Done())] * 6)
advice = view(state, 100).advice
assert advice is not None and advice.short == "40 s of song: listen.", advice
""",
    ),
    "a new kind of event": Addition(
        (
            (
                "bake/events.py",
                "@dataclass(frozen=True, slots=True)\nclass Event:",
                (
                    "@dataclass(frozen=True, slots=True)\nclass Sung(Body):\n    song: str\n\n\n"
                    "@dataclass(frozen=True, slots=True)\nclass Event:"
                ),
            ),
            below("bake/record.py", "NAMES: dict[str, tuple[type[Any], int]] = {", '    "sung": (kinds.Sung, 1),'),
            below(
                "bake/steps.py",
                "_STEPS: dict[type, Callable[[BakeState, Event, float, Any], BakeState]] = {",
                "    kinds.Sung: lambda state, event, at_s, body: replace(state, ready_by_s=float(len(body.song))),",
            ),
            (
                "journal/reviews/wording.py",
                "    kinds.NoteAdded: _note,",
                "    kinds.NoteAdded: _note,\n    kinds.Sung: lambda body, _formula: f'Sung: {body.song}',",
            ),
        ),
        """
from proofbell.bake import events as kinds
from proofbell.bake.fold import apply
from proofbell.bake.record import from_row, make_event, to_row
from proofbell.journal.reviews import wording
state = bake("A", "harbour-knots")
event = make_event("A-bake", 2, 2, at(1), kinds.Sung("Of the sea"), state.last.digest)
assert from_row(to_row(event)).body == kinds.Sung("Of the sea")
assert apply(state, event).ready_by_s == 10.0
""",
    ),
    "a changed event": Addition(
        (
            ("bake/record.py", "(kinds.RowTaken, 1)", "(kinds.RowTaken, 2)"),
            (
                "bake/record.py",
                "UPCASTS: dict[tuple[str, int], Callable[[dict[str, Any]], dict[str, Any]]] = {",
                (
                    "UPCASTS: dict[tuple[str, int], Callable[[dict[str, Any]], dict[str, Any]]] = {\n"
                    '    ("row taken", 1): lambda body: {**body, "row": body["row"] + 100.0},\n   '
                ),
            ),
        ),
        """
from proofbell.bake.record import body_from
assert body_from("row taken", 1, {"row": 1.0}).row == 101.0
assert body_from("row taken", 2, {"row": 1.0}).row == 1.0
""",
    ),
    "a new intent": Addition(
        (
            (
                "bake/intents.py",
                "@dataclass(frozen=True, slots=True)\nclass Refused:",
                (
                    "@dataclass(frozen=True, slots=True)\nclass Sing(Intent):\n    song: str\n\n\n"
                    "@dataclass(frozen=True, slots=True)\nclass Refused:"
                ),
            ),
            below(
                "bake/decisions/decide.py",
                "RULES: dict[type, Callable[[BakeState, Any, Stamp], Bodies]] = {",
                '    intents.Sing: lambda state, intent, now: [kinds.NoteAdded(f"sang {intent.song}")],',
            ),
        ),
        """
state = said(bake("A", "harbour-knots"), intents.Sing("low"))
assert [note.text for note in state.notes] == ["sang low"]
""",
    ),
    "a figure of the trade": Addition(
        (
            (
                "dough/song.py",
                "",
                (
                    'def loudness_db(people: int) -> float:\n    """Common practice, no source."""\n'
                    "    return 60.0 + 3.0 * people\n"
                ),
            ),
        ),
        """
from proofbell.dough.song import loudness_db
assert loudness_db(2) == 66.0
""",
    ),
    "an export": Addition(
        (
            (
                "journal/export/export_song.py",
                "",
                "def song(bakes):\n    return (f'La, {bake.formula.name}' for bake in bakes)\n",
            ),
            below(
                "journal/export/exports.py",
                '        Form("csv", ".csv", lambda bakes, _version: csv_text(bakes)),',
                '        Form("song", ".song", lambda bakes, _version: song(bakes)),',
            ),
            below(
                "journal/export/exports.py",
                "from proofbell.journal.export.export_json import whole_json",
                "from proofbell.journal.export.export_song import song",
            ),
            ("cli/journal.py", '"json", "svg")', '"json", "svg", "song")'),
        ),
        """
from proofbell.cli.arguments.parser import parser_of
parser, _ = parser_of("journal")
assert parser.parse_args(["export", "--format", "song"]).format == "song"
""",
    ),
    "a key or action": Addition(
        (
            below(
                "app/widgets/actions.py",
                "ACTIONS: tuple[Action, ...] = (",
                '    Action("bench.sing", ("S",), "sing", "Sing to the dough.", 2),',
            ),
            (
                "app/bench/bench_screen.py",
                "    def action_longer(",
                '    def action_sing(self) -> None:\n        self.say("La la.")\n\n    def action_longer(',
            ),
        ),
        """
import asyncio
from proofbell.app.widgets.actions import of_screen
from proofbell.app.widgets.key_row import key_list
from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, put_on
from tests.support.settling import settle
assert "Sing to the dough." in key_list(of_screen("bench")).plain

async def pressed():
    live, _ = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(120, 36)) as pilot:
        await settle(pilot, app)
        await pilot.press("S")
        shown = await settle(pilot, app)
        assert "La la." in shown, shown

asyncio.run(pressed())
""",
    ),
    "an ingredient or a measure that recipes name": Addition(
        (
            (
                "recipe/tables/wares.py",
                '    Ware(r"beer|ale\\b|stout|lager", "water", "water", ("barley",)),',
                (
                    '    Ware(r"beer|ale\\b|stout|lager", "water", "water", ("barley",)),\n'
                    '    Ware(r"sea lavender", "other"),'
                ),
            ),
        ),
        """
from proofbell.recipe.reading.line import read_line
(item,) = read_line("3 g sea lavender", 1)
assert item.ware is not None and item.ware.kind == "other"
""",
    ),
    "a page of the guide": Addition(
        (
            ("guide/songs.md", "", "# Songs for a dough\n\nHum low.\n"),
            ("cli/guide.py", '"trouble", "questions")', '"trouble", "questions", "songs")'),
        ),
        """
from proofbell.cli.guide import contents, found
assert contents().endswith("proofbell guide songs         Songs for a dough")
assert found("hum") == "songs"
""",
    ),
    "a command": Addition(
        (
            (
                "cli/sing.py",
                "",
                (
                    'EXAMPLE = "proofbell sing low"\n\n\n'
                    'def add_arguments(parser):\n    parser.add_argument("song")\n\n\n'
                    "def run(args):\n    print(f'La, {args.song}')\n    return 0\n"
                ),
            ),
            ("cli/arguments/known.py", "COMMANDS = {", 'COMMANDS = {\n    "sing": "sing to the dough",'),
        ),
        """
import contextlib, io
from proofbell.cli import main
from proofbell.cli.arguments.overview import overview
assert "sing to the dough" in overview()
with contextlib.redirect_stdout(io.StringIO()) as out:
    assert main(["sing", "low"]) == 0
assert out.getvalue() == "La, low\\n", out.getvalue()
""",
    ),
}
"""Row of the table to what it says."""


def add(addition: Addition, program: Path) -> None:
    """Make the edits in a copy of ``src/proofbell``."""
    for name, stands, then in addition.edits:
        path = program / name
        text = path.read_text(encoding="utf-8") if stands else ""
        assert stands in text, f"{name} has no {stands!r}: does the table still tell where it goes?"
        path.write_text(text.replace(stands, then, 1) if stands else then, encoding="utf-8")
