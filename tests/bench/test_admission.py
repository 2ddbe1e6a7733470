"""Loading a dough while another is in the oven: asked about when there is no place for it, or another heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.heats import takes_s
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Silenced
from proofbell.bench.agenda import ahead
from proofbell.bench.board import Board, Coming, board
from proofbell.formula.model import OvenWish, Phase
from tests.support.decided import TO_FINAL_PROOF, at, bake

JUDGED = (9350, intents.Read("rise", "70", raw=70.0))
WARM = (6400, intents.Read("dough temperature", "25", raw=25.0))


@pytest.mark.parametrize(("places", "asked"), [(1, ("A is in the oven, which has 1 place.",)), (2, ())])
def test_there_is_no_place_beside_another_in_an_oven_of_one(places: int, asked: tuple[str, ...]) -> None:
    there = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    next_one = bake("B", "harbour-knots", *TO_FINAL_PROOF, JUDGED)

    seen = board([there, next_one], at(9400), places)

    assert seen.asks_first(next_one) == asked


def test_another_heat_is_asked_about_however_many_places_there_are() -> None:
    loaf = (
        (0, intents.Begin()), (840, intents.Done()), (5340, intents.Done()), (5820, intents.Done()),
        (6720, intents.Done()), (7200, intents.Done()), (10_400, intents.Read("rise", "120", raw=120.0)),
    )  # fmt: skip
    there = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    next_one = bake("B", "quay-pan-loaf", *loaf)
    assert next_one.current is not None
    assert next_one.stage(next_one.current + 1).kind == "bake"

    asked = board([there, next_one], at(10_500), 3).asks_first(next_one)

    assert asked == ("A is in the oven at 190 °C; this wants 220 °C.",)


@pytest.mark.parametrize(("into_s", "asked"), [(60, ("A is in the oven at 220 °C; this wants 190 °C.",)), (400, ())])
def test_a_bake_of_two_heats_is_asked_about_by_the_heat_it_has_now(into_s: int, asked: tuple[str, ...]) -> None:
    there = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    assert there.current is not None
    stages = list(there.formula.stages)
    stages[there.current] = replace(stages[there.current], phases=(Phase(300.0, 220.0), Phase(660.0, 190.0)))
    there = replace(there, formula=replace(there.formula, stages=tuple(stages)))
    next_one = bake("B", "harbour-knots", *TO_FINAL_PROOF, JUDGED)

    assert board([there, next_one], at(9360 + into_s), 3).asks_first(next_one) == asked


def test_a_stage_that_loads_nothing_is_not_asked_about() -> None:
    there = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    kneading = bake("B", "harbour-knots", *TO_FINAL_PROOF[:2])

    assert board([there, kneading], at(9400)).asks_first(kneading) == ()


def to_load(*later_s: int, places: int, now_s: int) -> list[str]:
    """What doughs in their final proof are told of loading, B first, while A is in the oven from 9360 to 10 320 s."""
    there = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    others = [
        bake(letter, "harbour-knots", *((at_s + by_s, said) for at_s, said in TO_FINAL_PROOF))
        for letter, by_s in zip("BCD", later_s, strict=False)
    ]
    seen = board([there, *others], at(now_s), places)
    return [one.prompt.words for one in seen.coming if one.letter != "A" and "load" in one.prompt.words]


@pytest.mark.parametrize(
    ("later_s", "places", "now_s", "told"),
    [
        ((0,), 1, 9400, ["judge the rise, then load once A is out"]),
        ((0,), 2, 9400, ["judge the rise, then load the oven"]),
        ((0,), 1, 10_400, ["judge the rise, then load once A is out"]),  # A should be out by then, and is not
        ((300,), 1, 9400, ["judge the rise, then load once A is out"]),  # due before A is out
        ((1200,), 1, 9400, ["judge the rise, then load the oven"]),
    ],
)
def test_a_dough_that_has_to_wait_for_the_oven_is_told_for_whom(
    later_s: tuple[int, ...], places: int, now_s: int, told: list[str]
) -> None:
    assert to_load(*later_s, places=places, now_s=now_s) == told


def test_the_dough_in_hand_is_told_the_same_as_the_list() -> None:
    there = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    next_one = bake("B", "harbour-knots", *TO_FINAL_PROOF)
    view = board([there, next_one], at(9400)).of(next_one.id)

    assert view is not None
    assert [prompt.words for prompt in view.rings if prompt.over] == ["judge the rise, then load once A is out"]


def test_with_two_in_the_oven_it_is_the_first_to_come_out_that_is_waited_for() -> None:
    there = [
        bake(letter, "harbour-knots", *TO_FINAL_PROOF, (done_s, intents.Done()))
        for letter, done_s in (("A", 9500), ("B", 9400))
    ]
    waiting = bake("C", "harbour-knots", *TO_FINAL_PROOF)
    seen = board([*there, waiting], at(9600), 2)

    assert [one.prompt.words for one in seen.rings if one.letter == "C" and one.prompt.over] == [
        "judge the rise, then load once B is out"
    ]


def test_who_silences_a_load_that_waits_is_called_again_when_the_oven_is_free() -> None:
    there = (*TO_FINAL_PROOF, (9360, intents.Done()))
    waiting = bake("B", "harbour-knots", *TO_FINAL_PROOF)
    first = board([bake("A", "harbour-knots", *there), waiting], at(9400))
    ring = next(one for one in first.rings if one.prompt.over)
    hushed = bake("B", "harbour-knots", *TO_FINAL_PROOF, (9410, intents.Task(Silenced(ring.prompt.id))))

    def due(*more: tuple[float, intents.Intent], now_s: int) -> list[str]:
        seen = board([bake("A", "harbour-knots", *there, *more), hushed], at(now_s))
        return [one.prompt.words for one in seen.rings if one.letter == "B" and one.prompt.over]

    assert due(now_s=9420) == []
    assert due((10_320, intents.Done()), now_s=10_330) == ["judge the rise, then load the oven"]


def late_beside(letters: str, now_s: float) -> tuple[BakeState, Board]:
    """The first is in the oven at 190 °C until 10 320 s; the other was judged ready, and wants 170 °C."""
    there = bake(letters[0], "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    waiting = bake(letters[1], "harbour-knots", *TO_FINAL_PROOF, WARM, JUDGED)
    waiting = replace(waiting, formula=replace(waiting.formula, oven=OvenWish(170.0)))
    return waiting, board([there, waiting], at(now_s))


@pytest.mark.parametrize("letters", ["AB", "BA"])
def test_what_waits_for_the_oven_is_listed_in_an_order_that_hands_can_keep(letters: str) -> None:
    waiting, seen = late_beside(letters, 9900)
    there_letter, waits = letters[0], letters[1]
    listed = [
        (one.letter, one.words.split(" (")[0].split(",")[0])
        for one in ahead([waiting], seen)
        if "oven" in one.words or "out" in one.words
    ]

    assert listed == [
        (there_letter, "read the core"),
        (waits, "oven down to 170 °C"),
        (waits, f"load once {there_letter} is out"),
        (waits, "take it out"),
    ]
    view = seen.of(waiting.id)
    assert view is not None
    # From 190 to 170 °C at 37 min for 100 K: the strip has it there, too.
    begins_s = next(span.begin_s for span in view.spans if span.kind == "bake")
    assert begins_s == pytest.approx(10_320 + takes_s(waiting, 170.0, 190.0))
    assert view.do.startswith(f"Load once {there_letter} is out, ")


def test_the_heat_is_changed_once_somebody_has_said_that_the_bake_before_is_out_not_by_the_clock() -> None:
    waiting, late = late_beside("AB", 10_500)
    out = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()), (10_500, intents.Done()))
    said = board([out, waiting], at(10_501))

    def of_the_oven(found: Sequence[Coming]) -> list[str]:
        return [one.prompt.words for one in found if one.letter == "B" and one.prompt.kind in ("oven on", "due")]

    assert of_the_oven(late.rings) == []
    assert of_the_oven([one for one in late.coming if one.now]) == []
    assert of_the_oven(said.rings) == ["oven down to 170 °C"]
    # And the strip has its bake no sooner than the oven can be at that heat.
    begins_s = next(s.begin_s for v in said.views if v.letter == "B" for s in v.spans if s.kind == "bake")
    assert begins_s == pytest.approx(10_501 + takes_s(waiting, 170.0, 190.0))
