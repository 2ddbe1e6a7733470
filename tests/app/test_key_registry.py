"""The one registry of actions: keys, bindings, help."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

import pytest
from textual.screen import Screen

from proofbell.app.bench.bake_log import BakeLog
from proofbell.app.bench.bench_screen import BenchScreen
from proofbell.app.bench.far.far_view import FarView
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.widgets.actions import ACTIONS, bindings, of_screen, with_keys
from proofbell.app.widgets.key_row import HELP_WIDTH, WHEN, help_page, key_list, when
from proofbell.errors import Failure

SCREENS: dict[str, type[Screen[Any]]] = {
    "bench": BenchScreen,
    "reading": ReadingDialog,
    "far": FarView,
    "log": BakeLog,
}


@pytest.mark.parametrize("name", SCREENS)
def test_every_action_of_a_screen_can_be_done_there(name: str) -> None:
    missing = [a.id for a in of_screen(name) if not hasattr(SCREENS[name], f"action_{a.method}")]

    assert missing == []


def test_no_two_actions_of_a_screen_share_a_key() -> None:
    keys = Counter((action.screen, key) for action in ACTIONS for key in action.keys)

    assert [pair for pair, count in keys.items() if count > 1] == []


def test_no_action_needs_a_key_that_terminals_swallow() -> None:
    keys = {key for action in ACTIONS for key in action.keys}

    assert not [key for key in keys if key.startswith("alt+") or key in {"ctrl+enter", "ctrl+h", "ctrl+i", "ctrl+m"}]


def test_help_lists_every_action_with_its_key() -> None:
    for name in {action.screen for action in ACTIONS}:
        # What is too long goes on below its own words.
        listed = re.sub(r"\n +", " ", key_list(of_screen(name)).plain).splitlines()
        assert len(listed) == len(of_screen(name)) == len({b.id for b in bindings(name)})
        assert all(action.help in line for action, line in zip(of_screen(name), listed, strict=True))


def test_help_at_the_bench_answers_a_baker_with_the_keys_that_hold_here() -> None:
    moved = of_screen("bench", with_keys({"bench.moved": "f5"}))
    shown = help_page(moved).plain
    fridge = next(row for row in when(moved) if "fridge" in row[0])

    assert fridge[1] == "f5"
    assert len(when(moved)) == len(WHEN)
    assert max(len(line) for line in shown.splitlines()) <= HELP_WIDTH
    for width in (33, 53):
        assert max(len(line) for line in help_page(moved, width).plain.splitlines()) <= width
    # All keys are there still, and the questions on the first page of a small terminal.
    assert all(action.help[:30] in shown for action in moved)
    assert shown.splitlines().index("When …") < 12
    assert "When …" not in help_page(of_screen("plan")).plain


def test_a_key_of_the_kitchen_file_takes_the_place_of_the_usual_ones() -> None:
    moved = with_keys({"bench.note": "comma"})

    assert next(a for a in moved if a.id == "bench.note").keys == ("comma",)


def test_a_key_that_is_taken_is_refused_by_name() -> None:
    with pytest.raises(Failure, match=r"bench\.reading.*bench\.note"):
        with_keys({"bench.note": "r"})


def test_an_action_that_is_not_there_is_refused() -> None:
    with pytest.raises(Failure, match=r"bench\.sing"):
        with_keys({"bench.sing": "r"})
