"""Bakes stand on the bench by their letters, until one is put elsewhere; that is kept, and can be taken back."""

from __future__ import annotations

import asyncio

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.app.session.live import Live
from proofbell.bake import intents
from proofbell.bake.fold import fold
from proofbell.bench.row_order import in_rows, row_beyond
from tests.support.kitchen_scene import KNOTS, empty_bench, of, put_on, say


def bench(live: Live) -> str:
    """The letters from the top of the bench to the bottom."""
    return "".join(state.letter for state in in_rows(live.states))


async def move(live: Live, letter: str, step: int) -> None:
    """Put a bake past its neighbour."""
    state = next(state for state in live.states if state.letter == letter)
    row = row_beyond(live.states, state.id, step)
    assert row is not None
    await say(live, state.id, intents.TakeRow(row))


async def four() -> Live:
    """Four bakes on the bench."""
    live, _clock = empty_bench()
    for _ in range(4):
        await put_on(live, KNOTS)
    return live


@given(st.lists(st.tuples(st.sampled_from("ABCD"), st.sampled_from((-1, 1))), max_size=12))
def test_each_move_changes_places_with_one_neighbour_and_the_end_of_the_bench_is_an_end(
    moves: list[tuple[str, int]],
) -> None:
    async def moved() -> None:
        live = await four()
        wanted = list("ABCD")
        for letter, step in moves:
            at = wanted.index(letter)
            state = next(state for state in live.states if state.letter == letter)
            if not 0 <= at + step < 4:
                assert row_beyond(live.states, state.id, step) is None
                continue
            wanted[at], wanted[at + step] = wanted[at + step], wanted[at]
            await move(live, letter, step)
            assert bench(live) == "".join(wanted)

    asyncio.run(moved())


async def test_the_order_is_in_the_log_and_comes_back_with_it() -> None:
    live = await four()
    await move(live, "D", -1)
    await move(live, "A", 1)
    assert bench(live) == "BADC"

    again = [fold(state.events) for state in live.states]

    assert "".join(state.letter for state in in_rows(again)) == "BADC"
    assert [view.letter for view in live.board().views] == list("BADC")


async def test_a_move_can_be_taken_back() -> None:
    live = await four()
    await move(live, "B", 1)
    second = next(state.id for state in live.states if state.letter == "B")
    await say(live, second, intents.Undo())

    assert bench(live) == "ABCD"
    assert of(live, second).row is None


async def test_to_move_a_dough_moves_nothing_in_the_plan() -> None:
    live = await four()
    before = [state.letter for state in live.states]
    await move(live, "D", -1)

    assert [state.letter for state in live.states] == before


@pytest.mark.parametrize("row", [float("nan"), float("inf")])
async def test_a_row_that_is_no_number_is_refused(row: float) -> None:
    live = await four()
    first = live.states[0].id

    assert await live.say(first, intents.TakeRow(row)) is not None
    assert of(live, first).row is None
