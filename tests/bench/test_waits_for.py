"""A dough is asked to move only by what it would else meet, and the reason names who is met."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bench.plan.day_hands import HandsAct, HandsLine
from proofbell.bench.plan.timetable import BakeTimes, Line, Timetable
from proofbell.bench.plan.waits_for import Way, way_for
from proofbell.planner.problem import Capacity

MINUTE_US = 60_000_000
BEGUN = dict.fromkeys("ABCDE", True)


def clock(at_us: int) -> str:
    return f"{at_us // MINUTE_US // 60:02}:{at_us // MINUTE_US % 60:02}"


def stages(letter: str, *kinds: tuple[str, int, int], wanted_min: int | None = None) -> BakeTimes:
    lines = tuple(
        Line(letter, kind.title(), kind, begins * MINUTE_US, ends * MINUTE_US, 0, 0, 0, past=False)
        for kind, begins, ends in kinds
    )
    return BakeTimes(letter, "Knots", lines, None if wanted_min is None else wanted_min * MINUTE_US)


def hands(letter: str, begins: int, ends: int, stage: int | None = 0) -> HandsLine:
    act = HandsAct(letter, "weigh" if stage is None else "stage", stage, "Shape")
    return HandsLine(begins * MINUTE_US, ends * MINUTE_US, (act,))


def later(table: Timetable, minutes: int, **begun: bool) -> Way | None:
    """What is left of asking A, whose first stage runs, for so many minutes more."""
    return way_for(table, "A", minutes * MINUTE_US, (1, 2), {**BEGUN, **begun}, clock)


def for_others(by_min: int, because: str, for_letter: str = "B") -> Way:
    return Way(by_min * MINUTE_US, because, in_part=False, for_letter=for_letter)


SHAPED = stages("A", ("proof", 0, 100), ("hands", 100, 120), ("bake", 200, 240))


def test_hands_that_are_busy_are_named_with_when_they_are_free() -> None:
    table = Timetable((SHAPED, stages("B", ("hands", 70, 100))), (), (hands("B", 70, 100), hands("A", 100, 120, 1)))

    assert later(table, 30) == for_others(30, "B has the hands until 01:40")


def test_no_more_is_asked_than_until_hands_are_free() -> None:
    table = Timetable((SHAPED, stages("B", ("hands", 40, 60))), (), (hands("B", 40, 60), hands("A", 100, 120, 1)))

    assert later(table, 60) == for_others(20, "B has the hands until 01:00")


@pytest.mark.parametrize(("works_min", "asked"), [(4, False), (8, False), (60, True)])
def test_no_dough_is_moved_by_hours_for_minutes_of_hands(works_min: int, *, asked: bool) -> None:
    """Between the others there is no room for its own twenty minutes; it waits those minutes instead."""
    others = [hands("B", 0, works_min), *(hands("B", at, at + 6) for at in range(works_min + 9, 98, 13))]
    table = Timetable((SHAPED, stages("B", ("hands", 0, 98))), (), (*others, hands("A", 100, 120, 1)))

    assert (later(table, 100) is not None) == asked


def test_a_dough_that_has_not_begun_is_moved_itself_and_nothing_is_asked() -> None:
    table = Timetable((SHAPED, stages("B", ("hands", 70, 100))), (), (hands("B", 70, 100), hands("A", 100, 120, 1)))

    assert later(table, 30, B=False) is None


def test_a_dough_that_must_begin_to_be_ready_in_time_is_made_way_for() -> None:
    waits = stages("B", ("hands", 70, 100), wanted_min=100)
    table = Timetable((SHAPED, waits), (), (hands("B", 70, 100), hands("A", 100, 120, 1)))

    assert later(table, 30, B=False) == for_others(30, "so that B can begin at 01:10")


@pytest.mark.parametrize(("begins_min", "asked"), [(100, True), (103, True), (160, False)])
def test_what_is_weighed_out_long_ahead_can_be_weighed_at_another_time(begins_min: int, *, asked: bool) -> None:
    other = stages("B", ("hands", begins_min, begins_min + 10), wanted_min=begins_min + 10)
    table = Timetable((SHAPED, other), (), (hands("B", 70, 100, None), hands("A", 100, 120, 1)))

    assert (later(table, 30) is not None) == asked


def test_an_oven_that_is_in_use_is_named_and_one_with_room_is_no_reason() -> None:
    table = Timetable((SHAPED, stages("B", ("bake", 160, 200))), ())

    assert later(table, 30) == for_others(30, "B has the oven until 03:20")
    assert way_for(table, "A", -20 * MINUTE_US, (1, 2), BEGUN, clock) is None, "nobody comes after it"
    roomy = replace(table, capacity=Capacity(trays=2))
    assert later(roomy, 30) == Way(30 * MINUTE_US), "nothing that is seen in the plan"


def test_who_comes_after_a_dough_that_is_to_be_shorter_is_named_by_when() -> None:
    table = Timetable((SHAPED, stages("B", ("bake", 240, 270))), ())

    assert way_for(table, "A", -20 * MINUTE_US, (1, 2), BEGUN, clock) == for_others(-20, "B has the oven from 04:00")


def test_whoever_meets_another_for_less_than_five_minutes_waits() -> None:
    table = Timetable((SHAPED, stages("B", ("bake", 160, 174))), ())

    assert later(table, 30) is None


def test_a_dough_that_would_be_late_may_be_asked_to_be_shorter_and_none_is_made_late_for_nothing() -> None:
    alone = Timetable((replace(SHAPED, wanted_us=240 * MINUTE_US),), ())

    assert way_for(alone, "A", -20 * MINUTE_US, (1, 2), BEGUN, clock) == Way(-20 * MINUTE_US)
    assert later(alone, 30) == Way(30 * MINUTE_US)
    assert later(Timetable((replace(SHAPED, wanted_us=230 * MINUTE_US),), ()), 30) is None


def test_two_pairs_of_hands_are_busy_when_both_are() -> None:
    """Two have work at once, until only one of them has."""
    busy = (hands("B", 70, 100), hands("C", 60, 90))
    doughs = (SHAPED, stages("B", ("hands", 70, 100)), stages("C", ("hands", 60, 90)))
    table = Timetable(doughs, (), (*busy, hands("A", 100, 120, 1)), capacity=Capacity(people=2))

    assert later(table, 30) == for_others(20, "C has the hands until 01:30", "C")


def test_what_a_later_question_can_do_away_with_is_not_asked_about_now() -> None:
    """A's second stage may be longer or shorter: the oven after it is that stage's matter."""
    table = Timetable((SHAPED, stages("B", ("bake", 160, 200))), ())
    rest = replace(SHAPED.lines[1], kind="rest", least_s=600, most_s=3000)
    open_ = replace(SHAPED, lines=(SHAPED.lines[0], rest, SHAPED.lines[2]))

    assert later(replace(table, bakes=(open_, table.bakes[1])), 30) is None


def test_a_minute_of_other_hands_in_the_midst_of_work_makes_nobody_wait_longer() -> None:
    busy = (hands("B", 70, 80), hands("C", 96, 98))
    doughs = (SHAPED, stages("B", ("hands", 70, 80)), stages("C", ("hands", 96, 98)))
    table = Timetable(doughs, (), (*busy, hands("A", 100, 120, 1)))

    assert later(table, 30) == for_others(10, "B has the hands until 01:20")


def test_what_is_weighed_for_the_dough_long_after_its_preferment_moves_no_start() -> None:
    """A's preferment is stirred at 100 min and its dough weighed at 400, when B has the hands by A's own hour."""
    stirred = stages("A", ("hands", 100, 110), ("proof", 110, 410), ("hands", 410, 420))
    stirred = replace(stirred, lines=(stirred.lines[0], replace(stirred.lines[1], most_s=9), stirred.lines[2]))
    own = (hands("A", 90, 100, None), hands("A", 100, 110, 0), hands("A", 400, 410, None), hands("A", 410, 420, 2))

    def asked(*busy: HandsLine) -> Way | None:
        table = Timetable((stirred, stages("B", ("hands", 0, 900))), (), (*own, *busy))
        return way_for(table, "A", 30 * MINUTE_US, (None, 0, 1, 2), BEGUN, clock)

    assert asked(hands("B", 360, 390)) is None
    assert asked(hands("B", 60, 90)) == for_others(30, "B has the hands until 01:30")
