"""The keys of the page are those of the registry, and what they send is read back by Textual's own reader."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest
from textual import events
from textual._xterm_parser import XTermParser

from proofbell.app.widgets.actions import ACTIONS
from proofbell.kitchen.model import Kitchen
from proofbell.serve.keys import PAD, PLAIN, SHOWN, actions_of, plain, sent, sent_by_name, shown, with_control
from proofbell.serve.pages import bench_page, door_page, file_of, look


def read(text: str) -> list[str]:
    parser = XTermParser()
    found = [*parser.feed(text), *parser.feed("")]
    return [event.key for event in found if isinstance(event, events.Key)]


@pytest.mark.parametrize("key", sorted({key for action in ACTIONS for key in action.keys} | set(PLAIN + PAD)))
def test_each_key_of_the_registry_arrives_as_itself(key: str) -> None:
    what = sent(key)
    assert what is not None
    assert read(what) == [key]


@pytest.mark.parametrize("key", sorted(sent_by_name()))
def test_each_key_without_a_character_arrives_as_itself(key: str) -> None:
    assert read(sent_by_name()[key]) == [key]


def test_what_a_baker_needs_is_there_by_the_registry_s_words() -> None:
    keys = shown(ACTIONS)
    assert [key.id for key in keys] == list(SHOWN)
    words = {action.id: action.word for action in ACTIONS}
    assert all(key.name == words[key.id] for key in keys)


def test_the_kitchen_s_own_keys_are_sent() -> None:
    moved = {key.id: key.sends for key in shown(actions_of({"bench.longer": "x"}))}
    assert moved["bench.longer"] == "x"
    assert moved["bench.done"] == " "
    assert actions_of({"bench.longer": "space"}) == ACTIONS  # two on one key: the usual ones, as on the bench


def test_the_pad_has_what_a_reading_is_made_of() -> None:
    sends = {key.sends for key in plain(PAD)}
    assert sends == {*"0123456789.-", "\x7f", "\r"}


def test_only_keys_that_mean_something_are_taken_from_the_browser() -> None:
    assert with_control(ACTIONS) == "nqsz"


def test_the_page_has_each_key_once() -> None:
    page = bench_page(Kitchen(keys=(("bench.done", "comma"),)))
    ids = re.findall(r'data-id="([^"]+)"', page)
    assert ids == [*SHOWN, *PAD, *PLAIN]
    assert json.loads(unescape(re.findall(r'data-sends="([^"]+)"', page)[0])) == ","


def test_no_page_names_another_server() -> None:
    texts = [bench_page(Kitchen()), door_page("n", closed=False), look(""), look("day")]
    texts += [file_of(name) for name in ("bench.js", "screen.js", "bench.css")]
    for text in texts:
        assert re.findall(r"https?://|//[a-z]+\.|@import|url\(", text.replace("ws://${location.host}", "")) == []


def test_the_door_tells_nothing_of_the_bench() -> None:
    page = door_page("n", closed=False)
    assert not re.search(r"bench\.(js|css)|screen\.js|data-sends|window\?", page)
    assert "disabled" in door_page("n", closed=True)


def test_the_page_has_the_kitchen_s_colours_or_the_browser_s() -> None:
    assert "prefers-color-scheme" in look("")
    assert "prefers-color-scheme" not in look("day")
    assert "color-scheme:light" in look("day")
