"""What is taken away from the journal can be read by others, says everything, and does no harm."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from xml.etree import ElementTree as ET

import icalendar
import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import events as kinds
from proofbell.bake.record import from_row
from proofbell.cli.printed.journal_text import show_lines
from proofbell.journal.export.calendar import Entry, calendar
from proofbell.journal.export.export_csv import csv_text, safe_cell
from proofbell.journal.export.export_json import schema, whole_json
from proofbell.journal.export.export_markdown import page, safe
from proofbell.journal.export.exports import FORMS, Form, reviews
from proofbell.journal.export.picture import picture
from proofbell.journal.reviews.review import BakeReview, review
from proofbell.journal.storage.store import Journal
from tests.journal.generate import Truth, fill, simulated_bakes
from tests.support.bakes import house
from tests.support.making import KNOTS, MORNING_US, chain, old_row, opened

HOSTILE = [
    '=HYPERLINK("http://harbour.example";"x")', "  @SUM(1)", "\u00ad=1+1", "＝1+1", "-2+3", "\tq", "a\r\nb",
    "\x1b]0;title\x07", "]]><script>alert(1)</script>", "| broken | table |", "# head", "[x](http://a.example)",
    "<img src=http://a.example>", "BEGIN:VALARM\rEND:VALARM", "\u202eevil", "\ud800", "`" * 5, "é" * 90, "",
]  # fmt: skip


def bakes() -> dict[str, BakeReview]:
    """One of every sort that a journal can hold."""
    begun = [(0.0, opened()), (60.0, kinds.StageBegun(0))]
    note = kinds.NoteAdded
    reading = kinds.ReadingTaken("dough temperature", 35.0, "35", stage=0)
    hostile = [(70.0 + n, note(text)) for n, text in enumerate(HOSTILE)]
    odd_name = replace(KNOTS, name="".join(HOSTILE[:12]), text="```\n" + "\n".join(HOSTILE))
    made = {
        "opened": begun[:1],
        "unfinished": begun,
        "given up": [*begun, (90.0, kinds.BakeClosed("given up", "fell on the floor"))],
        "corrected": [
            *begun,
            (70.0, reading),
            (80.0, kinds.Corrected((3,), undone=False, value=25.0, typed="25", why="misread")),
            (90.0, note("wrong bowl")),
            (95.0, kinds.Corrected((5,), undone=True)),
        ],
        "across midnight": [*begun, (17 * 3600.0, kinds.StageEnded(0)), (17 * 3600.0, kinds.StageBegun(1))],
        "hostile": [(0.0, replace(opened(), formula=odd_name)), *hostile],
    }
    found = {name: review(chain(name, bodies)) for name, bodies in made.items()}
    found["whole"] = review(simulated_bakes(3, Truth(), 1)[0].events)
    return found


BAKES = bakes()


@pytest.mark.parametrize("name", BAKES)
def test_the_json_fits_its_schema_and_its_digests_can_be_checked_with_it_alone(name: str) -> None:
    document = json.loads("".join(whole_json([BAKES[name]], "0.1.0")))
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(document, schema(), cls=jsonschema.Draft202012Validator)
    bake, before = document["bakes"][0], ""
    for event in bake["events"]:
        parts = [before, event["id"], bake["bake"]]
        parts += [event[key] for key in ("number", "decision", "wall_us", "boot_us", "boot_id", "offset_min")]
        parts += [event["name"], event["schema"], event["body_text"]]
        text = json.dumps(parts, ensure_ascii=False, separators=(",", ":"))
        digest = hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=16).hexdigest()
        assert digest == event["digest"]
        before = digest


def test_the_loaf_and_the_tin_go_out_with_the_batch() -> None:
    sized = replace(opened(), batch=replace(opened().batch, loaf_g=800.0, tin_ml=2475.0))
    found = review(chain("sized", [(0.0, sized)]))
    document = json.loads("".join(whole_json([found], "0.1.0")))
    jsonschema.validate(document, schema(), cls=jsonschema.Draft202012Validator)
    assert (document["bakes"][0]["batch"]["loaf_g"], document["bakes"][0]["batch"]["tin_ml"]) == (800.0, 2475.0)
    assert "for loaves of 800 g once cool in tins of 2475 ml" in found.events[0].words
    assert "Made for: loaves of 800 g once cool in tins of 2475 ml." in page(found)


def test_what_is_brushed_and_strewn_on_the_pieces_is_named_wherever_a_bake_can_be_looked_up() -> None:
    """Egg, wheat and sesame: Regulation (EU) 1169/2011, Annex II; US FASTER Act of 2021. Egg here is on top alone."""
    plait = house("mooring-plait")
    dough = tuple(line for line in plait.ingredients if "egg" not in line.contains)
    found = review(chain("plait", [(0.0, replace(opened(), formula=replace(plait, ingredients=dough)))]))
    document = json.loads("".join(whole_json([found], "0.1.0")))
    jsonschema.validate(document, schema(), cls=jsonschema.Draft202012Validator)
    eu = ["cereals containing gluten (wheat)", "egg", "sesame"]
    assert document["bakes"][0]["allergens"] == {"eu": eu, "us": ["egg", "wheat", "sesame"]}
    assert f"| Allergens | {', '.join(eu)} |" in page(found)
    assert f"Allergens: {', '.join(eu)}." in list(show_lines(found))
    assert f"Allergens: {', '.join(eu)}." in picture(found)
    rows = csv.DictReader(io.StringIO("".join(csv_text([found])), newline=""))
    assert {row["allergens"] for row in rows} == {", ".join(eu)}


def test_a_log_of_an_older_program_goes_out_with_the_text_its_digest_is_over() -> None:
    event = from_row(old_row())
    (line,) = json.loads("".join(whole_json([review([event])], "0.1.0")))["bakes"][0]["events"]
    assert line["body_text"] == old_row().body
    assert line["digest"] == old_row().digest


def test_the_schema_refuses_what_is_not_described() -> None:
    document = json.loads("".join(whole_json([BAKES["whole"]], "0.1.0")))
    document["bakes"][0]["stages"][0]["planned_s"] = "ten minutes"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(document, schema())
    document["bakes"][0]["stages"][0].pop("planned_s")
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(document, schema())


def test_many_bakes_make_one_document_piece_by_piece() -> None:
    pieces = whole_json(iter(BAKES.values()), "0.1.0")
    assert next(pieces).rstrip().endswith("[")
    document = json.loads("".join(whole_json(BAKES.values(), "0.1.0")))
    assert [bake["bake"] for bake in document["bakes"]] == [bake.state.id for bake in BAKES.values()]
    empty = json.loads("".join(whole_json([], "0.1.0")))
    assert (empty["schema"], empty["bakes"]) == (1, [])


def test_the_json_has_planned_and_actual_and_both_values_of_a_corrected_reading() -> None:
    bake = json.loads("".join(whole_json([BAKES["corrected"]], "0.1.0")))["bakes"][0]
    assert bake["readings"][0]["value"] == 25.0
    assert bake["readings"][0]["earlier"] == [{"value": 35.0, "typed": "35", "eye": None}]
    assert bake["events"][2]["put_right_by"] == [4]
    assert bake["events"][4]["taken_back_by"] == 6
    assert bake["notes"] == []
    assert bake["stages"][0]["ended"] is None
    assert bake["stages"][0]["planned_s"] == 540.0


@pytest.mark.parametrize("name", BAKES)
def test_the_csv_is_one_line_an_event_and_never_a_formula(name: str) -> None:
    """Cells that a spreadsheet may run: OWASP, "CSV Injection". Quoting and line ends: RFC 4180."""
    text = "".join(csv_text([BAKES[name]]))
    rows = list(csv.DictReader(io.StringIO(text, newline=""), strict=True))
    assert [int(row["number"]) for row in rows] == [line.event.number for line in BAKES[name].events]
    assert not re.search(r"(?m)(^|,)\"?\s*[=+@＝\t\r]", text)
    assert "\x1b" not in text


@given(st.text() | st.sampled_from(HOSTILE))
def test_no_text_becomes_a_formula_in_a_cell(text: str) -> None:
    cell = str(safe_cell(text))
    assert cell.lstrip()[:1] not in {"=", "+", "-", "@", "＝", "＋", "－", "＠"}
    assert not set(cell) & {"\r", "\x00", "\x1b", "\x9b", "\u202e"}


@given(st.floats(allow_nan=False) | st.integers())
def test_numbers_stay_numbers_below_nought_too(number: float) -> None:
    assert safe_cell(number) == number


def test_a_reading_below_nought_is_a_number_in_the_csv() -> None:
    reading = kinds.ReadingTaken("room temperature", -3.5, "-3.5")
    made = review(chain("one", [(0.0, opened()), (1.0, reading)]))
    assert ',"room temperature",-3.5,"°C",' in "".join(csv_text([made]))


@pytest.mark.parametrize("name", BAKES)
def test_the_page_holds_every_event_with_its_time(name: str) -> None:
    made = BAKES[name]
    text = page(made)
    assert text.startswith(f"# {safe(made.state.formula.name)}\n")
    log = text.split("## The whole log")[1].split("## The formula")[0]
    rows = [line for line in log.splitlines() if re.match(r"\| \d", line)]
    assert len(rows) == len(made.events)
    for line in made.events:
        stamp = line.event.stamp
        local = datetime.fromtimestamp(stamp.wall_us / 1e6 + stamp.offset_min * 60, tz=UTC)
        assert f"{local:%H:%M:%S}" in rows[line.event.number - 1]
    assert made.events[-1].event.digest in text


def test_the_page_tells_a_corrected_reading_with_what_was_said_first() -> None:
    text = page(BAKES["corrected"])
    assert "| 25.0 °C | – | – | 35.0 °C |" in text
    assert "Dough temperature: 35.0 °C" in text
    assert "corrected by line 4" in text
    assert "undone by line 6" in text


def test_the_page_says_which_day_it_is_after_midnight() -> None:
    assert "Sun 15 Mar 01:00" in page(BAKES["across midnight"])
    assert "2026-03-15 01:00:00" in page(BAKES["across midnight"])


def test_no_markup_of_a_note_works_in_the_page() -> None:
    text = page(BAKES["hostile"])
    outside = text.split("## The formula")[0]
    assert "<script" not in outside.replace("\\<script", "")
    assert not re.search(r"(?<!\\)\]\(", outside)
    assert "\x1b" not in text
    assert "\n# head" not in text.split("## The formula")[0]
    fence = re.search(r"\n(`{3,})toml\n", text)
    assert fence is not None
    assert len(fence[1]) == 6


@pytest.mark.parametrize("name", BAKES)
def test_the_picture_is_well_formed_and_holds_no_more_than_shapes_and_words(name: str) -> None:
    """SVG 1.1 (W3C): no element that fetches or runs anything."""
    root = ET.fromstring(picture(BAKES[name]))  # noqa: S314 - our own text
    tags = {element.tag.removeprefix("{http://www.w3.org/2000/svg}") for element in root.iter()}
    assert tags <= {"svg", "title", "rect", "line", "text", "polyline", "circle"}
    assert not any(key.startswith("on") or "href" in key for element in root.iter() for key in element.attrib)
    for element in root.iter():
        numbers = [element.get(key) for key in ("x", "y", "x1", "x2", "width", "height", "cx", "cy")]
        assert all(-100 <= float(number) <= 2000 for number in numbers if number is not None)


def test_the_picture_shows_planned_above_actual_and_each_reading() -> None:
    made = BAKES["whole"]
    root = ET.fromstring(picture(made))  # noqa: S314 - our own text
    boxes = [e for e in root.iter("{http://www.w3.org/2000/svg}rect") if e.find("{*}title") is not None]
    tops = {box.get("y") for box in boxes}
    assert len(boxes) == 2 * len(made.stages)
    assert len(tops) == 2
    doughs = [item for item in made.readings if item.reading.what == "dough temperature"]
    assert len(list(root.iter("{http://www.w3.org/2000/svg}circle"))) == len(doughs)


@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_whatever_was_typed_is_stored_and_every_form_can_be_written_as_utf8(tmp_path: Path, form: Form) -> None:
    events = [line.event for line in BAKES["hostile"].events]
    with Journal.open(tmp_path / "journal.db") as journal:
        journal.append(events, 0)
        made = list(reviews(journal, ["hostile"]))
    assert [line.event for line in made[0].events] == events
    text = "".join(form.write(made, "0.1.0"))
    assert text.encode("utf-8").decode("utf-8") == text


def test_ten_thousand_or_ten_the_export_holds_one_bake_at_a_time(tmp_path: Path) -> None:
    fill(tmp_path / "journal.db", 10)
    with Journal.open(tmp_path / "journal.db") as journal:
        read: list[str] = []
        original = journal.read

        def counted(bake: str) -> object:
            read.append(bake)
            return original(bake)

        journal.read = counted  # type: ignore[method-assign,assignment]
        for form in FORMS.values():
            read.clear()
            pieces = form.write(reviews(journal, journal.bake_ids()), "0.1.0")
            next(pieces)
            assert len(read) <= 1
            list(pieces)
            assert len(read) == 10


def entry(title: str, words: str = "") -> Entry:
    return Entry("plan-1", MORNING_US, MORNING_US + 600_000_000, title, words, remind=True)


def test_an_independent_reader_finds_the_plan() -> None:
    """RFC 5545, read by the icalendar library."""
    made = calendar([entry("A: shape 12 × 75 g; then proof, warm", "first\nsecond")], made_us=MORNING_US)
    (event,) = icalendar.Calendar.from_ical(made).walk("VEVENT")
    assert str(event["SUMMARY"]) == "A: shape 12 × 75 g; then proof, warm"
    assert str(event["DESCRIPTION"]) == "first\nsecond"
    assert event.decoded("DTSTART") == datetime(2026, 3, 14, 7, 0, tzinfo=UTC)
    assert event.decoded("DTEND") == datetime(2026, 3, 14, 7, 10, tzinfo=UTC)
    assert len(event.walk("VALARM")) == 1


@settings(max_examples=60)
@given(st.lists(st.text(max_size=120) | st.sampled_from(HOSTILE), max_size=4))
def test_no_title_adds_anything_to_the_calendar(titles: list[str]) -> None:
    made = calendar([entry(title, title) for title in titles], made_us=MORNING_US)
    raw = made.encode("utf-8")
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    assert b"\r" not in raw.replace(b"\r\n", b"")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    parsed = icalendar.Calendar.from_ical(made)
    assert len(parsed.walk("VEVENT")) == len(titles)
    assert len(parsed.walk("VALARM")) == len(titles)
