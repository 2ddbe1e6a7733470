"""Who was told to go into the oven next, and has another before it now, is told so once."""

from __future__ import annotations

from proofbell.app.planning.turns_told import TurnsTold
from proofbell.bake import intents
from proofbell.bench.board import board
from tests.support.decided import TO_FINAL_PROOF, at, bake, said


def test_a_dough_that_was_judged_short_lets_the_other_go_first_and_that_is_said_once() -> None:
    there = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    second = bake("B", "harbour-knots", *((at_s + 60, intent) for at_s, intent in TO_FINAL_PROOF))
    third = bake("C", "harbour-knots", *((at_s + 180, intent) for at_s, intent in TO_FINAL_PROOF))
    turns = TurnsTold()

    assert turns.news(board([there, second, third], at(9600))) == []
    # Its proof gets 8 min more.
    short = said(second, 9610, intents.Read("rise", "30", raw=30.0))
    seen = board([there, short, third], at(9610))
    assert seen.next_in == ("C", "B")
    assert turns.news(seen) == ["C goes into the oven before B now"]
    assert turns.news(board([there, short, third], at(9611))) == []


def test_nothing_is_said_of_an_order_that_nobody_was_told() -> None:
    second = bake("B", "harbour-knots", *TO_FINAL_PROOF)
    third = bake("C", "harbour-knots", *((at_s + 180, intent) for at_s, intent in TO_FINAL_PROOF))
    turns = TurnsTold()

    assert turns.news(board([second], at(6500))) == []
    assert turns.news(board([second, third], at(6600))) == []
