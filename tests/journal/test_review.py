"""Looking back is right for every bake: whole, unfinished, given up, corrected, without readings, at odd hours."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import events as kinds
from proofbell.bake.events import Body, Event
from proofbell.bake.record import from_row, make_event, to_row
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import Score
from proofbell.bake.tasks import OvenTask, PromptId, Silenced
from proofbell.cli.printed.journal_text import show_lines
from proofbell.formula.model import Check
from proofbell.journal.export.export_json import bake_json
from proofbell.journal.export.export_markdown import page
from proofbell.journal.export.picture import LABEL_HEIGHT, LABEL_WIDTH, free_place, picture
from proofbell.journal.reviews.losses import weights_around_bake
from proofbell.journal.reviews.moments import clock, iso, local
from proofbell.journal.reviews.review import BakeReview, review
from proofbell.journal.reviews.score_sheet import LEAST, MOST, SHEET, line_named, overall, wants_score
from tests.journal.generate import Truth, simulated_bakes
from tests.support.making import BATCH, KNOTS, MORNING_US, chain, opened, stamp

DOUGH = kinds.ReadingTaken("dough temperature", 27.0, "27", stage=1, check=0)


def made(*bodies: tuple[float, Body]) -> BakeReview:
    return review(chain("one", [(0.0, opened()), (0.0, kinds.StageBegun(0)), *bodies]))


def to_proof(*bodies: tuple[float, Body]) -> BakeReview:
    return made((600.0, kinds.StageEnded(0)), (600.0, kinds.StageBegun(1)), *bodies)


def test_planned_stands_beside_actual_and_overruns_are_counted_from_what_was_meant_in_the_end() -> None:
    adjusted = kinds.TimeAdjusted(1, 4200.0, 3300.0, "bands", "warm", cause=5, band_s=3300.0, rate_s=3480.0)
    looked_at = to_proof((600.0, DOUGH), (600.0, adjusted), (4500.0, kinds.StageEnded(1)))
    knead, proof = looked_at.stages[:2]
    assert (knead.planned_begin_s, knead.planned_s, knead.actual_s, knead.over_s) == (0.0, 540.0, 600.0, 60.0)
    assert (proof.planned_begin_s, proof.planned_s) == (540.0, 4200.0)
    assert (proof.actual_s, proof.due_length_s, proof.over_s) == (3900.0, 3300.0, 600.0)
    assert looked_at.stages[2].begun_s is None
    assert looked_at.stages[2].actual_s is None


def test_an_adjustment_says_what_the_other_method_would_have_said() -> None:
    band = kinds.TimeAdjusted(
        1, 4200.0, 3300.0, "bands", "", band_s=3300.0, rate_s=3480.0, rate_low_s=3000.0, rate_high_s=4000.0
    )
    rate = replace(band, by="rate", to_s=3480.0)
    hand = kinds.TimeAdjusted(1, 3480.0, 3600.0, "hand", "longer")
    found = to_proof((610.0, band), (620.0, rate), (630.0, hand)).adjustments
    assert [item.other for item in found] == [
        "the rate would have given 58 min (50 min to 1 h 07 min)",
        "the bands would have given 55 min",
        "",
    ]


def test_a_change_that_was_taken_back_is_told_and_does_not_count() -> None:
    hand = kinds.TimeAdjusted(1, 4200.0, 6000.0, "hand", "longer")
    looked_at = to_proof((700.0, hand), (710.0, kinds.Corrected((5,), undone=True)))
    assert [item.stands for item in looked_at.adjustments] == [False]
    assert looked_at.stages[1].due_length_s == 4200.0
    assert looked_at.events[4].taken_back_by == 6
    assert looked_at.corrected


def test_a_reading_is_held_against_its_check_and_keeps_what_was_said_first() -> None:
    looked_at = to_proof(
        (600.0, replace(DOUGH, value=72.0, typed="72")),
        (650.0, kinds.Corrected((5,), undone=False, value=25.0, typed="25")),
    )
    item = looked_at.readings[0]
    assert (item.reading.value, item.expect, item.inside) == (25.0, (24.0, 26.0), True)
    assert [earlier.value for earlier in item.reading.earlier] == [72.0]
    assert looked_at.events[4].put_right_by == (6,)


def test_the_modelled_line_passes_through_every_reading_and_drifts_to_the_room() -> None:
    later = replace(DOUGH, value=25.0, typed="25", check=None)
    looked_at = to_proof((600.0, DOUGH), (2400.0, later), (9000.0, kinds.StageEnded(1)))
    (curve,) = looked_at.curves
    points = dict(curve.points)
    assert points[600.0] == pytest.approx(27.0)
    assert points[2400.0] == pytest.approx(25.0)
    temperatures = [temp_c for _, temp_c in curve.points]
    assert temperatures == sorted(temperatures, reverse=True)
    assert temperatures[-1] > looked_at.state.kitchen.room_c
    assert not curve.guessed


def test_the_modelled_line_starts_from_the_reading_of_a_moment_before_by_which_the_stage_was_timed() -> None:
    kneaded = replace(DOUGH, value=28.5, typed="28.5", stage=0, check=None)
    looked_at = made(
        (500.0, kneaded), (600.0, kinds.StageEnded(0)), (600.0, kinds.StageBegun(1)), (9000.0, kinds.StageEnded(1))
    )
    (curve,) = looked_at.curves
    assert dict(curve.points)[600.0] == pytest.approx(28.5)
    assert not curve.guessed


def test_without_a_reading_the_line_is_marked_as_guessed() -> None:
    (curve,) = to_proof((4000.0, kinds.StageEnded(1))).curves
    assert curve.guessed
    assert curve.points[0][1] == BATCH.expected_c


def test_a_bake_given_up_ends_its_running_stage_there() -> None:
    looked_at = to_proof((2000.0, kinds.BakeClosed("given up", "the oven broke")))
    assert looked_at.outcome == "given up"
    assert looked_at.stages[1].ended_s == 2000.0
    assert looked_at.stages[2].ended_s is None
    assert "the oven broke" in page(looked_at)


def test_a_bake_of_which_only_the_opening_is_there_can_be_looked_at() -> None:
    looked_at = review(chain("one", [(0.0, opened())]))
    assert looked_at.outcome == "unfinished"
    assert looked_at.curves == ()
    assert [stage.actual_s for stage in looked_at.stages] == [None] * 6
    assert "Harbour knots" in page(looked_at)
    assert picture(looked_at).startswith("<svg")


def across_a_set_clock() -> list[Event]:
    """The clock is set an hour forward, 100 s into the first stage; the boot clock goes on as it did."""
    stamps = [stamp(0.0), stamp(0.0), stamp(100.0, wall_shift_s=3600.0), stamp(600.0, wall_shift_s=3600.0)]
    bodies: list[Body] = [opened(), kinds.StageBegun(0), kinds.ClockSet(3600.0), kinds.StageEnded(0)]
    events: list[Event] = []
    for number, (at, body) in enumerate(zip(stamps, bodies, strict=True), start=1):
        events.append(make_event("one", number, number, at, body, events[-1].digest if events else ""))
    return events


def test_a_clock_that_is_set_moves_no_length_and_times_read_as_they_did_then() -> None:
    looked_at = review(across_a_set_clock())
    assert looked_at.stages[0].actual_s == 600.0
    assert looked_at.moments.wall_us(50.0) == MORNING_US + 50_000_000
    assert looked_at.moments.wall_us(600.0) == MORNING_US + 600_000_000 + 3_600_000_000
    assert "The clock was set forward by 1 h" in page(looked_at)


def test_a_night_with_a_daylight_saving_change_shows_both_offsets() -> None:
    """Central European Time: on 29 March 2026 UTC+1 becomes UTC+2 at 01:00 UTC (Directive 2000/84/EC)."""
    begin_us = 1_774_742_400_000_000  # 29 March 2026, 00:00 UTC
    before = Stamp(begin_us, 0, "b", 60)
    after = Stamp(begin_us + 2 * 3_600_000_000, 2 * 3_600_000_000, "b", 120)
    events = [make_event("one", 1, 1, before, opened(), "")]
    events.append(make_event("one", 2, 2, after, kinds.NoteAdded("morning"), events[0].digest))
    looked_at = review(events)
    times = [event["at"] for event in bake_json(looked_at)["events"]]
    assert times == ["2026-03-29T01:00:00+01:00", "2026-03-29T04:00:00+02:00"]
    assert looked_at.events[1].at_s == 7200.0


def test_an_hour_that_comes_twice_is_told_apart_in_every_text() -> None:
    """Central European Time: on 25 October 2026 UTC+2 becomes UTC+1 at 01:00 UTC (Directive 2000/84/EC).

    A proof from 02:21 to 02:32 that took 1 h 11 min; the offset is written as in ISO 8601.
    """
    begin_us = 1_792_887_660_000_000  # 25 October 2026, 00:21 UTC
    before = Stamp(begin_us, 0, "b", 120)
    after = Stamp(begin_us + 71 * 60_000_000, 71 * 60_000_000, "b", 60)
    events: list[Event] = []
    for at, body in ((before, opened()), (before, kinds.StageBegun(0)), (after, kinds.StageEnded(0))):
        events.append(make_event("one", len(events) + 1, 1, at, body, events[-1].digest if events else ""))
    looked_at = review(events)
    assert "02:21+02" in page(looked_at)
    assert "02:32+01" in page(looked_at)
    (line,) = [line for line in show_lines(looked_at) if line.startswith("Knead")]
    assert line.split()[3:7] == ["02:21+02", "02:32+01", "1", "h"]
    ticks = [words for words in re.findall(r">([^<]*)</text>", picture(looked_at)) if words[-3:] in ("+02", "+01")]
    assert len(ticks) > 2
    assert len(set(ticks)) == len(ticks)


def test_a_reading_that_is_put_right_twice_says_each_time_what_it_was() -> None:
    reading = kinds.ReadingTaken("dough temperature", 31.0, "31", raw=31.0)
    log = chain(
        "one",
        [
            (0.0, opened()),
            (1.0, reading),
            (2.0, kinds.Corrected((2,), undone=False, value=26.5, typed="26.5")),
            (3.0, kinds.Corrected((2,), undone=False, value=27.5, typed="27.5")),
        ],
    )
    said = [line.words for line in review(log).events]
    assert said[2] == "Corrected: dough temperature 31.0 °C → 26.5 °C"
    assert said[3] == "Corrected: dough temperature 26.5 °C → 27.5 °C"
    assert any("31.0 °C, then 26.5 °C" in line for line in show_lines(review(log)))


def test_a_bake_of_an_older_version_without_newer_fields_is_read() -> None:
    """Fields that came later, such as the batch's warming or the kitchen's pace, have a value of their own."""
    row = to_row(chain("one", [(0.0, replace(opened(), version="0.0.1"))])[0])
    body = json.loads(row.body)
    del body["batch"]["rise_k"], body["kitchen"]["pace"], body["kitchen"]["drift"]
    looked_at = review([from_row(replace(row, body=json.dumps(body)))])
    assert looked_at.state.batch.rise_k is None
    assert looked_at.state.kitchen.pace == 1.0
    assert "Proofbell 0.0.1" in page(looked_at)


def test_losses_follow_from_the_weights_on_either_side_of_the_oven() -> None:
    """Bocevska et al., Kemija u industriji: 683.1 g of dough give a cooled loaf of 600 g, 12.2 percent less."""
    formula = replace(
        KNOTS, stages=(*KNOTS.stages[:4], replace(KNOTS.stages[4], checks=(Check("weight", "start"),)), KNOTS.stages[5])
    )
    batch = replace(BATCH, dough_g=700.0, pieces=None, piece_g=None)
    events: list[tuple[float, Body]] = [(0.0, replace(opened(formula), batch=batch))]
    for index in range(5):
        events += [(index * 100.0, kinds.StageBegun(index))]
        if index == 4:
            events.append((index * 100.0, kinds.ReadingTaken("weight", 683.1, "683.1", stage=4, check=0)))
        events.append((index * 100.0 + 90.0, kinds.StageEnded(index)))
    events += [(500.0, kinds.StageBegun(5)), (600.0, kinds.ReadingTaken("weight", 600.0, "600", stage=5))]
    looked_at = review(chain("one", events))
    assert looked_at.bake_loss_percent == pytest.approx(12.2, abs=0.05)
    assert looked_at.make_up_loss_percent == pytest.approx(100 * (1 - 683.1 / 700), abs=1e-9)


def test_one_piece_on_the_scale_stands_for_all_of_them_and_a_bowl_for_none() -> None:
    piece = kinds.ReadingTaken("weight", 74.0, "74", stage=0)
    bowl = kinds.ReadingTaken("weight", 1900.0, "1900", stage=0)
    assert weights_around_bake(made((10.0, piece)).state) == (74.0 * 12, None)
    assert weights_around_bake(made((10.0, bowl)).state) == (None, None)


def test_tasks_and_their_silences_are_said_in_words() -> None:
    looked_at = to_proof(
        (700.0, kinds.TaskDone(OvenTask("oven on", 4), 1)),
        (710.0, kinds.TaskDone(Silenced(PromptId("due", 1, at_s=4200)), 1)),
        (720.0, kinds.TaskDone(OvenTask("turn", 4), 1)),
        (730.0, kinds.TaskDone(OvenTask("oven on", 4), 1, done=False)),
    )
    words = [line.words for line in looked_at.events[4:]]
    assert words[0] == "Oven on for Bake"
    assert words[1] == "Alarm silenced: First proof due"
    assert words[2] == "Tray turned in Bake"
    assert words[3] == "Oven on for Bake: undone"


@settings(max_examples=15)
@given(st.integers(0, 10_000), st.integers(1, 60))
def test_every_beginning_of_a_bake_can_be_looked_at_and_taken_away(seed: int, cut: int) -> None:
    """A bake broken off after any event is told as far as it went, in every form."""
    events = simulated_bakes(seed, Truth(outliers=0.3), 1)[0].events
    looked_at = review(events[:cut])
    assert len(looked_at.events) == min(cut, len(events))
    assert page(looked_at)
    assert picture(looked_at)
    assert bake_json(looked_at)["outcome"] in {"unfinished", "finished"}
    begun = [stage.begun_s for stage in looked_at.stages if stage.begun_s is not None]
    assert begun == sorted(begun)


def test_every_line_of_the_score_sheet_has_described_ends() -> None:
    """American Society of Baking scoring, as BAKERpedia ("Bread evaluation") gives it.

    Volume, symmetry, crust colour and surface outside; grain, crumb colour, texture, aroma, flavour, mouthfeel inside;
    10 is closest to one's own standard, 1 farthest from it.
    """
    names = [line.name for line in SHEET]
    wanted = {
        "volume",
        "shape",
        "crust colour",
        "crust",
        "crumb",
        "crumb colour",
        "texture",
        "aroma",
        "flavour",
        "mouthfeel",
    }
    assert set(names) == wanted
    assert len(set(names)) == len(names)
    assert all(line.low and line.high and line.low != line.high for line in SHEET)
    assert (LEAST, MOST) == (1, 10)
    assert line_named("crust") is not None
    assert line_named("sparkle") is None


def test_the_overall_score_is_the_mean_of_what_was_given() -> None:
    assert overall([]) is None
    assert overall([Score("crumb", 8, "", 0.0), Score("crust", 5, "", 0.0)]) == 6.5


def test_a_finished_bake_wants_a_score_once() -> None:
    state = simulated_bakes(1, Truth(), 1)[0]
    assert wants_score(state)
    scored = chain(state.id, [(99_000.0, kinds.ScoreGiven("crumb", 7))], state.events)
    assert not wants_score(review([*state.events, *scored]).state)
    assert not wants_score(to_proof((2000.0, kinds.BakeClosed("given up"))).state)


def test_moments_of_any_stamp_can_be_written() -> None:
    assert iso(local(MORNING_US, 60)) == "2026-03-14T08:00:00+01:00"
    assert clock(local(MORNING_US, 60), local(MORNING_US - 86_400_000_000, 60)) == "Sat 14 Mar 08:00"
    assert iso(local(10**20, 60)).startswith("9999")
    assert iso(local(-(10**20), 60)).startswith("0001")
    assert iso(local(0, 999_999)) == "1970-01-01T00:00:00+00:00"


def across_the_clock_change() -> BakeReview:
    """First proof from 00:24 to 02:19 in Lisbon on 29 March 2026, when 01:00 UTC became 02:00 there."""
    change_us = 1_774_746_000_000_000 - MORNING_US
    made: list[Event] = []
    bodies: list[tuple[float, Body]] = [
        (-3300.0, opened()),
        (-3300.0, kinds.StageBegun(0)),
        (-2160.0, kinds.StageEnded(0)),
        (-2160.0, kinds.StageBegun(1)),
        (1140.0, kinds.StageEnded(1)),
        (1140.0, kinds.StageBegun(2)),
    ]
    for after_s, body in bodies:
        when = replace(stamp(after_s + change_us / 1e6), offset_min=60 if after_s >= 0 else 0)
        number = len(made) + 1
        made.append(make_event("one", number, number, when, body, made[-1].digest if made else ""))
    return review(made)


def test_across_a_clock_change_lengths_are_what_passed_and_every_form_says_which_offset_held() -> None:
    looked_at = across_the_clock_change()
    proof = looked_at.stages[1]
    assert proof.actual_s == 3300.0
    assert clock(looked_at.moments.local(proof.begun_s or 0.0)) == "00:24"
    assert clock(looked_at.moments.local(proof.ended_s or 0.0)) == "02:19"
    assert looked_at.moments.offset_words() == "UTC+00:00, from 02:19 on UTC+01:00"
    for text in (page(looked_at), "\n".join(show_lines(looked_at)), picture(looked_at)):
        assert "UTC+00:00, from 02:19 on UTC+01:00" in text
    assert "2026-03-29 02:19:00 UTC+01:00" in page(looked_at)
    assert bake_json(looked_at)["stages"][1]["ended"] == "2026-03-29T02:19:00+01:00"


def test_the_pictures_hours_are_those_of_the_wall_on_either_side_of_a_clock_change() -> None:
    hours = re.findall(r'text-anchor="middle">(?:[^<]* )?(\d\d:\d\d)(?:\+\d\d)?<', picture(across_the_clock_change()))
    assert "00:30" in hours
    assert "02:30" in hours
    assert "01:30" not in hours


def test_a_stage_in_which_the_bake_was_given_up_is_neither_early_nor_late() -> None:
    looked_at = to_proof((1000.0, kinds.BakeClosed("given up", "power cut")))
    proof = looked_at.stages[1]
    assert (proof.actual_s, proof.over_s, proof.against_due) == (400.0, None, "given up")
    assert "shorter" not in "\n".join(show_lines(looked_at))


def test_what_the_other_method_said_is_told_once() -> None:
    reason = "Dough 27.0 °C: 70 → 55 min by the formula (the rate says 63, 60 to 67 min)."
    change = kinds.TimeAdjusted(1, 4200.0, 3300.0, "bands", reason, band_s=3300.0, rate_s=3780.0)
    change = replace(change, rate_low_s=3600.0, rate_high_s=4020.0)
    looked_at = to_proof((610.0, change))
    for text in (page(looked_at), "\n".join(show_lines(looked_at))):
        assert "the rate says 63" in text
        assert "would have given" not in text


@given(st.lists(st.tuples(st.floats(90.0, 930.0), st.floats(205.0, 375.0)), min_size=1, max_size=12))
@settings(max_examples=60)
def test_no_two_values_in_the_picture_lie_on_each_other(dots: list[tuple[float, float]]) -> None:
    taken: list[tuple[float, float]] = []
    for x, y in dots:
        place = free_place(x, y, taken)
        if place is not None:
            assert all(abs(place[0] - a) >= LABEL_WIDTH or abs(place[1] - b) >= LABEL_HEIGHT for a, b in taken)
            taken.append(place)
    assert taken


def test_two_near_readings_both_keep_their_value_in_the_picture() -> None:
    second = kinds.ReadingTaken("dough temperature", 27.1, "27.1", stage=1)
    text = picture(to_proof((600.0, DOUGH), (700.0, second)))
    places = re.findall(r'<text x="([\d.]+)" y="([\d.]+)" fill="#222222">(27\.[01])<', text)
    assert sorted(value for _, _, value in places) == ["27.0", "27.1"]
    (x, y), (a, b) = ((float(x), float(y)) for x, y, _ in places)
    assert abs(x - a) >= LABEL_WIDTH or abs(y - b) >= LABEL_HEIGHT
