"""When the bell rings, without a screen."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from proofbell.app.alarms.alarm import (
    EVERY_US,
    LATER_US,
    MOST_WHEN_PATIENT,
    RingSchedule,
    due_in_s,
    may_sound,
    ring_words,
    title_words,
)
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.stamp import Stamp
from proofbell.bake.tasks import PromptId
from proofbell.bench.board import Board, Coming

SECOND = 1_000_000


def ring(letter: str = "A", length_s: int = 3300, at_us: int = 0) -> Coming:
    prompt = Prompt(PromptId("due", 2, at_s=length_s), 0.0, "load the oven")
    return Coming(at_us, letter, f"bake-{letter}", prompt, now=True)


def test_it_rings_at_once_and_then_every_fifteen_seconds_until_answered() -> None:
    bell = RingSchedule()

    heard = [second for second in range(61) if bell.due([ring()], second * SECOND)]

    assert heard == [0, 15, 30, 45, 60]
    assert bell.due([], 75 * SECOND) == ()


def test_what_can_wait_rings_a_few_times_and_then_again_only_as_something_new() -> None:
    bell = RingSchedule()
    ready = replace(ring(), prompt=replace(ring().prompt, patient=True))

    heard = [second for second in range(12 * 3600) if bell.due([ready], second * SECOND)]
    other = replace(ready, letter="B", bake="bake-B")

    assert heard == [15 * number for number in range(MOST_WHEN_PATIENT)]
    assert bell.due([ready, other], 12 * 3600 * SECOND) == (other,)


def test_the_bench_looks_once_more_as_the_next_thing_comes_due_between_two_ticks() -> None:
    def bench(*at_s: float) -> Board:
        things = [replace(ring(), at_us=round(each * SECOND), now=each <= 100) for each in at_s]
        return Board(Stamp(100 * SECOND, 0, "boot", 0), (), tuple(things), (), (), (), None)

    assert due_in_s(bench(90, 100.7, 100.4, 101.2)) == 0.4
    assert due_in_s(bench(90, 100, 101.2)) is None


def test_a_bread_that_has_cooled_wakes_nobody_in_the_quiet_hours() -> None:
    ready = replace(ring("B"), prompt=replace(ring().prompt, patient=True))
    assert may_sound([ring(), ready], quiet=False) == (ring(), ready)
    assert may_sound([ring(), ready], quiet=True) == (ring(),)


def test_the_title_counts_down_by_the_minute_and_says_what_rings() -> None:
    now = Stamp(1_000 * SECOND, 0, "boot", 0)
    to_come = replace(ring(at_us=1_061 * SECOND), now=False)
    board = Board(now, (), (to_come,), (), (), (), None)

    assert title_words(board) == "2 min · A load the oven"
    assert title_words(replace(board, rings=(ring(at_us=700 * SECOND),))) == "A load the oven, 5 min over"
    assert title_words(replace(board, coming=())) == "Proofbell"


def test_a_second_dough_rings_when_its_own_time_comes() -> None:
    bell = RingSchedule()
    bell.due([ring("A")], 0)

    assert [one.letter for one in bell.due([ring("A"), ring("B")], 7 * SECOND)] == ["B"]
    assert [one.letter for one in bell.due([ring("A"), ring("B")], 15 * SECOND)] == ["A"]


def test_what_was_answered_and_is_due_again_rings_at_once() -> None:
    bell = RingSchedule()
    bell.due([ring()], 0)
    bell.due([], SECOND)

    assert bell.due([ring()], 2 * SECOND)


def test_later_keeps_one_thing_still_for_a_while() -> None:
    bell = RingSchedule()
    bell.put_off(ring(), LATER_US)

    assert bell.is_put_off(ring(), 0)
    assert not bell.due([ring()], LATER_US - 1)
    assert bell.due([ring()], LATER_US)
    assert not bell.is_put_off(ring(), LATER_US)


def test_an_alarm_names_the_letter_what_to_do_and_how_late_it_is() -> None:
    assert ring_words(ring(), 30 * SECOND) == "A  load the oven"
    assert ring_words(ring(), 150 * SECOND) == "A  load the oven, 3 min over"


@given(st.lists(st.integers(0, 4 * EVERY_US), max_size=60))
def test_one_thing_never_rings_twice_within_fifteen_seconds(moments: list[int]) -> None:
    bell = RingSchedule()

    heard = [at for at in sorted(moments) if bell.due([ring()], at)]

    assert all(later - earlier >= EVERY_US for earlier, later in pairwise(heard))
