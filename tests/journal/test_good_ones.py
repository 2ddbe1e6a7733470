"""What goes with points: the figures against scipy and published examples, the findings against made-up journals."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from proofbell.cli.printed.course_text import text_lines
from proofbell.journal.course.course import Baked, course
from proofbell.journal.course.course_svg import course_svg
from proofbell.journal.course.good_ones import ENOUGH, MOST, Look, looks, looks_at
from proofbell.journal.course.good_words import TITLE, look_words
from proofbell.journal.course.ranks import Together, discoveries, ranks, spearman
from tests.support.year import summaries

SCORES = st.lists(st.tuples(st.integers(-9, 9), st.integers(1, 10)), min_size=5, max_size=40)


@settings(max_examples=80)
@given(SCORES)
def test_ranks_and_correlation_are_scipys(pairs: list[tuple[int, int]]) -> None:
    left, right = zip(*pairs, strict=True)
    assert ranks(left) == list(stats.rankdata(left))
    found = spearman(left, right)
    if len({*left}) == 1 or len({*right}) == 1:
        assert found is None
    else:
        assert found is not None
        assert found.r == pytest.approx(stats.spearmanr(left, right).statistic, abs=1e-12)
        assert found.low <= found.r <= found.high


def test_the_chance_is_about_that_of_the_t_distribution() -> None:
    rng = random.Random(5)
    for count in (15, 25, 60):
        for pull in (0.0, 0.3, 0.6):
            left = [rng.gauss(0, 1) for _ in range(count)]
            right = [pull * x + rng.gauss(0, 1) for x in left]
            found = spearman(left, right)
            assert found is not None
            assert found.p == pytest.approx(stats.spearmanr(left, right).pvalue, abs=0.02)
            assert (found.p < 0.05) == (stats.spearmanr(left, right).pvalue < 0.05)


def test_the_range_is_that_of_the_published_example() -> None:
    # The example of ci.spear in the package statpsych by D. G. Bonett (dgbonett.github.io/statpsych).
    y = (21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19)
    x = (67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51)
    found = spearman(y, x)
    assert found is not None
    assert (found.r, found.low, found.high) == pytest.approx((0.8699639, 0.5840951, 0.9638297), abs=1e-6)


def test_many_looks_count_as_in_the_papers_example() -> None:
    # Fifteen chances of Benjamini and Hochberg 1995, of which the first four count at 0.05; from memory.
    chances = (
        *(0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344),
        *(0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0000),
    )
    assert discoveries(chances, 0.05) == [True] * 4 + [False] * 11


@settings(max_examples=80)
@given(st.lists(st.floats(0, 1), min_size=1, max_size=8))
def test_many_looks_count_as_in_scipy(chances: list[float]) -> None:
    adjusted = stats.false_discovery_control(chances)
    if all(abs(each - 0.05) > 1e-9 for each in adjusted):
        assert discoveries(chances, 0.05) == [bool(each <= 0.05) for each in adjusted]


def test_what_is_always_together_or_never_varies() -> None:
    assert spearman([1, 2, 3, 4], [2, 4, 6, 8]) == Together(1.0, 1.0, 1.0, 0.0)
    assert spearman([1, 2, 3, 4], [5, 5, 5, 5]) is None
    assert spearman([1, 2, 3], [1, 2, 3]) is None
    assert discoveries([], 0.05) == []


MODEL = course("Harbour knots", summaries()).bakes[0]


def journal(seed: int, points: Callable[[random.Random, float], float], count: int = 40) -> list[Baked]:
    """Bakes with figures by chance, a week apart; the points may follow the dough's temperature."""
    rng = random.Random(seed)
    made = []
    for number in range(count):
        dough_c = rng.gauss(25, 1)
        summary = replace(
            MODEL.summary,
            began_us=MODEL.summary.began_us + number * 7 * 86_400_000_000,
            proof_actual_s=rng.gauss(7200, 600),
            score=points(rng, dough_c),
        )
        measured = MODEL.figures._replace(kneaded_c=dough_c, room_c=rng.gauss(21, 2), over_s=abs(rng.gauss(0, 300)))
        made.append(Baked(summary, measured))
    return made


def by_chance(rng: random.Random, _dough_c: float) -> float:
    return float(rng.randint(5, 10))


def by_dough(rng: random.Random, dough_c: float) -> float:
    return max(1.0, min(10.0, round(7 + 1.2 * (dough_c - 25) + rng.gauss(0, 1))))


def test_where_there_is_nothing_nothing_is_found_in_nineteen_of_twenty() -> None:
    found = [any(look.counts for look in looks_at(journal(seed, by_chance))) for seed in range(20)]
    assert sum(found) <= 1


def test_what_is_strong_is_found_in_nine_of_ten_and_nothing_else_is_taken_for_it() -> None:
    found = [[look.name for look in looks_at(journal(seed, by_dough)) if look.counts] for seed in range(10)]
    assert sum("kneaded_c" in names for names in found) >= 9
    assert sum(names == ["kneaded_c"] for names in found) >= 8


def test_nothing_is_said_of_fewer_scored_bakes_than_it_takes() -> None:
    assert looks_at(journal(1, by_dough, ENOUGH - 1)) == ()
    assert looks_at(journal(1, by_dough, ENOUGH)) != ()
    without_rooms = [
        replace(baked, figures=baked.figures._replace(room_c=21.0 if number < 3 else None))
        for number, baked in enumerate(journal(1, by_dough))
    ]
    room = next(look for look in looks_at(without_rooms) if look.name == "room_c")
    assert (room.bakes, room.together, room.counts) == (3, None, False)
    assert "too few" in look_words(room)


def test_only_the_newest_bakes_are_looked_at() -> None:
    old = journal(1, lambda _rng, dough_c: 10 - 9 * (dough_c > 25), 200)
    found = looks_at([*old, *journal(2, by_chance, MOST)])
    assert not found[0].counts
    assert found[0].bakes == MOST


def test_the_words_are_plain_and_claim_no_cause() -> None:
    strong, weak = Together(-0.62, -0.81, -0.3, 0.0001), Together(0.1, -0.2, 0.4, 0.5)
    assert look_words(Look("kneaded_c", 22, strong, counts=True)) == (
        "More points with colder dough: seen in 22 bakes, correlation −0.6 (−0.8 to −0.3)"
    )
    assert look_words(Look("room_c", 22, weak, counts=False)) == "Room: seen in 22 bakes; may be chance"


def test_the_time_of_year_goes_round() -> None:
    made = course("Harbour knots", summaries())
    look = next(look for look in looks(made) if look.name == "from_midwinter_days")
    assert look.bakes == 51
    by_season = [
        replace(baked, summary=replace(baked.summary, score=9.0 if 120 < number * 7 < 270 else 5.0 + number % 2))
        for number, baked in enumerate(made.bakes)
    ]
    season = next(look for look in looks_at(by_season) if look.name == "from_midwinter_days")
    assert season.counts
    assert "nearer to mid-July" in look_words(season)


def test_text_and_picture_of_a_course_say_the_same_of_the_good_ones() -> None:
    made = course("Harbour knots", summaries())
    told = [look_words(look) for look in looks(made)]
    assert len(told) == 5
    drawn = course_svg(made)
    printed = " ".join(" ".join(text_lines(made)).split())
    assert all(words in drawn and words in printed for words in told)
    few = course("Harbour knots", sorted(summaries(), key=lambda each: each.began_us)[:9])
    assert TITLE not in course_svg(few)
