"""The door by itself: a code is good once, ten wrong ones close it, and a session that nobody uses ends."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.serve.door import DIGITS, IDLE_US, MOST_WRONG, Door, Refused, new_code


def test_a_code_is_long_and_never_the_same() -> None:
    # Ten tries at 10^12 codes: one in 10^11.
    codes = {new_code() for _ in range(200)}
    assert len(codes) == 200
    assert all(len(code) == DIGITS and code.isdecimal() for code in codes)
    assert 10**DIGITS / MOST_WRONG >= 10**11


def test_a_code_lets_in_once() -> None:
    door = Door()
    code = door.code
    token = door.knock(f" {code[:4]} {code[4:8]}-{code[8:]}\n", 0)
    assert isinstance(token, str)
    assert len(token) >= 40
    assert door.knows(token, 1)
    assert door.code != code
    assert door.knock(code, 2) is Refused.WRONG


@given(st.lists(st.text(max_size=14), min_size=MOST_WRONG, max_size=MOST_WRONG))
@settings(max_examples=25)
def test_ten_wrong_codes_close_it_for_the_right_one_too(said: list[str]) -> None:
    door = Door(code="123412341234")
    answers = [door.knock(each, 0) for each in said]
    assert answers == [Refused.WRONG] * (MOST_WRONG - 1) + [Refused.CLOSED]
    assert door.is_closed
    assert door.knock(door.code, 0) is Refused.CLOSED


def test_right_codes_between_do_not_open_more_tries() -> None:
    door = Door()
    for _ in range(MOST_WRONG - 1):
        assert door.knock("1", 0) is Refused.WRONG
        assert isinstance(door.knock(door.code, 0), str)
    assert door.knock("1", 0) is Refused.CLOSED


def test_who_is_in_stays_in_when_it_closes() -> None:
    door = Door()
    token = door.knock(door.code, 0)
    assert isinstance(token, str)
    for _ in range(MOST_WRONG):
        door.knock("", 0)
    assert door.knows(token, 1)


def test_a_session_ends_unused_and_not_while_it_is_used() -> None:
    door = Door()
    token = door.knock(door.code, 0)
    assert isinstance(token, str)
    assert door.knows(token, IDLE_US - 1)
    assert not door.knows(token, IDLE_US)
    door.used(token, IDLE_US - 1)
    assert door.knows(token, IDLE_US)
    door.forget_unused(2 * IDLE_US)
    door.used(token, 2 * IDLE_US)
    assert not door.knows(token, 2 * IDLE_US)


def test_an_invented_token_is_not_known() -> None:
    door = Door()
    for invented in ("", "x", "ü" * 43, door.code):
        assert not door.knows(invented, 0)
        door.used(invented, 0)
        assert not door.knows(invented, 0)
