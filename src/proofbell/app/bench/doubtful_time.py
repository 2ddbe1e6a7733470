"""Doubtful time on the bench: a line that stands until somebody has said how long the power was off, and the question.

The facts are the core's (`proofbell.bake.doubt`); here are the words, and when to ask.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from textual.content import Content

from proofbell.app.bench.time_dialog import TimeDialog
from proofbell.app.session.kept import kept_words
from proofbell.app.widgets.actions import key_name
from proofbell.app.widgets.content import own
from proofbell.app.widgets.key_row import actions_of
from proofbell.app.widgets.sheet import Sheet
from proofbell.bake import intents
from proofbell.bake.doubt import Outage, doubt, outages
from proofbell.bake.events import ClockSet, TimeRebased
from proofbell.bake.intents import Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.words import counted, length

if TYPE_CHECKING:
    from proofbell.app.bench.bench_screen import BenchScreen

TOLD_S = 600.0
"""How long it stands there that somebody set the clock."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One outage, and the doughs that were on the bench when the power went, each with its own view of it."""

    outage: Outage
    doughs: tuple[tuple[str, Outage], ...]

    @property
    def key(self) -> tuple[str, str, int]:
        """Another one is another question."""
        one = self.outage
        return one.boot_id, one.cause, round(one.suspected_s or 0.0) // 60


def asked(states: Sequence[BakeState], now: Stamp) -> Asked | None:
    """What is to be asked: the oldest outage in doubt, once for all doughs; None when every time is certain."""
    found = [(state.id, one) for state in states if (one := doubt(state, now)) is not None]
    return _together(found)


def answered(states: Sequence[BakeState], now: Stamp) -> Asked | None:
    """The newest outage that was answered already, to be put right; None when there was none."""
    found = [(state.id, all_[-1]) for state in states if state.closed is None and (all_ := outages(state, now))]
    return _together(list(reversed(found)))


def _together(found: Sequence[tuple[str, Outage]]) -> Asked | None:
    if not found:
        return None
    first = min((one for _, one in found), key=lambda one: one.seen_us)
    return Asked(first, tuple((bake, one) for bake, one in found if one.boot_id == first.boot_id))


def doubt_words(one: Outage) -> tuple[str, ...]:
    """The question in ever fewer words."""
    if one.suspected_s is None:
        return (
            "The power was off, no clock knows how long: times may be wrong.",
            "The power was off: how long?",
        )
    off = about(one.suspected_s)
    if one.said_s is not None:
        return (
            f"The clock was set: was the power off for {off}, not {about(one.said_s)}?",
            f"The power was off for {off}?",
        )
    if one.cause == "stepped":
        return f"The clock was set: was the power off for {off}?", f"The power was off for {off}?"
    return f"The power was off for {off}, by the clock. Right?", f"The power was off for {off}?"


def about(seconds: float) -> str:
    """``about 40 min``; to the minute, for nobody knows it better."""
    return "under a minute" if seconds < 60 else f"about {length(round(seconds / 60) * 60)}"


def set_words(states: Sequence[BakeState], now: Stamp) -> str:
    """That somebody set the clock a short while ago; nothing when nobody did, or when an answer followed."""
    for state in states:
        for event in reversed(state.events):
            if isinstance(event.body, TimeRebased):
                break
            if isinstance(event.body, ClockSet):
                if state.now_s(now) - state.times_us[event.number - 1] / 1_000_000 < TOLD_S:
                    way = "forward" if event.body.by_s > 0 else "back"
                    return f"The clock was set {way} by {length(abs(event.body.by_s))}; no countdown changed."
                break
    return ""


class DoubtLine(Sheet):
    """One line that is there only while it has something to say."""

    DEFAULT_CSS = """
    DoubtLine { height: 1; padding: 0 1; display: none; background: $panel; }
    DoubtLine.-shown { display: block; }
    DoubtLine.-doubt { background: $warning 30%; text-style: bold; }
    """

    def __init__(self, *, where: str = "") -> None:
        super().__init__()
        self._where = where
        self._words: tuple[str, ...] = ()
        self._key = ""

    def show(self, words: Sequence[str], key: str = "") -> None:
        """Ever fewer words; ``key`` answers them, when there is something to answer, here or ``where`` it says."""
        self._words, self._key = tuple(words), key
        self.set_class(bool(words and key), "-doubt")
        if self.has_class("-shown") != bool(words):
            self.set_class(bool(words), "-shown")
            self.call_after_refresh(self.draw)  # It has no size before.
        self.draw()

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - one line
        """The words that fit, and the key."""
        if not self._words:
            return Content("")
        answer = own(f"   {self._key} answer {self._where}".rstrip(), "bold") if self._key else own("")
        words = [own(f"? {one}" if self._key else one) for one in self._words]
        room = max(1, width - answer.cell_length)
        fits = next((one for one in words if one.cell_length <= room), words[-1])
        return fits.truncate(room, ellipsis=True) + answer


def tell_of_doubt(line: DoubtLine, states: Sequence[BakeState], now: Stamp) -> None:
    """Have a line over the bench say which times are in doubt, while any are."""
    found = asked([state for state in states if state.closed is None], now)
    line.show(() if found is None else doubt_words(found.outage), _key(line.app))


class BenchTime:
    """What the bench does about doubtful time."""

    _asked_keys: frozenset[tuple[str, str, int]] = frozenset()

    @property
    def _at(self) -> BenchScreen:
        return cast("BenchScreen", self)

    def doubt_lines(self) -> int:
        """Show what there is to say; how many lines it takes."""
        bench = self._at
        states = [state for state in bench.live.states if state.closed is None]
        now = bench.board.now
        found = asked(states, now)
        if found is not None:
            words, key = doubt_words(found.outage), _key(bench.app)
        else:
            said = set_words(states, now)
            words, key = ((said,) if said else ()), ""
        bench.query_one(DoubtLine).show(words, key)
        return 1 if words else 0

    def offer_time(self) -> bool:
        """Ask by itself, once, when nothing rings and nothing else is asked; whether the question is there now."""
        bench = self._at
        found = asked(bench.live.states, bench.board.now)
        if found is None or bench.board.rings or found.key in self._asked_keys:
            return False
        self._ask_time(found, by_itself=True)
        return True

    def action_time(self) -> None:
        """Say how long the power was off, or put right what was said."""
        bench = self._at
        found = asked(bench.live.states, bench.board.now) or answered(bench.live.states, bench.board.now)
        if found is None:
            bench.say("No time is in doubt: the power was not off while a dough was on the bench.")
        else:
            self._ask_time(found, by_itself=False)

    def _ask_time(self, found: Asked, *, by_itself: bool) -> None:
        bench = self._at
        self._asked_keys |= {found.key}
        app = bench.our_app
        if app.is_open(TimeDialog):
            return
        letters = [state.letter for bake, _ in found.doughs if (state := bench.live.state(bake)) is not None]
        dialog = app.dialog(TimeDialog)
        dialog.ask(found.outage, letters, bench.board.now, app.real.stamp().boot_us if by_itself else None)

        def answer(off_s: float | None) -> None:
            if off_s is not None:
                app.in_background(self._rebase(found, off_s))

        bench.app.push_screen(dialog, answer)

    async def _rebase(self, found: Asked, off_s: float) -> None:
        """One answer, an event for each dough."""
        bench = self._at
        taken = 0
        refused: Refused | None = None
        for bake, one in found.doughs:
            answer = await bench.our_app.say(bake, intents.Rebase(one.since, off_s))
            taken, refused = taken + (answer is None), refused or answer
        if refused is None:
            done = f"Off for {length(off_s)}: the times of {counted(taken, 'dough')} go by it."
            bench.say(kept_words(bench.live, found.doughs[0][0], done))
        else:
            bench.say(f"{refused.message} {refused.remedy}".strip(), wrong=True)


def _key(app: object) -> str:
    return next(key_name(one.keys[0]) for one in actions_of(app, "bench") if one.id == "bench.time")
